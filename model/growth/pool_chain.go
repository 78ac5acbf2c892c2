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
	ended   bool      // its run is over, see [poolRun.run]
}

// poolChain is one Markov chain of the joint model.
type poolChain struct {
	p    *poolRun
	rng  *rand.Rand
	beds []*chain
	now  common

	x     []float64 // room for one of them
	to    common    // what is proposed
	move  mover     // of the block
	v     []float64 // room for the block
	theta []float64
	o     []float64 // of each bed: what its lasting errors come to, see [pull]

	tried, led int // jumps of θ, and those that led anywhere
}

func newPoolChain(p *poolRun, set Settings, index int) *poolChain {
	src := stream(set.Seed, set.Stream+"||"+itoa(index))
	n := len(p.beds)
	c := &poolChain{p: p, rng: rand.New(src), x: make([]float64, n),
		theta: make([]float64, p.width()), v: make([]float64, len(p.block)), o: make([]float64, n)}
	c.move = newMover(src, len(p.block))
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
		ch.x[2] = math.Abs(c.now.w)
	}
	return true
}

// bedPoints is how many points of each bed a sweep leaves behind.
const bedPoints = 2

// sweep moves everything at least once; k counts the sweeps. What the beds have in common is told first, then it calls
// shared, and bed for the bed b as often as it has moved since ([bedPoints]), each time with another point of the posterior.
//
// What the beds have in common is drawn given them (centred). They move given that. Then it moves once more, with the
// standardised r and K of the beds, as [pull] has them, their stocks in the frame's coordinates and the numbers that their
// storms come by held fixed (not centred), so that the beds move along: where one way of moving is slow the other is fast.
// So do the errors that beds share: given the stocks, and where the surveys tell much of them with the stocks along.
//
// References:
//   - Yu, Y. and Meng, X.-L.: To center or not to center: that is not the question - an ancillarity-sufficiency
//     interweaving strategy (ASIS). Journal of Computational and Graphical Statistics 20 (2011)
func (c *poolChain) sweep(k int, shared func(), bed func(b int)) {
	c.errors(k)
	c.centred()
	c.give(c.now)
	c.part(c.p.all, shared, bed)
	c.along(k)
}

// settle takes the beds back to where they stand, after others of their points were looked at in frames laid anew: what they have
// in common, and numbers by which the new chances give their storms.
func (c *poolChain) settle() {
	c.give(c.now)
	for b, ch := range c.beds {
		ch.numbers(&c.p.beds[b].frame)
	}
}

// give hands what the beds have in common to the beds.
func (c *poolChain) give(t common) {
	for b := range c.beds {
		c.giveBed(b, &t)
	}
}

func (c *poolChain) giveBed(b int, t *common) {
	c.tellBed(b, t)
	ch := c.beds[b]
	ch.lead = c.p.beds[b].pull.given(ch.g.logR, ch.g.logK, c.o[b], &c.p.off)
}

// tellBed hands a bed what its density depends on, but not the coordinates that go with it.
func (c *poolChain) tellBed(b int, t *common) {
	ch, bed := c.beds[b], &c.p.beds[b]
	ch.g.logR = normal{t.logR, math.Abs(t.phi)}
	ch.g.logK = normal{t.logK + bed.offset, math.Abs(t.omega)}
	ch.x[2] = math.Abs(t.w)
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
	c.now.w = math.Copysign(math.Exp(slice(math.Log(math.Abs(c.now.w)), 0.7, c.changes(), c.rng)), c.now.w)
}

// along moves the beds along with θ, from where they stand in their frames. A jump takes one density of all beds, an ellipse more
// than two: it is for places out of which no jump leads, and is left out in turn where jumps lead on, see [poolRun.pace].
func (c *poolChain) along(k int) {
	lp := c.p.hold.prior(&c.now)
	for _, ch := range c.beds {
		lp += ch.lp
	}
	c.now.theta(c.theta)
	for k, j := range c.p.block {
		c.v[k] = c.theta[j]
	}
	lp += c.p.frame.solve(c.v, c.move.y)
	moved := false
	for range c.p.jumps {
		c.tried++
		if lp, moved = c.move.independent(-1, lp, c.tryTheta); moved {
			c.led++
			c.take()
		}
	}
	if k%c.p.apart == 0 {
		if _, moved = c.move.ellipse(-1, lp, c.tryTheta); moved {
			c.take()
		}
	}
	if moved { // the beds hold what was proposed last
		return
	}
	c.give(c.now)
	for b, ch := range c.beds {
		ch.follow(&c.p.beds[b].frame, ch.x)
	}
}

// tryTheta is the log density when θ and the beds with it have moved to what is proposed.
func (c *poolChain) tryTheta() float64 {
	logDet := c.p.frame.apply(c.move.yn, c.v)
	for k, j := range c.p.block {
		c.theta[j] = c.v[k]
	}
	for j, above := range c.p.above {
		if above && !(c.theta[j] > 0) {
			return math.Inf(-1)
		}
	}
	c.to = c.now.withTheta(c.theta)
	sum := c.p.hold.prior(&c.to) + logDet
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
