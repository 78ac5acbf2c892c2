package quantile

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
)

// sorted is a sorted copy.
func sorted(x []float64) []float64 {
	y := slices.Clone(x)
	slices.Sort(y)
	return y
}

func TestQuantileIsType7(t *testing.T) {
	// R 4.2: quantile(c(15, 20, 35, 40, 50), c(.05, .3, .4, .5, 1)) gives 16 23 29 35 50 by (n-1)p = .2, 1.2, 1.6, 2, 4.
	x := []float64{15, 20, 35, 40, 50}
	for _, w := range []struct{ p, q float64 }{{0.05, 16}, {0.3, 23}, {0.4, 29}, {0.5, 35}, {1, 50}, {0, 15}} {
		assert.InEpsilon(t, w.q, Sorted(x, w.p), 1e-14)
		assert.InEpsilon(t, w.q, Of([]float64{40, 15, 50, 35, 20}, w.p), 1e-14, "of any order")
	}
	inf := math.Inf(-1)
	assert.Equal(t, inf, Sorted([]float64{inf, inf, 1}, 0.25))
	assert.Panics(t, func() { Of(nil, 0.5) })
}

func TestPickAgreesWithSorting(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 2))
	for n := 1; n < 400; n += 7 {
		x := make([]float64, n)
		for i := range x {
			x[i] = float64(rng.IntN(n)) // with ties
			if rng.IntN(9) == 0 {
				x[i] = math.Inf(-1)
			}
		}
		want := sorted(x)
		for _, k := range []int{0, n / 3, n / 2, n - 1} {
			y := slices.Clone(x)
			assert.Equal(t, want[k], Pick(y, k))
			assert.Equal(t, want, sorted(y), "the same numbers")
			assert.LessOrEqual(t, slices.Max(y[:k+1]), slices.Min(y[k:]))
		}
		for _, p := range []float64{0, 0.2, 0.5, 0.977, 1} {
			assert.Equal(t, Sorted(want, p), Of(slices.Clone(x), p))
		}
	}
}

func TestPickEndsWhereSomeAreNaN(t *testing.T) {
	rng := rand.New(rand.NewPCG(3, 1))
	for range 200 {
		x := make([]float64, 1+rng.IntN(3000))
		every := 1 + rng.IntN(5)
		for i := range x {
			x[i] = float64(rng.IntN(50))
			if i%every == 0 {
				x[i] = math.NaN()
			}
		}
		k := rng.IntN(len(x))
		Pick(x, k)
		if every == 1 {
			assert.True(t, math.IsNaN(x[k]))
		}
	}
}

// Many numbers are picked by samples: the same numbers as by sorting, of any kind of order, with ties and without end.
func TestQuantilesOfManyAgreeWithSorting(t *testing.T) {
	rng := rand.New(rand.NewPCG(3, 4))
	kinds := map[string]func(i, n int) float64{
		"normal":      func(int, int) float64 { return rng.NormFloat64() },
		"ties":        func(int, int) float64 { return float64(rng.IntN(5)) },
		"equal":       func(int, int) float64 { return 7 },
		"rising":      func(i, _ int) float64 { return float64(i) },
		"falling":     func(i, _ int) float64 { return -float64(i) },
		"up and down": func(i, n int) float64 { return math.Abs(float64(i - n/2)) },
		"infinite": func(i, _ int) float64 {
			return [...]float64{math.Inf(1), rng.Float64(), -rng.Float64()}[i%3]
		},
	}
	for name, of := range kinds {
		for _, n := range []int{1, 2, 3, 599, 602, 4000, 4001, 30000} {
			x := make([]float64, n)
			for i := range x {
				x[i] = of(i, n)
			}
			want := sorted(x)
			for _, p := range []float64{0, 0.001, 0.025, 0.2, 0.5, 0.975, 1} {
				assert.Equal(t, Sorted(want, p), Of(slices.Clone(x), p), "%s, %d, %g", name, n, p)
			}
			for _, level := range []float64{0.01, 0.5, 0.95} {
				low, high, y := (1-level)/2, (1+level)/2, slices.Clone(x)
				median, lo, hi := Three(y, low, high)
				assert.Equal(t, []float64{Sorted(want, 0.5), Sorted(want, low), Sorted(want, high)}, []float64{median, lo, hi}, "%s, %d, %g", name, n, level)
				assert.Equal(t, want, sorted(y), "the same numbers")
			}
		}
	}
}

// Also where only one of them is next to the median.
func TestThreeOfWhichTwoAreNeighbours(t *testing.T) {
	rng := rand.New(rand.NewPCG(5, 6))
	for range 500 {
		x := make([]float64, 40+rng.IntN(200))
		for i := range x {
			x[i] = rng.NormFloat64()
		}
		want, near := sorted(x), rng.Float64()/float64(len(x))
		for _, p := range [][2]float64{{0.1, 0.5 + near}, {0.5 - near, 0.9}} {
			median, lo, hi := Three(slices.Clone(x), p[0], p[1])
			assert.Equal(t, []float64{Sorted(want, 0.5), Sorted(want, p[0]), Sorted(want, p[1])}, []float64{median, lo, hi}, "%d, %g", len(x), p)
		}
	}
}

// Draws as they are handed on, others each time, and the quantiles that are asked of them.
func BenchmarkQuantile(b *testing.B) {
	rng := rand.New(rand.NewPCG(1, 2))
	const n, others = 4000, 100
	x, y := make([]float64, n*others), make([]float64, n)
	for i := range x {
		x[i] = rng.NormFloat64()
	}
	for name, of := range map[string]func([]float64){
		"one":  func(x []float64) { Of(x, 0.2) },
		"span": func(x []float64) { Three(x, 0.025, 0.975) },
	} {
		b.Run(name, func(b *testing.B) {
			for i := 0; b.Loop(); i = (i + 1) % others {
				copy(y, x[i*n:])
				of(y)
			}
		})
	}
}
