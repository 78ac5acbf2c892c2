package elementary

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
)

// Two at a time give what one by one does, to the last bit, wherever among them lies what is outside of the range.
func TestExpTwoAtATimeIsAsOneByOne(t *testing.T) {
	rng := rand.New(rand.NewPCG(12, 13))
	far := []float64{0, math.Copysign(0, -1), 1e-300, 699.9999, -699.9999, 700, -700, -745, 1e300, math.Inf(1), math.Inf(-1)}
	bits := func(x []float64) (all []uint64) {
		for _, v := range x {
			all = append(all, math.Float64bits(v))
		}
		return all
	}
	for range 20000 {
		x := make([]float64, rng.IntN(12))
		odd := rng.IntN(3) * 8
		for i := range x {
			x[i] = math.Exp(3*rng.NormFloat64()) * rng.NormFloat64()
			if rng.IntN(100) < odd {
				x[i] = far[rng.IntN(len(far))]
			}
		}
		for _, c := range []float64{0, 1} {
			one, two := slices.Clone(x), slices.Clone(x)
			expPlain(one, c)
			expLess(two, c)
			assert.Equal(t, bits(one), bits(two), "%v less %g", x, c)
		}
	}
}
