package survey

import "math"

// TwoPhaseRatio is the mean of y where x was read on a large simple random sample and y only on a part of it:
//
//	ybar_R = R̂ xbar',   R̂ = ybar/xbar,   v = s_r²/n + (s_y² - s_r²)/n'
//
// with xbar' the mean of the n' values of x (phase one), ybar and xbar the means of the n pairs (phase two, a random
// part of phase one), s_y² the variance of y and s_r² = Σ (y - R̂ x)²/(n - 1). Finite population corrections are left
// out. DF is n - 2. OK is false for n = 0, n' = 0 or xbar = 0; SE and DF are NaN for n < 3. It panics where y and x
// differ in length.
//
// References:
//   - Cochran, W. G.: Sampling Techniques, 3rd ed. Wiley (1977), section 12.8
func TwoPhaseRatio(y, x, phaseOne []float64) Estimate {
	s := throughOrigin(y, x, nil)
	e := missing()
	if len(y) == 0 || len(phaseOne) == 0 || s.sum == 0 {
		return e
	}
	e.OK, e.Value = true, s.k*mean(phaseOne)
	if len(y) > 2 {
		rest := s.restVariance(1)
		e.SE = math.Sqrt(rest/float64(len(y)) + (variance(y)-rest)/float64(len(phaseOne)))
		e.DF = float64(len(y) - 2)
	}
	return e
}

// TwoPhaseRegression is the mean of y where x was read on a large simple random sample and y only on a part of it:
//
//	ybar_lr = ybar + b (xbar' - xbar)
//	v = s_yx² (1/n + (xbar' - xbar)²/Σ (x - xbar)²) + (s_y² - s_yx²)/n'
//
// with b the least-squares slope and s_yx² = Σ (y - ybar - b (x - xbar))²/(n - 2); the other symbols as in
// [TwoPhaseRatio]. conditional false leaves the term (xbar' - xbar)² out. DF is n - 2. OK is false for n < 2, n' = 0 or
// where x does not vary; SE and DF are NaN for n < 3. It panics where y and x differ in length.
//
// References:
//   - Cochran, W. G.: Sampling Techniques, 3rd ed. Wiley (1977), sections 12.6-12.7
func TwoPhaseRegression(y, x, phaseOne []float64, conditional bool) Estimate {
	if len(y) != len(x) {
		panic("survey: slice length mismatch")
	}
	e := missing()
	n := float64(len(y))
	line, ok := leastSquares(y, x)
	if !ok || len(phaseOne) == 0 {
		return e
	}
	shift := mean(phaseOne) - line.meanX
	e.OK, e.Value = true, line.meanY+line.slope*shift
	if len(y) > 2 {
		rest := line.rss / (n - 2)
		v := rest/n + (variance(y)-rest)/float64(len(phaseOne))
		if conditional {
			v += rest * shift * shift / line.sxx
		}
		e.SE, e.DF = math.Sqrt(v), n-2
	}
	return e
}

// straight is a least-squares line.
type straight struct{ meanX, meanY, slope, sxx, rss float64 }

// leastSquares fits y = a + b x; ok is false for fewer than two points or x that do not vary.
func leastSquares(y, x []float64) (straight, bool) {
	if len(y) < 2 {
		return straight{}, false
	}
	l := straight{meanX: mean(x), meanY: mean(y)}
	sxy := 0.0
	for i := range x {
		dx := x[i] - l.meanX
		l.sxx += dx * dx
		sxy += dx * (y[i] - l.meanY)
	}
	if l.sxx == 0 {
		return l, false
	}
	l.slope = sxy / l.sxx
	for i := range x {
		r := y[i] - l.meanY - l.slope*(x[i]-l.meanX)
		l.rss += r * r
	}
	return l, true
}

// mean is the arithmetic mean, NaN of nothing.
func mean(x []float64) float64 {
	s := 0.0
	for _, v := range x {
		s += v
	}
	return s / float64(len(x))
}

// variance is the sample variance, divisor n - 1.
func variance(x []float64) float64 {
	m, ss := mean(x), 0.0
	for _, v := range x {
		ss += (v - m) * (v - m)
	}
	return ss / float64(len(x)-1)
}
