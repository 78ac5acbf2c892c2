package survey

import (
	"math"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// sortedMiddle is the median of values by sorting them.
func sortedMiddle(x []float64) float64 {
	x = slices.Sorted(slices.Values(x))
	n := len(x)
	return (x[(n-1)/2] + x[n/2]) / 2
}

// Selection finds what sorting finds, bit by bit, among values with ties or without, in any order.
func TestNthIsThatOfSortedValues(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		most := rapid.SampledFrom([]int{1, 3, 1e6}).Draw(t, "most")
		x := rapid.SliceOfN(rapid.Map(rapid.IntRange(-most, most), func(i int) float64 { return float64(i) / 7 }), 1, 300).Draw(t, "x")
		sorted := slices.Sorted(slices.Values(x))
		k := rapid.IntRange(0, len(x)-1).Draw(t, "k")
		got := slices.Clone(x)
		require.Equal(t, sorted[k], nth(got, k))
		require.LessOrEqual(t, slices.Max(got[:k+1]), sorted[k])
		require.GreaterOrEqual(t, slices.Min(got[k:]), sorted[k])
		require.Equal(t, sorted, slices.Sorted(slices.Values(got)), "nothing is lost")
		require.Equal(t, sortedMiddle(x), middle(slices.Clone(x)))
		require.Equal(t, Quantile(x, 0.5), middleQuantile(slices.Clone(x)))
	})
}

func TestNthOfManyInOrder(t *testing.T) {
	for name, of := range map[string]func(i int) float64{
		"rising":  func(i int) float64 { return float64(i) },
		"falling": func(i int) float64 { return float64(-i) },
		"equal":   func(int) float64 { return 4 },
		"organ":   func(i int) float64 { return math.Abs(float64(i - 5000)) },
		"saw":     func(i int) float64 { return float64(i % 100) },
		"endless": func(i int) float64 { return math.Inf(i%3 - 1) },
	} {
		x := make([]float64, 10001)
		for i := range x {
			x[i] = of(i)
		}
		sorted := slices.Sorted(slices.Values(x))
		assert.Equal(t, sorted[5000], nth(slices.Clone(x), 5000), name)
		assert.Equal(t, sorted[10], nth(slices.Clone(x), 10), name)
	}
}
