// Package quantile gives quantiles of numbers in any order without sorting them.
package quantile

import "math"

// Of is the p quantile of numbers in any order, which it reorders, type 7 of Hyndman and Fan (the default of R):
//
//	x[j] + f (x[j+1] - x[j]),  j + f = (n - 1) p
//
// of the sorted numbers, counted from 0. It panics on no numbers.
//
// References:
//   - Hyndman, R. J. and Fan, Y.: Sample Quantiles in Statistical Packages. The American Statistician 50 (1996)
func Of(x []float64, p float64) float64 {
	if len(x) == 0 {
		panic("quantile: of no numbers")
	}
	return Among(x, 0, len(x)-1, p)
}

// Among is Of where those of the ranks from to to stand at these places, in any order. It keeps to them where the quantile
// lies there.
func Among(x []float64, from, to int, p float64) float64 {
	j, f := Position(len(x), p)
	if j < from || j >= to {
		from, to = 0, len(x)-1
	}
	low := Pick(x[from:to+1], j-from)
	if f == 0 {
		return low
	}
	return Between(low, least(x[j+1:to+1]), f)
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

// Sorted is [Of] numbers from the smallest.
func Sorted(x []float64, p float64) float64 {
	j, f := Position(len(x), p)
	if f == 0 {
		return x[j]
	}
	return Between(x[j], x[j+1], f)
}

// Three are the median of numbers, which it reorders, and their quantiles at low and high, below and above 0.5.
func Three(x []float64, low, high float64) (median, lo, hi float64) {
	m, _ := Position(len(x), 0.5)
	median = Of(x, 0.5)
	return median, Among(x, 0, m, low), Among(x, m+1, len(x)-1, high) // the first may move the number at m
}

// Position of the p quantile among n numbers.
func Position(n int, p float64) (j int, f float64) {
	at := float64(n-1) * min(max(p, 0), 1)
	return int(at), at - math.Floor(at)
}

// Between is the number the share f of the way from a to b, which may be infinite.
func Between(a, b, f float64) float64 {
	if a == b {
		return a
	}
	return a + f*(b-a)
}
