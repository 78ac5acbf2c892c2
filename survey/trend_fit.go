package survey

import (
	"math"
)

// glsLine is a straight line fitted by generalised least squares.
type glsLine struct {
	a, b       float64
	varB       float64 // for the covariance as given
	restricted float64 // minus twice the restricted log-likelihood, but for a constant
	q          float64 // residuals' weighted mean square
}

// fitLine fits y = a + b t for errors of covariance S = L L', given by its lower triangle, which it overwrites with L:
//
//	(a, b) = (X' S⁻¹ X)⁻¹ X' S⁻¹ y,   -2 log L_R = log|S| + log|X' S⁻¹ X| + r' S⁻¹ r
//
// ok is false where S is not positive definite.
func fitLine(t, y []float64, s [][]float64) (l glsLine, ok bool) {
	if !cholesky(s) {
		return l, false
	}
	n := len(t)
	one, x, z := make([]float64, n), make([]float64, n), make([]float64, n)
	var s11, s1x, sxx, s1y, sxy, logDet float64
	for i := range s {
		one[i], x[i], z[i] = forward(s, one, i, 1), forward(s, x, i, t[i]), forward(s, z, i, y[i])
		s11, s1x, sxx = s11+one[i]*one[i], s1x+one[i]*x[i], sxx+x[i]*x[i]
		s1y, sxy = s1y+one[i]*z[i], sxy+x[i]*z[i]
		logDet += 2 * math.Log(s[i][i])
	}
	det := s11*sxx - s1x*s1x
	l.a, l.b, l.varB = (sxx*s1y-s1x*sxy)/det, (s11*sxy-s1x*s1y)/det, s11/det
	rss := 0.0
	for i := range z {
		r := z[i] - l.a*one[i] - l.b*x[i]
		rss += r * r
	}
	l.restricted, l.q = logDet+math.Log(det)+rss, rss/float64(n-2)
	return l, true
}

// cholesky overwrites the lower triangle of S with L, S = L L'.
func cholesky(s [][]float64) bool {
	for i := range s {
		for j := 0; j <= i; j++ {
			v := s[i][j]
			for k := range j {
				v -= s[i][k] * s[j][k]
			}
			if i > j {
				s[i][j] = v / s[j][j]
				continue
			}
			if !(v > 0) {
				return false
			}
			s[i][i] = math.Sqrt(v)
		}
	}
	return true
}

// forward is element i of L⁻¹ v, the elements before it being known.
func forward(l [][]float64, done []float64, i int, v float64) float64 {
	for k := range i {
		v -= l[i][k] * done[k]
	}
	return v / l[i][i]
}

// process fits τ² for a given φ by restricted maximum likelihood, 0 where that is likeliest.
func (p *trendPoints) process(phi float64) (tau2 float64, l glsLine) {
	cost := func(tau2 float64) float64 {
		l, ok := fitLine(p.t, p.y, p.covariance(tau2, phi))
		if !ok {
			return math.Inf(1)
		}
		return l.restricted
	}
	ols := 0.0
	if line, ok := leastSquares(p.y, p.t); ok {
		ols = line.rss / float64(len(p.t)-2)
	}
	scale := math.Max(ols, 1e-12)
	at := func(x float64) float64 { return scale * math.Exp(x) }
	x, best := lowest(func(x float64) float64 { return cost(at(x)) }, -9, 7, 13, 28)
	tau2 = at(x)
	if cost(0) <= best+1e-10 {
		tau2 = 0
	}
	l, _ = fitLine(p.t, p.y, p.covariance(tau2, phi))
	return tau2, l
}

// serial fits τ² and φ together.
func (p *trendPoints) serial() (tau2, phi float64, l glsLine) {
	phi, _ = lowest(func(phi float64) float64 {
		_, l := p.process(phi)
		return l.restricted
	}, 0, mostSerial, 12, 24)
	if _, none := p.process(0); none.restricted <= p.restricted(phi)+1e-10 {
		phi = 0
	}
	tau2, l = p.process(phi)
	return tau2, phi, l
}

func (p *trendPoints) restricted(phi float64) float64 {
	_, l := p.process(phi)
	return l.restricted
}

// mostSerial is the highest correlation a year that is fitted: nearer to 1 a short series cannot tell it from a trend.
const mostSerial = 0.95

