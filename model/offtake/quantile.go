package offtake

import (
	"math"

	"bedstock/model/internal/quantile"
)

// Quantile is the p quantile, 0-1, of draws in any order, which it leaves as they are; it is type 7 of Hyndman and Fan. It
// panics on no draws.
func Quantile(draws []float64, p float64) float64 {
	return ofCopy(draws, func(x []float64) float64 { return quantile.Of(x, p) })
}

// spanOf draws, which it reorders.
func spanOf(x []float64, level float64) Span { return spanAt(x, (1-level)/2, (1+level)/2) }

// spanAt is the median of draws, which it reorders, and their quantiles at lo and hi.
func spanAt(x []float64, lo, hi float64) Span {
	median, low, high := quantile.Three(x, lo, hi)
	return Span{median, low, high}
}

// quantileSE is the Monte Carlo standard error of the p quantile of independent draws, from the quantiles a binomial
// standard error away. It reorders them.
//
// References:
//   - Woodruff, R. S.: Confidence Intervals for Medians and Other Position Measures. JASA 47 (1952)
func quantileSE(x []float64, p float64) float64 {
	d := math.Sqrt(p * (1 - p) / float64(len(x)))
	j, _ := quantile.Position(len(x), p+d)
	high := quantile.Of(x, p+d)
	return (high - quantile.Among(x, 0, j, p-d)) / 2
}

// roundDown rounds a positive number down to so many significant digits. What misses a step by rounding error of the
// arithmetic alone counts as having reached it. Anything else becomes 0, NaN stays NaN.
func roundDown(x float64, digits int) float64 {
	if !(x > 0) || math.IsInf(x, 0) {
		return max(0, x) // also +Inf and NaN
	}
	if x < 1e-200 {
		return 0 // its digits have no finite scale
	}
	e := int(math.Floor(math.Log10(x))) + 1 - digits
	down := func(y float64) float64 { return math.Floor(y * (1 + 1e-12)) }
	if e < 0 {
		step := math.Pow(10, float64(-e))
		return down(x*step) / step
	}
	step := math.Pow(10, float64(e))
	return down(x/step) * step
}
