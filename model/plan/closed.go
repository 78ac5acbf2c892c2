package plan

import "math"

// Neyman splits n units over strata with least variance of the total,
//
//	n_h = n N_h S_h/sqrt(c_h) / Σ N_h S_h/sqrt(c_h)
//
// with N_h the sizes, S_h the standard deviations and c_h the costs of one unit; nil costs are all alike. The n_h are
// not rounded. It panics where lengths differ or nothing varies.
//
// References:
//   - Neyman, J.: On the two different aspects of the representative method. Journal of the Royal Statistical Society
//     97 (1934) 558-625
//   - Cochran, W. G.: Sampling Techniques, 3rd ed. Wiley (1977), theorem 5.7
func Neyman(n float64, size, sd, cost []float64) []float64 {
	if len(size) != len(sd) || cost != nil && len(cost) != len(size) {
		panic("plan: slice length mismatch")
	}
	out, sum := make([]float64, len(size)), 0.0
	for h := range out {
		out[h] = size[h] * sd[h]
		if cost != nil {
			out[h] /= math.Sqrt(cost[h])
		}
		sum += out[h]
	}
	if !(sum > 0) {
		panic("plan: nothing varies")
	}
	for h := range out {
		out[h] *= n / sum
	}
	return out
}

// PerTransect is the number of quadrats on a transect by which the variance is least for the minutes spent,
//
//	m = S_w/S_b sqrt(c_1/c_2)
//
// with S_b² the variance between transects (net of what lies within), S_w² that within, c_1 the cost of a transect and
// c_2 that of a quadrat. It is not rounded, and +Inf where transects do not differ.
//
// References:
//   - Cochran, W. G.: Sampling Techniques, 3rd ed. Wiley (1977), section 10.6
func PerTransect(between, within, transect, quadrat float64) float64 {
	return math.Sqrt(within/between) * math.Sqrt(transect/quadrat)
}

// ShareToWeigh is the share of the quadrats to be weighed by which the variance is least for the minutes spent,
//
//	n/n' = sqrt( S_r²/(S_y² - S_r²) · c'/c )
//
// with S_y² the variance of weight, S_r² that of weight about what cover tells, c' the cost of reading a quadrat and c
// that of weighing it as well; not above 1, where all are.
//
// References:
//   - Cochran, W. G.: Sampling Techniques, 3rd ed. Wiley (1977), section 12.7
func ShareToWeigh(all, rest, read, weigh float64) float64 {
	if rest >= all {
		return 1
	}
	return min(1, math.Sqrt(rest/(all-rest)*read/weigh))
}
