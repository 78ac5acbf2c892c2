package offtake

import (
	"math"
	"slices"
)

// sorted is a sorted copy.
func sorted(x []float64) []float64 {
	y := slices.Clone(x)
	slices.Sort(y)
	return y
}

// quantile is the p quantile of sorted numbers, type 7 of Hyndman and Fan (the default of R):
//
//	x[j] + f (x[j+1] - x[j]),  j + f = (n - 1) p
//
// counted from 0. It panics on no numbers.
//
// References:
//   - Hyndman, R. J. and Fan, Y.: Sample Quantiles in Statistical Packages. The American Statistician 50 (1996)
func quantile(x []float64, p float64) float64 {
	if len(x) == 0 {
		panic("offtake: quantile of no numbers")
	}
	j, f := position(len(x), p)
	if f == 0 {
		return x[j]
	}
	return between(x[j], x[j+1], f)
}

// position of the p quantile among n numbers.
func position(n int, p float64) (j int, f float64) {
	at := float64(n-1) * min(max(p, 0), 1)
	return int(at), at - math.Floor(at)
}

// between is the number the share f of the way from a to b, which may be infinite.
func between(a, b, f float64) float64 {
	if a == b {
		return a
	}
	return a + f*(b-a)
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
