package offtake

import "math"

// quantileOf is the p quantile of numbers in any order, which it reorders, type 7 of Hyndman and Fan (the default of R):
//
//	x[j] + f (x[j+1] - x[j]),  j + f = (n - 1) p
//
// of the sorted numbers, counted from 0. It panics on no numbers.
//
// References:
//   - Hyndman, R. J. and Fan, Y.: Sample Quantiles in Statistical Packages. The American Statistician 50 (1996)
func quantileOf(x []float64, p float64) float64 {
	if len(x) == 0 {
		panic("offtake: quantile of no numbers")
	}
	return quantileAmong(x, 0, len(x)-1, p)
}

// quantileAmong is quantileOf where the number of rank from stands at its place with all smaller ones before it, and that of
// rank to with all larger ones behind it. It keeps to the numbers between them where the quantile lies there.
func quantileAmong(x []float64, from, to int, p float64) float64 {
	j, f := position(len(x), p)
	if j < from || j >= to {
		from, to = 0, len(x)-1
	}
	low := pick(x[from:to+1], j-from)
	if f == 0 {
		return low
	}
	return between(low, least(x[j+1:to+1]), f)
}

// least is the smallest of some numbers, which may not be NaN.
func least(x []float64) float64 {
	m := x[0]
	for _, v := range x {
		if v < m {
			m = v
		}
	}
	return m
}

// Quantile is the p quantile, 0-1, of draws in any order, which it leaves as they are; it is type 7 of Hyndman and Fan. It
// panics on no draws.
func Quantile(draws []float64, p float64) float64 {
	return ofCopy(draws, func(x []float64) float64 { return quantileOf(x, p) })
}

// spanOf draws, which it reorders.
func spanOf(x []float64, level float64) Span { return spanAt(x, (1-level)/2, (1+level)/2) }

// spanAt is the median of draws, which it reorders, and their quantiles at lo and hi.
func spanAt(x []float64, lo, hi float64) Span {
	m, _ := position(len(x), 0.5)
	median := quantileOf(x, 0.5)
	return Span{median, quantileAmong(x, 0, m, lo), quantileAmong(x, m, len(x)-1, hi)}
}

// quantileSE is the Monte Carlo standard error of the p quantile of independent draws, from the quantiles a binomial
// standard error away. It reorders them.
//
// References:
//   - Woodruff, R. S.: Confidence Intervals for Medians and Other Position Measures. JASA 47 (1952)
func quantileSE(x []float64, p float64) float64 {
	d := math.Sqrt(p * (1 - p) / float64(len(x)))
	j, _ := position(len(x), p+d)
	high := quantileOf(x, p+d)
	return (high - quantileAmong(x, 0, j, p-d)) / 2
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
