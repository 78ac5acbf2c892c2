package offtake

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"

	"bedstock/model/internal/quantile"
)

// sorted is a sorted copy.
func sorted(x []float64) []float64 {
	y := slices.Clone(x)
	slices.Sort(y)
	return y
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

func TestQuantileSEAgreesWithSorting(t *testing.T) {
	rng := rand.New(rand.NewPCG(3, 4))
	for _, n := range []int{1, 2, 3, 599, 602, 4000, 4001, 30000} {
		x := make([]float64, n)
		for i := range x {
			x[i] = float64(rng.IntN(n)) // with ties
		}
		want, d := sorted(x), math.Sqrt(0.5*0.5/float64(n))
		assert.Equal(t, (quantile.Sorted(want, 0.5+d)-quantile.Sorted(want, 0.5-d))/2, quantileSE(slices.Clone(x), 0.5), "%d", n)
	}
}

func TestQuantileLeavesDrawsAsTheyAre(t *testing.T) {
	x := []float64{40, 15, 50, 35, 20}
	assert.Equal(t, 35.0, Quantile(x, 0.5))
	assert.Equal(t, []float64{40, 15, 50, 35, 20}, x)
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
