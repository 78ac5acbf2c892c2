package growth

import (
	"math"

	"bedstock/model/internal/elementary"
)

// chances are about how likely each undated storm of a bed is given log r, log K and w,
//
//	π_t(x) = p_t (1 + Σ_i k_ti d_i),  within [leastChance, 1-leastChance];  0 where none can have come
//
// where d_i is x_i less its mean, within reach, for further out storms come about as often as there.
//
// A storm comes where a uniform number u_t is below π_t. Where u is held fixed and x moves, storms come and go as the surveys
// would have them, and do not tie r and K to where they were. The sampler works on the exact density all the same: it divides
// by the probability with which u gives the storms.
type chances struct {
	p           []float64
	tilt        [][fixed]float64 // k of each storm
	mean, reach [fixed]float64
	any         bool // a storm can have come
}

const leastChance = 0.03

func newChances(g *target) *chances {
	c := &chances{tilt: make([][fixed]float64, len(g.links))}
	for i := range c.reach {
		c.reach[i] = math.Inf(1)
	}
	for _, l := range g.links {
		c.p = append(c.p, l.p)
		c.any = c.any || l.p > 0
	}
	return c
}

// away is how far x lies from the means, within reach.
func (c *chances) away(x []float64) (d [fixed]float64) {
	for i := range d {
		d[i] = min(max(x[i]-c.mean[i], -c.reach[i]), c.reach[i])
	}
	return d
}

// at is the chance of a storm so far away from the means.
func (c *chances) at(t int, away *[fixed]float64) float64 {
	if c.p[t] == 0 {
		return 0
	}
	by := 1.0
	for i, k := range c.tilt[t] {
		by += k * away[i]
	}
	return min(max(c.p[t]*by, leastChance), 1-leastChance)
}

// numbers draws the uniform numbers given x and the storms.
func (c *chain) numbers(f *frame) {
	away := f.chances.away(c.x)
	for t := range c.u {
		p := f.chances.at(t, &away)
		if c.u[t] = c.rng.Float64(); c.storms[t] {
			c.u[t] *= p
		} else {
			c.u[t] = p + (1-p)*c.u[t]
		}
	}
}

// follow sets the storms that u gives at x, and returns the log of the probability with which it does.
func (c *chain) follow(f *frame, x []float64) float64 {
	if !f.chances.any {
		return 0
	}
	away, prod := f.chances.away(x), 1.0
	for t, u := range c.u {
		p := f.chances.at(t, &away)
		if c.storms[t] = u < p; c.storms[t] {
			prod *= p
		} else {
			prod *= 1 - p
		}
	}
	return elementary.Log(prod)
}
