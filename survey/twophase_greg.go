package survey

import "math"

// TwoPhaseGREG is the mean of y where a prediction of it was made for all of a large simple random sample and y
// measured in a part of it, whatever the predictions come from:
//
//	ybar_g = mbar' + ebar,   e = y - m,   v = s_e²/n + (s_y² - s_e²)/n'
//
// with mbar' the mean of the n' predictions (phase one), ebar the mean of the n residuals (phase two, a random part
// of phase one), s_y² the variance of y and s_e² = Σ (e - ebar)²/(n - p). fitted is p, the number of parameters that
// were fitted to these y; at least 1 is lost. The mean is right on average even where the predictions are wrong; good
// ones lower the variance. With the least-squares line (p = 2) it is [TwoPhaseRegression] without the conditional
// term. Finite population corrections are left out. DF is n - p. OK is false for n = 0 or n' = 0; SE and DF are NaN
// for n <= p. It panics where y and predicted differ in length.
//
// References:
//   - Särndal, C.-E., Swensson, B. and Wretman, J.: Model Assisted Survey Sampling. Springer (1992), sections 6.3, 9.7
//   - Cochran, W. G.: Sampling Techniques, 3rd ed. Wiley (1977), section 12.6
func TwoPhaseGREG(y, predicted, phaseOne []float64, fitted int) Estimate {
	if len(y) != len(predicted) {
		panic("survey: slice length mismatch")
	}
	e := missing()
	if len(y) == 0 || len(phaseOne) == 0 {
		return e
	}
	rest := make([]float64, len(y))
	for i := range y {
		rest[i] = y[i] - predicted[i]
	}
	e.OK, e.Value = true, mean(phaseOne)+mean(rest)
	n, lost := float64(len(y)), float64(max(1, fitted))
	if n > lost {
		left := variance(rest) * (n - 1) / (n - lost)
		e.SE, e.DF = math.Sqrt(left/n+(variance(y)-left)/float64(len(phaseOne))), n-lost
	}
	return e
}
