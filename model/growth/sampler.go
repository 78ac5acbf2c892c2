package growth

import (
	"hash/fnv"
	"math"
	"math/rand/v2"
	"strconv"
)

// chain is what one Markov chain holds of one bed. It moves the undated storms and all coordinates but w, given what the beds
// have in common.
type chain struct {
	mover
	g      *target // of its own: the means and spreads of log r and log K are those of the species in this chain
	x      []float64
	storms []bool    // the undated storms
	u      []float64 // the uniform numbers that they come by, see [chances]
	stood  []float64 // room for them
	v      []float64
	lp     float64 // log density at v, less that with which u gives the storms
	xn     []float64
	w      *work
	lead   lead // from v to log r and log K, as what the beds have in common has it
}

// stream is a source of random numbers by name.
func stream(seed uint64, name string) rand.Source {
	h := fnv.New64a()
	h.Write([]byte(name))
	return rand.NewPCG(seed, h.Sum64())
}

func newChain(g *target, seed uint64, name string, index int) *chain {
	own := *g
	src := stream(seed, name+"|"+strconv.Itoa(index))
	d := g.dim()
	c := &chain{mover: newMover(src, d), g: &own, storms: make([]bool, len(g.links)), u: make([]float64, len(g.links)), stood: make([]float64, len(g.links)), w: newWork(g)}
	for _, p := range []*[]float64{&c.x, &c.v, &c.xn} {
		*p = make([]float64, d)
	}
	for t := range c.u {
		c.u[t] = c.rng.Float64()
	}
	return c
}

// step draws the undated storms, leads the chain anywhere that the frame f tells of, and then along an ellipse; it calls note
// after each of these moves. v, y, u and lp are left at the point where it comes to stand.
func (c *chain) step(f *frame, note func()) {
	if f.chances.any {
		c.g.drawStorms(c.x, c.storms, c.rng, c.w)
		c.numbers(f)
	}
	c.stand(f)
	f.solve(c.v, c.y)
	propose := func() float64 {
		f.apply(c.yn, c.v)
		return c.propose(f)
	}
	if f.chances.any {
		copy(c.stood, c.u)
		for t := range c.u {
			c.u[t] = c.rng.Float64()
		}
	}
	lp, moved := c.independent(2, c.lp, propose)
	if !moved && f.chances.any {
		copy(c.u, c.stood)
	}
	c.settleAt(f, lp, moved)
	note()
	lp, moved = c.ellipse(2, c.lp, propose)
	c.settleAt(f, lp, moved)
	note()
}

// settleAt takes the point that was proposed last, which has the log density lp, or goes back to where it stood.
func (c *chain) settleAt(f *frame, lp float64, moved bool) {
	if !moved {
		f.apply(c.y, c.v)
		c.follow(f, c.x)
		return
	}
	c.lp = lp
	copy(c.x, c.xn)
}

// propose fills c.xn from c.v, with w as it is, and returns the log density at c.v.
func (c *chain) propose(f *frame) float64 {
	c.v[2] = c.x[2]
	zr, zk := c.v[0], c.v[1]
	c.lead.to(c.v)
	chance := c.follow(f, c.v)
	jacobian := f.forward(c.v, c.xn, c.storms, c.w)
	c.v[0], c.v[1] = zr, zk
	if !(jacobian > math.Inf(-1)) {
		return math.Inf(-1)
	}
	return jacobian + c.lead.logDet + c.g.density(c.xn, c.storms, c.w) - chance
}

// stand fills v, and lp at it, from x.
func (c *chain) stand(f *frame) {
	chance := c.follow(f, c.x)
	c.lp = f.inverse(c.x, c.v, c.storms, c.w) + c.lead.logDet + c.g.density(c.x, c.storms, c.w) - chance
	c.lead.from(c.v)
}
