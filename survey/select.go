package survey

import (
	"math"
	"slices"
)

// nth puts the k-th smallest of values (k from 0) at its place, with none larger before it and none smaller after it,
// and returns it. There must be no NaN. Expected time is linear; where the pivots are unlucky the values are sorted.
//
// References:
//   - Hoare, C. A. R.: Algorithm 65: Find. Communications of the ACM 4 (1961) 321-322
func nth(x []float64, k int) float64 {
	lo, hi := 0, len(x)-1
	for rounds := 0; lo < hi; rounds++ {
		if hi-lo < 12 || rounds > 64 {
			slices.Sort(x[lo : hi+1])
			break
		}
		pivot := pivotOf(x, lo, hi)
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
	return x[k]
}

// pivotOf is the median of three medians of three values spread over x[lo:hi+1], a range of at least nine.
func pivotOf(x []float64, lo, hi int) float64 {
	step := (hi - lo) / 8
	at := func(i int) float64 { return x[lo+i*step] }
	return medianOf3(medianOf3(at(0), at(1), at(2)), medianOf3(at(3), at(4), at(5)), medianOf3(at(6), at(7), at(8)))
}

func medianOf3(a, b, c float64) float64 { return max(min(a, b), min(max(a, b), c)) }

// middle is the median of values, which it puts into another order: the mean of the two in the middle of an even
// number.
func middle(x []float64) float64 {
	n := len(x)
	high := nth(x, n/2)
	low := high
	if n%2 == 0 {
		low = slices.Max(x[:n/2])
	}
	return (low + high) / 2
}

// middleOff is the median of the distances of values from the given middle, and puts those in their place.
func middleOff(x []float64, from float64) float64 {
	for i, v := range x {
		x[i] = math.Abs(v - from)
	}
	return middle(x)
}

// middleQuantile is [Quantile] at 0.5, bit by bit; it puts the values into another order. There must be no NaN.
func middleQuantile(x []float64) float64 {
	if len(x) == 0 {
		return math.NaN()
	}
	h := float64(len(x)-1) * 0.5
	j := int(h)
	low := nth(x, j)
	if h == float64(j) {
		return low
	}
	return low + (h-float64(j))*(slices.Min(x[j+1:])-low)
}
