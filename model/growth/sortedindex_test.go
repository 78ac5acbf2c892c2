package growth

import (
	"cmp"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
)

func TestSortedIndex(t *testing.T) {
	rng := rand.New(rand.NewPCG(8, 8))
	kinds := map[string]func() float64{
		"any size": func() float64 { return math.Exp(200*rng.NormFloat64()) * (rng.Float64() - 0.5) },
		"like":     func() float64 { return 1 + 1e-12*rng.Float64() },
		"far off": func() float64 { // all but a few in one place by their digits
			if rng.IntN(1000) == 0 {
				return 1e15
			}
			return rng.NormFloat64()
		},
		"ties":  func() float64 { return float64(rng.IntN(3) - 1) },
		"equal": func() float64 { return 3 },
		"zeros": func() float64 { return math.Copysign(0, rng.Float64()-0.5) },
		"extreme": func() float64 {
			return [...]float64{math.Inf(-1), -math.MaxFloat64, -5e-324, 0, 5e-324, math.MaxFloat64, math.Inf(1)}[rng.IntN(7)]
		},
	}
	for name, of := range kinds {
		for _, n := range []int{0, 1, 2, 7, 4000} {
			x, want := make([]float64, n), make([]int32, n)
			for i := range x {
				x[i], want[i] = of(), int32(i)
			}
			slices.SortStableFunc(want, func(a, b int32) int { return cmp.Compare(x[a], x[b]) })
			got := make([]int32, n)
			newSorter(n).order(x, got)
			assert.Equal(t, want, got, "%s, %d", name, n)
		}
	}
}

func BenchmarkSortedIndex(b *testing.B) {
	rng := rand.New(rand.NewPCG(8, 8))
	x := make([]float64, 4000)
	for i := range x {
		x[i] = rng.NormFloat64()
	}
	s, out := newSorter(len(x)), make([]int32, len(x))
	for b.Loop() {
		s.order(x, out)
	}
}
