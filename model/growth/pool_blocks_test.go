package growth

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// A spread that may be next to none is centred at 0 with its root mean square and falls with nothing; one far above 0 has its
// mean and what it falls with, is taken without its sign, and may not be proposed at 0 or below.
func TestSpreadsOfEitherSign(t *testing.T) {
	p := testRun(t)
	rng := rand.New(rand.NewPCG(5, 6))
	width := p.width()
	for i := range p.paths {
		p.paths[i] = nil
		for range 3000 {
			x := make([]float64, width)
			x[0], x[1] = rng.NormFloat64(), rng.NormFloat64()
			x[2] = 0.3 * rng.NormFloat64()                   // next to none
			x[3] = (2 + 0.3*rng.NormFloat64() + 0.4*x[0])    // far above
			x[3] *= float64(1 - 2*rng.IntN(2))               // of either sign
			x[4] = math.Abs(0.5+0.5*rng.NormFloat64()) * 1.1 // between
			p.paths[i] = append(p.paths[i], x...)
		}
	}
	for _, c := range p.chains {
		c.now.phi, c.now.omega = -0.1, -2
	}
	p.lay()
	n := len(p.block)
	require.Equal(t, [thetas]bool{3: true}, p.above)
	assert.Zero(t, p.frame.centre[2])
	approx(t, "root mean square", p.frame.l[2*n+2], 0.3, 0.03, 0)
	assert.Equal(t, []float64{0, 0}, p.frame.l[2*n:2*n+2])
	approx(t, "mean", p.frame.centre[3], 2, 0.02, 0)
	approx(t, "falls with log r", p.frame.l[3*n], 0.4, 0.1, 0)
	for _, c := range p.chains {
		assert.Equal(t, -0.1, c.now.phi)
		assert.Equal(t, 2.0, c.now.omega)
		c.give(c.now)
		c.now.theta(c.theta)
		for k, j := range p.block {
			c.v[k] = c.theta[j]
		}
		c.v[3] = -2
		p.frame.solve(c.v, c.move.yn)
		assert.Equal(t, math.Inf(-1), c.tryTheta())
	}
}

// The model knows nothing of the sign of a spread.
func TestTheSignOfASpreadTellsNothing(t *testing.T) {
	p := testRun(t)
	c := p.chains[0]
	c.now.phi, c.now.omega, c.now.w = 0.2, 0.3, 0.8
	c.give(c.now)
	lp := p.hold.prior(&c.now)
	beds := make([]float64, len(c.beds))
	for b, ch := range c.beds {
		ch.stand(&p.beds[b].frame)
		beds[b] = ch.lp
	}
	c.now.phi, c.now.omega, c.now.w = -0.2, -0.3, -0.8
	c.give(c.now)
	assert.Equal(t, lp, p.hold.prior(&c.now))
	for b, ch := range c.beds {
		ch.stand(&p.beds[b].frame)
		assert.Equal(t, beds[b], ch.lp)
	}
}

// After a sweep every bed holds what all have in common, and stands with the storms that its numbers give there, whether the last
// move led anywhere or not.
func TestBedsHoldWhatTheyStandAt(t *testing.T) {
	p := testRun(t)
	led := 0
	for k := range 200 {
		c := p.chains[k%len(p.chains)]
		before := c.now.logR
		c.along(k)
		if c.now.logR != before {
			led++
		}
		for b, ch := range c.beds {
			lead, r, kk, off, storms := ch.lead, ch.g.logR, ch.g.logK, slices.Clone(ch.w.off), slices.Clone(ch.storms)
			x, cut := slices.Clone(ch.x), ch.w.cut
			c.giveBed(b, &c.now)
			ch.follow(&p.beds[b].frame, ch.x)
			require.Equal(t, lead, ch.lead)
			require.Equal(t, []normal{r, kk}, []normal{ch.g.logR, ch.g.logK})
			require.Equal(t, off, ch.w.off)
			require.Equal(t, storms, ch.storms)
			require.Equal(t, x, ch.x)
			require.Equal(t, cut, ch.w.cut)
		}
		c.sweep(k, func() {}, func(int) {})
	}
	assert.Greater(t, led, 20)
	assert.Less(t, led, 195)
}
