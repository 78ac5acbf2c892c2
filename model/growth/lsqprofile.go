package growth

import (
	"math"
	"slices"
)

// profile is the sum of squares as a function of one parameter, the others refitted.
type profile struct {
	model  ModelFunc
	y      []float64
	others LSQSettings // of the fits of the other parameters
	j      int
	best   []float64 // estimates of all parameters
	rss    float64   // at the estimates
	warm   []float64 // the other parameters at the last value
	lower  []float64 // the lowest point met below rss, if any
	floor  float64   // its sum of squares
}

// newProfile profiles parameter j about a converged fit, within the bounds that the fit had.
func newProfile(model ModelFunc, y []float64, fit Fit, j int) *profile {
	s := fit.problem.settings.without(j)
	s.Tolerance, s.MaxIterations = 1e-6, 100
	pr := &profile{model: model, y: y, others: s, j: j, best: fit.Params, rss: fit.RSS}
	pr.rewind()
	return pr
}

// rewind sets the other parameters back to the estimates.
func (pr *profile) rewind() { pr.warm = lsqWithout(pr.best, pr.j) }

// lsqHold is a model of n parameters and m values with parameter j known to be v.
func lsqHold(model ModelFunc, n, m, j int, v float64) ModelFunc {
	p, full := make([]float64, n), make([]float64, n*m)
	return func(part, f, jac []float64) {
		copy(p, part[:j])
		p[j] = v
		copy(p[j+1:], part[j:])
		if jac == nil {
			model(p, f, nil)
			return
		}
		model(p, f, full)
		for i := range m {
			copy(jac[i*(n-1):], full[i*n:i*n+j])
			copy(jac[i*(n-1)+j:(i+1)*(n-1)], full[i*n+j+1:(i+1)*n])
		}
	}
}

// at is the sum of squares at parameter j = v; +Inf where the model does not exist.
func (pr *profile) at(v float64) float64 {
	n := len(pr.best)
	if n == 1 {
		rss := pr.sumSquares([]float64{v})
		if !lsqFinite(rss) {
			rss = math.Inf(1)
		}
		return rss
	}
	fit := LeastSquares(lsqHold(pr.model, n, len(pr.y), pr.j, v), pr.y, pr.warm, &pr.others)
	if !lsqFinite(fit.LastRSS) {
		return math.Inf(1)
	}
	pr.warm = fit.Last
	if fit.LastRSS < pr.rss*(1-1e-6) && (pr.lower == nil || fit.LastRSS < pr.floor) {
		pr.floor = fit.LastRSS
		pr.lower = slices.Insert(slices.Clone(fit.Last), pr.j, v)
	}
	return fit.LastRSS
}

func (pr *profile) sumSquares(p []float64) float64 {
	f, rss := make([]float64, len(pr.y)), 0.0
	pr.model(p, f, nil)
	for i, y := range pr.y {
		w := 1.0
		if pr.others.Weights != nil {
			w = pr.others.Weights[i]
		}
		rss += w * (y - f[i]) * (y - f[i])
	}
	return rss
}

// limit is where the profile t
//
//	sqrt( (S(v) - S(best)) / s² ),   s² = S(best)/DF
//
// reaches t on the side of step, a first step away from the estimate; infinite where it does not within far.
//
// References:
//   - Bates, D. M. and Watts, D. G.: Nonlinear Regression Analysis and Its Applications. Wiley (1988), ch. 6
func (pr *profile) limit(s2, t, step, far float64) float64 {
	pr.rewind()
	center := pr.best[pr.j]
	z := func(v float64) float64 { return math.Sqrt(max(0, pr.at(v)-pr.rss)/s2) - t }
	lo, zlo := center, -t
	for range 60 {
		hi := lo + step
		end := !(math.Abs(hi-center) < far)
		if end {
			hi = center + math.Copysign(far, step)
		}
		zhi := z(hi)
		if zhi >= 0 {
			return crossing(z, lo, hi, zlo, zhi, 1e-7*t)
		}
		if end {
			break
		}
		lo, zlo, step = hi, zhi, 1.5*step
	}
	return math.Copysign(math.Inf(1), step)
}

// crossing finds the zero between a and b, where f has the values fa < 0 <= fb, to within tol of f.
func crossing(f func(float64) float64, a, b, fa, fb, tol float64) float64 {
	side := 0
	for range 60 {
		m := b - fb*(b-a)/(fb-fa)
		if math.IsInf(fb, 1) {
			m = (a + b) / 2
		}
		fm := f(m)
		switch {
		case math.Abs(fm) <= tol || m == a || m == b:
			return m
		case fm < 0:
			if a, fa = m, fm; side < 0 {
				fb /= 2
			}
			side = -1
		default:
			if b, fb = m, fm; side > 0 {
				fa /= 2
			}
			side = 1
		}
	}
	return b
}
