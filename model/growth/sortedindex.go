package growth

import (
	"cmp"
	"math"
	"slices"
)

// Numbers are sorted by two digits of their place between the smallest and the largest: draws are nearly always told apart by
// them.
const (
	radixBits = 10
	radixMask = 1<<radixBits - 1
)

// sorter is room to sort so many numbers: the place of each in the high half, its index in the low.
type sorter struct{ items, next []uint64 }

func newSorter(n int) sorter { return sorter{make([]uint64, n), make([]uint64, n)} }

// order is the order of x from the smallest, of equal numbers from the first; x holds no NaN. Diagnostics sort every quantity
// of every bed: sorting by digits, from the lowest, takes a tenth of the time of comparing. What the digits leave out of order
// is put in its place at last, or, if they tell too little apart, all of it by comparing.
func (s sorter) order(x []float64, out []int32) {
	if !s.byDigits(x, out) {
		for i := range out {
			out[i] = int32(i)
		}
		slices.SortStableFunc(out, func(a, b int32) int { return cmp.Compare(x[a], x[b]) })
	}
}

// byDigits is false where it does not serve.
func (s sorter) byDigits(x []float64, out []int32) bool {
	lo, hi := math.Inf(1), math.Inf(-1)
	for _, v := range x {
		if v < lo {
			lo = v
		}
		if v > hi {
			hi = v
		}
	}
	scale := (1<<(2*radixBits) - 1) / (hi - lo)
	if !(scale > 0 && scale <= math.MaxFloat64) {
		return false
	}
	var low, high [1 << radixBits]int32
	for i, v := range x {
		key := uint64((v - lo) * scale)
		s.items[i] = key<<32 | uint64(i)
		low[key&radixMask]++
		high[key>>radixBits&radixMask]++
	}
	deal(s.items, s.next, 32, &low)
	deal(s.next, s.items, 32+radixBits, &high)
	return s.settle(x, out)
}

// deal moves items by a digit, of which each has so many.
func deal(items, next []uint64, shift int, count *[1 << radixBits]int32) {
	sum := int32(0)
	for k, n := range count {
		count[k], sum = sum, sum+n
	}
	for _, it := range items {
		at := &count[it>>shift&radixMask]
		next[*at] = it
		*at++
	}
}

// settle puts those of equal place in order; it gives up when they are many.
func (s sorter) settle(x []float64, out []int32) bool {
	moves, items := 8*len(x), s.items
	for j, it := range items {
		k, v := j, x[uint32(it)]
		for ; k > 0 && items[k-1]>>32 == it>>32 && x[uint32(items[k-1])] > v; k-- {
			items[k] = items[k-1]
			moves--
		}
		items[k] = it
		if moves < 0 {
			return false
		}
	}
	for j, it := range items {
		out[j] = int32(it)
	}
	return true
}
