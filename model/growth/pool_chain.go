package growth

import (
	"math"
	"math/rand/v2"
)

// poolBed is one bed in the joint model.
type poolBed struct {
	g       *target
	offset  float64 // log of the area where the species can grow
	pull    pull
	frame   frame
	cross   [][]int   // of each survey: the errors that it shares with other beds
	lasting []portion // errors of most of its surveys
}

// poolChain is one Markov chain of the joint model.
type poolChain struct {
	p    *poolRun
	rng  *rand.Rand
	src  rand.Source
	beds []*chain
	now  common

	x     []float64 // room for one of them
	to    common    // what is proposed
	moves []mover   // of the blocks
	v     []float64 // room for a block
	theta []float64
	o     []float64 // of each bed: what its lasting errors come to, see [pull]
}

func newPoolChain(p *poolRun, set Settings, index int) *poolChain {
	src := stream(set.Seed, set.Stream+"||"+itoa(index))
	n := len(p.beds)
	c := &poolChain{p: p, src: src, rng: rand.New(src), x: make([]float64, n),
		theta: make([]float64, p.width()), v: make([]float64, p.width()), o: make([]float64, n)}
	for _, b := range p.blocks {
		m := mover{rng: c.rng, src: src}
		m.y, m.eta, m.yn = make([]float64, len(b)), make([]float64, len(b)), make([]float64, len(b))
		c.moves = append(c.moves, m)
	}
	c.now = common{logR: p.hold.logR.mean, logK: p.hold.logK.mean, phi: p.hold.phi * (0.3 + c.rng.Float64()),
		omega: p.hold.omega * (0.3 + c.rng.Float64()), w: 0.3 + c.rng.Float64(), c: make([]float64, len(p.hold.errSD))}
	if p.hold.cutSD > 0 {
		c.now.cut = 0.7 * p.hold.cutSD * c.rng.NormFloat64()
	}
	for b, bed := range p.beds {
		ch := newChain(bed.g, set.Seed, set.Stream+"|"+p.names[b], index)
		c.beds = append(c.beds, ch)
	}
	for n := 0; !c.scatter() && c.now.cut != 0; n++ {
		if c.now.cut /= 2; n == 10 {
			c.now.cut = 0
		}
	}
	return c
}

// scatter puts every bed at a possible point; false where more was cut than one of them can have held.
func (c *poolChain) scatter() bool {
	for b, ch := range c.beds {
		c.giveBed(b, &c.now)
		if !ch.scatter(&c.p.beds[b].frame, c.p.peaks[b]) {
			return false
		}
		ch.x[2] = c.now.w
	}
	return true
}

// sweep moves everything at least once; k counts the sweeps.
//
// The beds move given what they have in common. That is then drawn given the beds (centred), and once more with the
// standardised r and K of the beds, as [pull] has them, and their stocks in the frame's coordinates held fixed (not centred),
// so that the beds move along: where one way of moving is slow the other is fast. So do the errors that beds share: given the
// stocks, and where the surveys tell much of them with the stocks along.
//
// References:
//   - Yu, Y. and Meng, X.-L.: To center or not to center: that is not the question - an ancillarity-sufficiency
//     interweaving strategy (ASIS). Journal of Computational and Graphical Statistics 20 (2011)
func (c *poolChain) sweep(k int) {
	c.give(c.now)
	for b, ch := range c.beds {
		ch.step(&c.p.beds[b].frame)
	}
	c.centred()
	c.standardise()
	c.along()
	c.errors(k)
}

// give hands what the beds have in common to the beds.
func (c *poolChain) give(t common) {
	for b := range c.beds {
		c.giveBed(b, &t)
	}
}

func (c *poolChain) giveBed(b int, t *common) {
	ch, bed := c.beds[b], &c.p.beds[b]
	ch.g.logR = normal{t.logR, t.phi}
	ch.g.logK = normal{t.logK + bed.offset, t.omega}
	ch.x[2] = t.w
	ch.w.cut = t.cut
	for i, errs := range bed.cross {
		ch.w.off[i] = 0
		for _, j := range errs {
			ch.w.off[i] += t.c[j]
		}
	}
	c.o[b] = 0
	for _, e := range bed.lasting {
		c.o[b] += e.of * t.c[e.error]
	}
	ch.lead = bed.pull.given(ch.g.logR, ch.g.logK, c.o[b])
}

// centred draws what the beds have in common given the beds.
func (c *poolChain) centred() {
	for b, ch := range c.beds {
		c.x[b] = ch.x[0]
	}
	r := level{h: &c.p.hold, m: c.p.hold.logR, scale: c.p.hold.phi, plots: true, x: c.x}
	c.now.logR, c.now.phi = r.draw(c.now.phi, c.rng)
	for b, ch := range c.beds {
		c.x[b] = ch.x[1] - c.p.beds[b].offset
	}
	k := level{h: &c.p.hold, m: c.p.hold.logK, scale: c.p.hold.omega, x: c.x}
	c.now.logK, c.now.omega = k.draw(c.now.omega, c.rng)
	c.now.w = math.Exp(slice(math.Log(c.now.w), 0.7, c.changes(), c.rng))
}

// standardise lays r and K of the beds and their stocks down in the coordinates that are held fixed.
func (c *poolChain) standardise() {
	c.give(c.now)
	for b, ch := range c.beds {
		ch.stand(&c.p.beds[b].frame)
	}
}

// along moves the beds along with the blocks of θ.
func (c *poolChain) along() {
	lp := c.p.hold.prior(&c.now)
	for _, ch := range c.beds {
		lp += ch.lp
	}
	for i := range c.p.blocks {
		lp = c.block(i, lp)
	}
	c.give(c.now)
}

// block moves one block from the log density lp and returns that of where it comes to stand.
func (c *poolChain) block(i int, lp float64) float64 {
	f, m := &c.p.frames[i], &c.moves[i]
	c.now.theta(c.theta)
	v := c.v[:len(c.p.blocks[i])]
	for k, j := range c.p.blocks[i] {
		v[k] = c.theta[j]
	}
	f.solve(v, m.y)
	lp, moved := m.ellipse(-1, lp, func() float64 {
		f.apply(m.yn, v)
		for k, j := range c.p.blocks[i] {
			c.theta[j] = v[k]
		}
		return c.moved()
	})
	if moved {
		c.take()
	}
	return lp
}

// moved is the log density when θ and the beds with it have moved.
func (c *poolChain) moved() float64 {
	c.to = c.now.withTheta(c.theta)
	sum := c.p.hold.prior(&c.to)
	for b, ch := range c.beds {
		c.giveBed(b, &c.to)
		if sum += ch.propose(&c.p.beds[b].frame); math.IsInf(sum, -1) || math.IsNaN(sum) {
			return math.Inf(-1)
		}
	}
	return sum
}

// take makes the point that was proposed last the present one.
func (c *poolChain) take() {
	errs := c.now.c
	copy(errs, c.to.c)
	c.now = c.to
	c.now.c = errs
	for _, ch := range c.beds {
		copy(ch.x, ch.xn)
	}
}
