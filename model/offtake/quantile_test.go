package offtake

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
)

func TestQuantileIsType7(t *testing.T) {
	// R 4.2: quantile(c(15, 20, 35, 40, 50), c(.05, .3, .4, .5, 1)) gives 16 23 29 35 50 by (n-1)p = .2, 1.2, 1.6, 2, 4.
	x := []float64{15, 20, 35, 40, 50}
	for _, w := range []struct{ p, q float64 }{{0.05, 16}, {0.3, 23}, {0.4, 29}, {0.5, 35}, {1, 50}, {0, 15}} {
		approx(t, "quantile", quantile(x, w.p), w.q, 1e-14, 0)
		approx(t, "quantile of any order", quantileOf([]float64{40, 15, 50, 35, 20}, w.p), w.q, 1e-14, 0)
	}
	inf := math.Inf(-1)
	assert.Equal(t, inf, quantile([]float64{inf, inf, 1}, 0.25))
	assert.Panics(t, func() { quantile(nil, 0.5) })
	assert.Panics(t, func() { quantileOf(nil, 0.5) })
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
			assert.Equal(t, want[k], pick(y, k))
			assert.Equal(t, want, sorted(y), "the same numbers")
			assert.LessOrEqual(t, slices.Max(y[:k+1]), slices.Min(y[k:]))
		}
		for _, p := range []float64{0, 0.2, 0.5, 0.977, 1} {
			assert.Equal(t, quantile(want, p), quantileOf(slices.Clone(x), p))
		}
	}
}

// The standard error of a median of n normals is sqrt(pi/2/n).
func TestQuantileSE(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 2))
	sum := 0.0
	for range 50 {
		x := make([]float64, 2000)
		for i := range x {
			x[i] = rng.NormFloat64()
		}
		sum += quantileSE(x, 0.5) / 50
	}
	approx(t, "standard error", sum, math.Sqrt(math.Pi/2/2000), 0.1, 0) // mean of 50 of spread 0.2
}

func TestRoundDown(t *testing.T) {
	for _, w := range []struct {
		x      float64
		digits int
		want   float64
	}{
		{1299.9, 2, 1200}, {1299.9, 3, 1290}, {0.3, 2, 0.3}, {0.1 * 3, 3, 0.3}, {0.7 * 130, 3, 91}, {999.99, 3, 999},
		{1000, 3, 1000}, {0.012345, 2, 0.012}, {5, 2, 5}, {0, 3, 0}, {-4, 2, 0}, {math.NaN(), 2, math.NaN()},
		{math.Inf(1), 2, math.Inf(1)}, {123456, 2, 120000}, {1e-306, 3, 0},
	} {
		approx(t, "rounded", roundDown(w.x, w.digits), w.want, 0, 0)
	}
}
