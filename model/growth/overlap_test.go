package growth

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"gonum.org/v1/gonum/stat/distuv"
)

// The overlap of two normals with the sd 1 and the distance d is 2 Φ(-d/2); of N(0, 1) and N(0, s), s < 1, with the
// densities equal at ±c, c² = 2 log(1/s)/(1/s² - 1), it is 2 Φ(c) - 1 + 2 Φ(-c/s) (Inman & Bradley 1989). The densities
// are those of logarithms; before is N(log 0.5, 0.4).
func TestOverlap(t *testing.T) {
	const sd, level = 0.4, 0.95
	z := math.Sqrt2 * math.Erfinv(level)
	before := Interval{Median: 0.5, Lo: 0.5 * math.Exp(-z*sd), Hi: 0.5 * math.Exp(z*sd)}
	draws := func(shift, scale float64) []float64 {
		rng := rand.New(rand.NewPCG(2, 9))
		out := make([]float64, 4000)
		for i := range out {
			out[i] = 0.5 * math.Exp(sd*(shift+scale*rng.NormFloat64()))
		}
		return out
	}
	phi := distuv.UnitNormal.CDF
	for _, d := range []float64{0, 0.5, 1, 3} {
		approx(t, "shifted", Overlap(before, level, draws(d, 1)), 2*phi(-d/2), 0, 0.03)
	}
	for _, s := range []float64{0.5, 0.1, 0.002} {
		c := math.Sqrt(2 * math.Log(1/s) / (1/(s*s) - 1))
		approx(t, "narrowed", Overlap(before, level, draws(0, s)), 2*phi(c)-1+2*phi(-c/s), 0, 0.02)
	}
	assert.Less(t, Overlap(before, level, draws(40, 1)), 1e-6)
	for _, bad := range []Interval{{}, {0.5, 0.5, 0.5}, {math.NaN(), 0, 1}, {1, 0, 2}} {
		assert.True(t, math.IsNaN(Overlap(bad, level, draws(0, 1))), "%v", bad)
	}
	assert.True(t, math.IsNaN(Overlap(before, level, make([]float64, 200))), "draws of 0")
	assert.True(t, math.IsNaN(Overlap(before, level, nil)))
}
