package growth

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/stat"
)

// The one way leads back the other, and the slope is the derivative, with tails long and short and far out.
func TestABendLeadsBothWays(t *testing.T) {
	for _, b := range []bend{straight, {2, 0.5, 0, 1}, {-1, 3, 0.8, 0.6}, {0.3, 1, -1.5, 0.4}, {0, 2, 0.2, 1.05}} {
		for _, u := range []float64{-30, -3, -0.5, 0, 1e-6, 0.7, 4, 50} {
			v, slope := b.apply(u)
			back, same := b.solve(v)
			approx(t, "back", back, u, 1e-9, 1e-9)
			approx(t, "slope", same, slope, 0, 1e-9)
			const h = 1e-5
			above, _ := b.apply(u + h*math.Max(1, math.Abs(u)))
			below, _ := b.apply(u - h*math.Max(1, math.Abs(u)))
			approx(t, "derivative", slope, math.Log((above-below)/(2*h*math.Max(1, math.Abs(u)))), 0, 1e-4)
		}
	}
	v, slope := straight.apply(1.7)
	approx(t, "straight", v, 1.7, 1e-14, 0)
	approx(t, "straight", slope, 0, 0, 1e-14)
}

// A normal is left as it is but for its place and width; a core with a long tail above, and the logarithm of an exponential, which
// has one below, lose nine tenths of their skewness or more.
func TestABendTakesSkewnessAway(t *testing.T) {
	rng := rand.New(rand.NewPCG(3, 8))
	draw := func(of func() float64) []float64 {
		x := make([]float64, 20000)
		for i := range x {
			x[i] = of()
		}
		return x
	}
	b := fitBend(draw(func() float64 { return 4 + 0.5*rng.NormFloat64() }))
	approx(t, "skew", b.skew, 0, 0, 0.03)
	approx(t, "tail", b.tail, 1, 0, 0.05)
	approx(t, "at", b.at, 4, 0, 0.03)
	for name, x := range map[string][]float64{
		"above": draw(func() float64 { return 0.5*rng.NormFloat64() + math.Pow(rng.ExpFloat64(), 1.6) }),
		"below": draw(func() float64 { return math.Log(rng.ExpFloat64()) }),
	} {
		b := fitBend(x)
		u := make([]float64, len(x))
		for i, v := range x {
			u[i], _ = b.solve(v)
		}
		before, after := stat.Skew(x, nil), stat.Skew(u, nil)
		assert.Greater(t, math.Abs(before), 1.0, name)
		assert.Less(t, math.Abs(after), 0.1*math.Abs(before), name)
		approx(t, name, stat.Mean(u, nil), 0, 0, 0.05)
		approx(t, name, stat.StdDev(u, nil), 1, 0.05, 0)
	}
}

// Few numbers, or one and the same, give a bend that can be used.
func TestABendOfFewNumbers(t *testing.T) {
	assert.Equal(t, straight, fitBend([]float64{2, 2, 2, 2, 2, 2, 2, 2, 2, 2}))
	for _, x := range [][]float64{{1}, {1, 2}, {1, 1, 1, 1, 5}, {-3, 0, 1, 1.5, 40}} {
		b := fitBend(x)
		require.Greater(t, b.scale, 0.0)
		for _, v := range x {
			u, slope := b.solve(v)
			require.False(t, math.IsNaN(u+slope) || math.IsInf(u+slope, 0), "%v: %v %v", x, u, slope)
		}
	}
}
