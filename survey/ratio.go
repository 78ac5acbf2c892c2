package survey

import "math"

// slope is a line through the origin, y = k x, fitted as the ratio of weighted means.
type slope struct {
	k    float64   // Σ w y / Σ w x
	sum  float64   // Σ w x
	rest []float64 // y - k x
}

// throughOrigin fits y = k x by the ratio of weighted means; nil weights are all 1. k is NaN where Σ w x is 0. The
// weighted mean of the residuals is 0.
func throughOrigin(y, x, w []float64) slope {
	if len(y) != len(x) || w != nil && len(w) != len(x) {
		panic("survey: slice length mismatch")
	}
	var s slope
	sy := 0.0
	for i := range y {
		wi := 1.0
		if w != nil {
			wi = w[i]
		}
		sy += wi * y[i]
		s.sum += wi * x[i]
	}
	s.k = sy / s.sum
	s.rest = make([]float64, len(y))
	for i := range y {
		s.rest[i] = y[i] - s.k*x[i]
	}
	return s
}

// variance is the linearised variance of k from residuals summed per sampling unit,
//
//	v(k) = m/(m-1) Σ_c (Σ_{i in c} w_i e_i)² / (Σ w x)²
//
// with m the number of units that occur and clusters[i] the unit of point i. It also returns m; v is NaN for m < 2.
// For equal weights and units of one point it is s_e²/(n xbar²).
func (s slope) variance(w []float64, clusters []int) (v float64, m int) {
	totals := map[int]float64{}
	var order []int
	for i, e := range s.rest {
		c := clusters[i]
		if _, seen := totals[c]; !seen {
			order = append(order, c)
		}
		totals[c] += w[i] * e
	}
	for _, c := range order {
		v += totals[c] * totals[c]
	}
	m = len(order)
	if m < 2 {
		return math.NaN(), m
	}
	return v * float64(m) / float64(m-1) / (s.sum * s.sum), m
}

// restVariance is Σ e²/(n - lost), the residual variance with so many degrees of freedom lost.
func (s slope) restVariance(lost int) float64 {
	ss := 0.0
	for _, e := range s.rest {
		ss += e * e
	}
	return ss / float64(len(s.rest)-lost)
}

// RatioTotal is the ratio estimator of a total from a simple random sample without replacement, where the total of x
// over all units is known:
//
//	Ŷ = R̂ X,   R̂ = Σ y / Σ x,   v(Ŷ) = N² (1 - n/N) (X/(N xbar))^2g s_e²/n,   s_e² = Σ (y - R̂ x)²/(n - 1)
//
// totalX is X and size N, the number of units; an infinite N leaves the correction 1 - n/N out. conditional chooses
// the form with the factor (X/(N xbar))² (g = 1), which follows the x that were drawn; without it g = 0, the form of
// Cochran. DF is n - 1; the bias, of order 1/n, is not removed. OK is false for no units or Σ x = 0; SE and DF are NaN
// for one unit. It panics where lengths differ.
//
// References:
//   - Cochran, W. G.: Sampling Techniques, 3rd ed. Wiley (1977), sections 6.3-6.4
//   - Särndal, C.-E., Swensson, B. and Wretman, J.: Model Assisted Survey Sampling. Springer (1992), section 7.3
func RatioTotal(y, x []float64, totalX, size float64, conditional bool) Estimate {
	s := throughOrigin(y, x, nil)
	if len(y) == 0 || s.sum == 0 {
		return missing()
	}
	e := missing()
	e.OK, e.Value = true, s.k*totalX
	if n := len(y); n > 1 {
		e.SE = math.Sqrt(ratioVariance(s.restVariance(1), n, s.sum/float64(n), totalX, size, conditional))
		e.DF = float64(n - 1)
	}
	return e
}

// ratioVariance is the variance of [RatioTotal] from the residual variance and the mean of x. With an infinite size
// only the conditional form is a number, X² s_e²/(n xbar²).
func ratioVariance(restVar float64, n int, meanX, totalX, size float64, conditional bool) float64 {
	v := (1 - float64(n)/size) * restVar / float64(n)
	if conditional {
		return v * (totalX / meanX) * (totalX / meanX)
	}
	return v * size * size
}
