package survey

import (
	"math"
	"slices"
)

// Quantile is the sample quantile of x at probability p in [0, 1], definition 7 of Hyndman and Fan:
//
//	q = x(j) + (h - j) (x(j+1) - x(j)),  h = (n - 1) p + 1,  j = floor(h)
//
// with x(j) the j-th smallest value. It is the default of R and of spreadsheet programs. x need not be sorted and is
// not changed. The quantile of no values, or of values with a NaN among them, is NaN. It panics on p outside [0, 1].
//
// References:
//   - Hyndman, R. J. and Fan, Y.: Sample quantiles in statistical packages. The American Statistician 50 (1996) 361-365
func Quantile(x []float64, p float64) float64 {
	if !(p >= 0 && p <= 1) {
		panic("survey: quantile of a probability outside [0, 1]")
	}
	if len(x) == 0 {
		return math.NaN()
	}
	if !slices.IsSorted(x) { // a NaN is never in order but at the front
		x = slices.Clone(x)
		slices.Sort(x)
	}
	if math.IsNaN(x[0]) {
		return math.NaN()
	}
	h := float64(len(x)-1) * p
	j := int(h)
	if j == len(x)-1 || h == float64(j) {
		return x[j]
	}
	return x[j] + (h-float64(j))*(x[j+1]-x[j])
}
