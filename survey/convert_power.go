package survey

import "math"

// powered is kg/m2 = exp(logA + b log cover), logA with the correction of the back-transform in it.
type powered struct{ logA, b float64 }

func (c powered) at(q look) float64 {
	if q.cover == 0 {
		return 0
	}
	return math.Exp(c.logA + c.b*math.Log(q.cover))
}

func (c powered) slope(q look) [2]float64 {
	if q.cover == 0 {
		return [2]float64{}
	}
	y := c.at(q)
	return [2]float64{y, y * math.Log(q.cover)}
}

// logLog is the least-squares line of log y on log x with the two corrections of its back-transform.
type logLog struct {
	moments
	a, b        float64   // log y = a + b log x
	rest        []float64 // residuals of log y; 0 where the point is not used
	s2          float64   // their variance, divisor n - 2 with weights scaled to a mean of 1
	baskerville float64   // exp(s²/2)
	smearing    float64   // Σ w exp(residual) / Σ w
	n           int
}

// fitLogLog fits
//
//	log y = a + b log x + ε
//
// by weighted least squares over the points with x and y above 0. The mean of y at x is not exp(a) x^b, which is its
// median, but that times a correction:
//
//	exp(s²/2)                            for normal ε (Baskerville)
//	Σ w exp(log y - a - b log x)/Σ w     whatever the ε (Duan's smearing)
//
// Both are given; conversions use the second, which does not lean on normal ε and, unlike the first, does not run
// away where few points scatter widely. ok is false for fewer than 3 points or x that do not vary. logs hold log x
// and log y, with use false where a point cannot enter.
//
// References:
//   - Baskerville, G. L.: Use of logarithmic regression in the estimation of plant biomass. Canadian Journal of Forest
//     Research 2 (1972) 49-53
//   - Duan, N.: Smearing estimate: a nonparametric retransformation method. Journal of the American Statistical
//     Association 78 (1983) 605-610
func fitLogLog(logX, logY, w []float64, use func(i int) bool) (l logLog, ok bool) {
	for i := range logX {
		if use(i) {
			l.n++
		}
	}
	if l.n < 3 {
		return l, false
	}
	l.moments = weightedMoments(logX, logY, w, use)
	if !(l.sxx > 1e-12*l.w) { // log x is dimensionless: flat on an absolute scale
		return l, false
	}
	l.a, l.b = l.line()
	l.rest = make([]float64, len(logX))
	ss, smear := 0.0, 0.0
	for i := range logX {
		if use(i) {
			e := logY[i] - l.a - l.b*logX[i]
			l.rest[i] = e
			ss, smear = ss+w[i]*e*e, smear+w[i]*math.Exp(e)
		}
	}
	l.s2 = ss * float64(l.n) / l.w / float64(l.n-2)
	l.baskerville, l.smearing = math.Exp(l.s2/2), smear/l.w
	return l, true
}

// influence is that of each point on (a + log smearing, b).
func (l logLog) influences(logX, w []float64, use func(i int) bool) [][2]float64 {
	q := 0.0
	for i := range logX {
		if use(i) {
			q += w[i] * math.Exp(l.rest[i]) * logX[i] / l.w
		}
	}
	out := make([][2]float64, len(logX))
	for i := range logX {
		if use(i) {
			b := l.influence(logX[i], w[i], l.rest[i])[1]
			out[i] = [2]float64{w[i]*(math.Exp(l.rest[i])-l.smearing)/(l.w*l.smearing) - q/l.smearing*b, b}
		}
	}
	return out
}

// leftOut predicts every point from the others, smearing included. With Δ the change of b when point i is left out and x
// measured from its mean, the sum over the others is
//
//	Σ_j w_j exp(e_j - Δ x_j) = Σ_k (-Δ)^k/k! Σ_j w_j exp(e_j) x_j^k
//
// which needs no pass over all points for each; where Δ x is too large for nine terms to be exact it is summed.
func (l logLog) leftOut(logX, logY, w []float64, use func(i int) bool) func(i int) float64 {
	var powers [terms]float64
	span := 0.0
	at := func(i int) (x, v float64) { return logX[i] - l.x, w[i] * math.Exp(l.rest[i]) }
	for i := range logX {
		if !use(i) {
			continue
		}
		x, v := at(i)
		span = max(span, math.Abs(x))
		for k := range powers {
			powers[k] += v
			v *= x
		}
	}
	return func(i int) float64 {
		if !use(i) {
			return l.smearing * math.Exp(l.a+l.b*logX[i])
		}
		m := l.without(logX[i], logY[i], w[i])
		a, b := m.line()
		d := b - l.b
		sum := 0.0
		if math.Abs(d)*span < 0.3 {
			for k, f := 0, 1.0; k < terms; k++ {
				sum += f * powers[k]
				f *= -d / float64(k+1)
			}
			x, v := at(i)
			sum -= v * math.Exp(-d*x)
		} else {
			for j := range logX {
				if x, v := at(j); use(j) && j != i {
					sum += v * math.Exp(-d*x)
				}
			}
		}
		// e_j - Δ x_j lacks the change of the line's height at the mean of x.
		height := l.a + l.b*l.x - (a + b*l.x)
		return math.Exp(a+b*logX[i]+height) * sum / m.w
	}
}

// terms of the series; 0.3^9/9! is 5e-11.
const terms = 9

// power fits y = a x^b on logarithms over the weighed quadrats with cover and weight above 0. Quadrats with cover and
// weight 0 do not enter the fit but its error, and the mean residual.
func (p *weighings) power() fit {
	logX, logY := make([]float64, len(p.y)), make([]float64, len(p.y))
	for i, q := range p.q {
		logX[i], logY[i] = math.Log(q.cover), math.Log(p.y[i])
	}
	use := func(i int) bool { return p.q[i].cover > 0 && p.y[i] > 0 }
	l, ok := fitLogLog(logX, logY, p.w, use)
	switch {
	case l.n < soundPairs:
		return unfit(byPower, l.n, "%s with cover and weight, at least %d needed", counted(l.n, "quadrat"), soundPairs)
	case !ok:
		return unfit(byPower, l.n, "all weighed quadrats have the same cover: weigh thin and thick ones too")
	case l.b <= 0:
		return unfit(byPower, l.n, "weight does not rise with cover: weigh more quadrats, thin and thick ones")
	}
	c := powered{l.a + math.Log(l.smearing), l.b}
	f := fit{Candidate: Candidate{Model: byPower, N: l.n, Params: []Param{{"a", math.Exp(l.a)}, {"b", l.b},
		{"smearing", l.smearing}, {"baskerville", l.baskerville}}}, curve: c, lost: 2}
	f.infl = l.influences(logX, p.w, use)
	return f.leaveOut(p, l.leftOut(logX, logY, p.w, use))
}
