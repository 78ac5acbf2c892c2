package quantile

import (
	"math"
	"slices"
)

// Pick moves the k smallest numbers of x before the others, the next one to x[k], and returns it (counted from 0). It
// takes a time that is linear in their number, where sorting would take most of the time of an advice: among many
// numbers it first picks, from a sample of those around, bounds between which the wanted one almost surely lies. Among numbers
// of which some are NaN it ends, with any of them.
//
// References:
//   - Floyd, R. W. and Rivest, R. L.: Algorithm 489: The algorithm SELECT. Communications of the ACM 18 (1975), 173
func Pick(x []float64, k int) float64 {
	lo, hi := 0, len(x)-1
	for hi-lo > fewToPick {
		pivot := median3(x[lo], x[lo+(hi-lo)/2], x[hi])
		if hi-lo > manyToPick {
			from, to := sampleAround(lo, k, hi)
			pivot = Pick(x[from:to+1], k-from)
		}
		switch m := lo + smaller(x[lo:hi+1], pivot); {
		case k < m:
			hi = m - 1
		case m > lo:
			lo = m
		case math.IsNaN(pivot):
			return pivot // there is no order
		default: // none is below the pivot: those that equal it go first
			for i := lo; i <= hi; i++ {
				if x[i] == pivot {
					x[i], x[lo] = x[lo], x[i]
					lo++
				}
			}
			if k < lo {
				return x[k]
			}
		}
	}
	slices.Sort(x[lo : hi+1])
	return x[k]
}

// smaller moves the numbers below a bound before the others and gives how many they are. There is no branch in it: half of
// all numbers would take the one that the processor did not expect.
func smaller(x []float64, bound float64) (m int) {
	for i, v := range x {
		x[i] = x[m]
		x[m] = v
		below := 0
		if v < bound {
			below = 1
		}
		m += below
	}
	return m
}

// Numbers up to which sorting is as fast, and beyond which a sample pays.
const (
	fewToPick  = 16
	manyToPick = 600
)

// sampleAround are the first and last of the numbers lo to hi among which the one of rank k is sought first: about half of
// n^(2/3), in which k stands a standard deviation nearer to the middle than among all.
func sampleAround(lo, k, hi int) (from, to int) {
	n, at := float64(hi-lo+1), float64(k-lo+1)
	size := math.Exp(2*math.Log(n)/3) / 2
	beside := math.Copysign(math.Sqrt(math.Log(n)*size*(n-size)/n)/2, at-n/2)
	from = int(float64(k) - at*size/n + beside)
	to = int(float64(k) + (n-at)*size/n + beside)
	return min(max(from, lo), k), max(min(to, hi), k)
}

func median3(a, b, c float64) float64 { return max(min(a, b), min(max(a, b), c)) }