// lowest finds where f is lowest between lo and hi: on a grid of n steps, then by so many of golden section about the
// lowest point.
func lowest(f func(float64) float64, lo, hi float64, n, golden int) (x, value float64) {
	step, at, best := (hi-lo)/float64(n), lo, math.Inf(1)
	for i := range n + 1 {
		if v := f(lo + float64(i)*step); v < best {
			at, best = lo+float64(i)*step, v
		}
	}
	a, b := math.Max(lo, at-step), math.Min(hi, at+step)
	const g = 0.6180339887498949
	c, d := b-g*(b-a), a+g*(b-a)
	fc, fd := f(c), f(d)
	for range golden {
		if fc <= fd {
			b, d, fd = d, c, fc
			c = b - g*(b-a)
			fc = f(c)
		} else {
			a, c, fc = c, d, fd
			d = a + g*(b-a)
			fd = f(d)
		}
	}
	if v := math.Min(fc, fd); v < best {
		best, at = v, (a+b)/2
	}
	return at, best
}

// onLog fits the line to log stock.
func (t *Trend) onLog(p *trendPoints) {
	n := len(p.t)
	t.Method = "log-linear"
	tau2, l := p.process(0)
	df := math.Max(1, float64(n-3))
	t.NeweyWestSE = p.neweyWest(tau2)
	if n >= leastSerial {
		t.Method = "log-linear, serial"
		tau2, t.Serial, l = p.serial()
		df = float64(n - 2)
	}
	t.Process = math.Sqrt(tau2)
	t.Slope = Estimate{OK: true, Value: l.b, SE: math.Sqrt(l.varB * math.Max(1, l.q)), DF: df}
	if p.guessed > 0 {
		t.Warnings = append(t.Warnings, counted(p.guessed, "survey")+" without a standard error: weighed like the others")
	}
}

// neweyWest is the standard error of the slope of the line with weights w = 1/(v + τ²), robust to unequal variances and to
// correlation between neighbours in time:
//
//	(X'WX)⁻¹ [Σ u_i u_i' + 1/2 Σ (u_i u_{i-1}' + u_{i-1} u_i')] (X'WX)⁻¹ n/(n-2),   u_i = w_i x_i r_i
//
// References:
//   - Newey, W. K. and West, K. D.: A simple, positive semi-definite, heteroskedasticity and autocorrelation consistent
//     covariance matrix. Econometrica 55 (1987) 703-708
func (p *trendPoints) neweyWest(tau2 float64) float64 {
	var w, wt, wtt, wy, wty float64
	weight := make([]float64, len(p.t))
	for i, t := range p.t {
		k := 1 / math.Max(p.v[i]+tau2, 1e-12)
		weight[i] = k
		w, wt, wtt, wy, wty = w+k, wt+k*t, wtt+k*t*t, wy+k*p.y[i], wty+k*t*p.y[i]
	}
	det := w*wtt - wt*wt
	a, b := (wtt*wy-wt*wty)/det, (w*wty-wt*wy)/det
	sum, before := 0.0, 0.0
	for i, t := range p.t {
		u := (w*t - wt) / det * weight[i] * (p.y[i] - a - b*t) // the slope's row of (X'WX)⁻¹ times u
		sum += u*u + u*before
		before = u
	}
	n := float64(len(p.t))
	return math.Sqrt(math.Max(0, sum) * n / (n - 2))
}

// throughZeros fits log E(B) = a + b t by quasi-Poisson regression, iteratively reweighted; the variance of B is taken in
// proportion to its mean, the factor from Pearson's residuals.
func (t *Trend) throughZeros(p *trendPoints) {
	scale := 0.0
	for _, kg := range p.kg {
		scale += kg / float64(len(p.kg))
	}
	a, b := 0.0, 0.0 // of kg/scale, whose mean is 1
	var info [3]float64
	pearson := 0.0
	for range 200 {
		var s0, s1 float64
		info, pearson = [3]float64{}, 0
		for i, x := range p.t {
			mu := math.Exp(a + b*x)
			r := p.kg[i]/scale - mu
			s0, s1 = s0+r, s1+r*x
			info[0], info[1], info[2] = info[0]+mu, info[1]+mu*x, info[2]+mu*x*x
			pearson += r * r / mu
		}
		det := info[0]*info[2] - info[1]*info[1]
		da, db := (info[2]*s0-info[1]*s1)/det, (info[0]*s1-info[1]*s0)/det
		short := math.Min(1, 1/math.Max(math.Abs(da), math.Abs(db)*(p.t[len(p.t)-1]-p.t[0]))) // no step beyond a factor of e
		a, b = a+short*da, b+short*db
		if math.Abs(db) <= 1e-13*(1+math.Abs(b)) && math.Abs(da) <= 1e-13*(1+math.Abs(a)) {
			break
		}
	}
	n := float64(len(p.t))
	varB := info[0] / (info[0]*info[2] - info[1]*info[1]) * pearson / (n - 2)
	t.Method = "quasi-Poisson"
	t.Slope = Estimate{OK: true, Value: b, SE: math.Sqrt(varB), DF: math.Max(1, n-3)}
	t.Warnings = append(t.Warnings, "none found in "+counted(p.zeros, "survey")+": no logarithm of 0; fitted to the mean, all surveys weighed alike")
}
