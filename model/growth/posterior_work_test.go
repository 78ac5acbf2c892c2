package growth

import (
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
)

// What the room of a chain keeps from one point to the next never tells on the numbers: they are those of empty room, to the
// bit, whichever of r, K, σ, the cut, the storms, shared errors and stocks has changed since. So are those that are left out where
// no cut is known and the changes between surveys are free.
func TestWorkKeepsNothingStale(t *testing.T) {
	for _, known := range []bool{true, false} {
		s, prior, season, plots, set := fiveSurveys()
		s.CutsKnown = known
		r := runOf(t, []BedSeries{{"bed", s}}, prior, season, plots, set)
		c, f := r.chains[0].beds[0], r.beds[0].frame
		assert.Equal(t, !known, c.g.free)
		workKeepsNothingStale(t, c, f)
	}
}

func workKeepsNothingStale(t *testing.T, c *chain, f frame) {
	plain := *c.g // with nothing left out
	plain.free = false
	chart := *f.chart
	chart.g = &plain
	all := frame{&chart, f.chances, f.centre, f.l}
	g, rng := c.g, rand.New(rand.NewPCG(3, 4))
	d := g.dim()
	x, v := slices.Clone(c.x), make([]float64, d)
	got, want := make([]float64, d), make([]float64, d)
	for trial := range 400 {
		switch trial % 7 {
		case 0:
			x[0] += 0.1 * rng.NormFloat64()
		case 1:
			x[1] += 0.01 * rng.NormFloat64()
		case 2:
			x[2] *= 1 + 0.1*rng.NormFloat64()
		case 3:
			c.w.cut += 0.01 * rng.NormFloat64()
		case 4:
			c.storms[trial%len(c.storms)] = !c.storms[trial%len(c.storms)]
		case 5:
			c.w.off[trial%g.n] += 0.01 * rng.NormFloat64()
		case 6:
			x[fixed+trial%g.n] += 0.01 * rng.NormFloat64()
		}
		fresh := newWork(g)
		fresh.cut = c.w.cut
		copy(fresh.off, c.w.off)
		assert.Equal(t, plain.density(x, c.storms, fresh), g.density(x, c.storms, c.w))
		assert.Equal(t, all.inverse(x, want, c.storms, fresh), f.inverse(x, got, c.storms, c.w))
		assert.Equal(t, want, got)
		copy(v, got)
		v[fixed+trial%g.n] += 0.1 * rng.NormFloat64()
		assert.Equal(t, all.forward(v, want, c.storms, fresh), f.forward(v, got, c.storms, c.w))
		assert.Equal(t, want, got)
	}
}
