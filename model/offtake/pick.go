package offtake

import (
	"math"
	"slices"
)

// pick moves the k smallest numbers of x before the others, the next one to x[k], and returns it (counted from 0). It
// takes a time that is linear in their number, where sorting would take most of the time of an advice.
func pick(x []float64, k int) float64 {
	lo, hi := 0, len(x)-1
	for hi-lo > 16 {
		pivot := median3(x[lo], x[lo+(hi-lo)/2], x[hi])
		i, j := lo, hi
		for i <= j {
			for x[i] < pivot {
				i++
			}
			for x[j] > pivot {
				j--
			}
			if i <= j {
				x[i], x[j] = x[j], x[i]
				i++
				j--
			}
		}
		switch {
		case k <= j:
			hi = j
		case k >= i:
			lo = i
		default:
			return x[k]
		}
	}
	slices.Sort(x[lo : hi+1])
	return x[k]
}

func median3(a, b, c float64) float64 { return max(min(a, b), min(max(a, b), c)) }

// quantileOf is [quantile] of numbers in any order, which it reorders.
func quantileOf(x []float64, p float64) float64 {
	if len(x) == 0 {
		panic("offtake: quantile of no numbers")
	}
	j, f := position(len(x), p)
	low := pick(x, j)
	if f == 0 {
		return low
	}
	return between(low, slices.Min(x[j+1:]), f)
}

// quantileSE is the Monte Carlo standard error of the p quantile of independent draws, from the quantiles a binomial
// standard error away. It reorders them.
//
// References:
//   - Woodruff, R. S.: Confidence Intervals for Medians and Other Position Measures. JASA 47 (1952)
func quantileSE(x []float64, p float64) float64 {
	d := math.Sqrt(p * (1 - p) / float64(len(x)))
	return (quantileOf(x, p+d) - quantileOf(x, p-d)) / 2
}
