package growth

import "math"

// LogLikelihood is the largest log likelihood of the fit under normal errors with variance σ²/w_i
//
//	ln L = -n/2 ( ln(2π) + ln(RSS/n) + 1 ) + 1/2 sum ln w_i
func (f Fit) LogLikelihood() float64 {
	n, weights := float64(f.N), 0.0
	if f.Status == Converged && f.problem.settings.Weights != nil {
		for _, w := range f.problem.settings.Weights {
			weights += math.Log(w) / 2
		}
	}
	return weights - n/2*(math.Log(2*math.Pi*f.RSS/n)+1)
}

// AICc is Akaike's criterion with the correction for few values
//
//	AICc = -2 ln L + 2k + 2k(k+1)/(n - k - 1),   k = P + 1
//
// the variance counting as a parameter. The lowest is the best of several curves of the same values on the same scale
// with the same weights; of other values, or of their logarithms, it says nothing. NaN where n is not above k + 1, or
// the fit did not converge; -Inf for a perfect fit.
//
// References:
//   - Hurvich, C. M. and Tsai, C.-L.: Regression and time series model selection in small samples. Biometrika 76
//     (1989), 297-307
//   - Burnham, K. P. and Anderson, D. R.: Model Selection and Multimodel Inference, 2nd ed. Springer (2002), sec. 2.4
func (f Fit) AICc() float64 {
	n, k := float64(f.N), float64(len(f.Params)+1)
	if n-k-1 <= 0 {
		return math.NaN()
	}
	return -2*f.LogLikelihood() + 2*k + 2*k*(k+1)/(n-k-1)
}

// AkaikeWeights are the weights of evidence of fits with the given criteria
//
//	w_i = exp(-Δ_i/2) / sum_j exp(-Δ_j/2),   Δ_i = AICc_i - min AICc
//
// A fit without a criterion (NaN) has no weight, NaN, and takes no part.
//
// References:
//   - Burnham, K. P. and Anderson, D. R.: Model Selection and Multimodel Inference, 2nd ed. Springer (2002), sec. 2.9
func AkaikeWeights(criteria []float64) []float64 {
	best := math.Inf(1)
	for _, c := range criteria {
		if c < best {
			best = c
		}
	}
	out, sum := lsqNaNs(len(criteria)), 0.0
	for i, c := range criteria {
		if math.IsNaN(c) {
			continue
		}
		out[i] = 0
		if c == best { // also where both are infinite
			out[i] = 1
		} else {
			out[i] = math.Exp(-(c - best) / 2)
		}
		sum += out[i]
	}
	for i := range out {
		out[i] /= sum
	}
	return out
}
