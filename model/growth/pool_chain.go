package growth

import (
	"math"
	"math/rand/v2"
	"slices"
)

// poolBed is one bed in the joint model.
type poolBed struct {
	g      *target
	offset float64 // log of the area where the species can grow
	frames [2]frame
	cross  [][]int // of each survey: the errors that it shares with other beds
}

// poolChain is one Markov chain of the joint model.
type poolChain struct {
	p    *poolRun
	rng  *rand.Rand
	src  rand.Source
	beds []*chain
	now  common

	zr, zk []float64 // standardised log r and log K of the beds
	x      []float64 // room for one of them
	to     common    // what is proposed
	moves  []mover   // of the blocks
	v      []float64 // room for a block
	theta  []float64
}

func newPoolChain(p *poolRun, set Settings, index int) *poolChain {
	src := stream(set.Seed, set.Stream+"||"+itoa(index))
	n := len(p.beds)
	c := &poolChain{p: p, src: src, rng: rand.New(src), zr: make([]float64, n), zk: make([]float64, n), x: make([]float64, n),
		theta: make([]float64, thetas), v: make([]float64, thetas)}
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
		ch.x[2], ch.w.cut = c.now.w, c.now.cut
		ch.scatter(&bed.frames[0], p.peaks[b])
		ch.x[2] = c.now.w
		c.beds = append(c.beds, ch)
	}
	return c
}

// sweep moves everything once; k counts the sweeps.
//
// The beds move given what they have in common. That is then drawn given the beds (centred), and once more with the
// standardised r and K of the beds and their stocks in the frame's coordinates held fixed (not centred), so that the
// beds move along: where one way of moving is slow the other is fast.
//
// References:
//   - Yu, Y. and Meng, X.-L.: To center or not to center: that is not the question - an ancillarity-sufficiency
//     interweaving strategy (ASIS). Journal of Computational and Graphical Statistics 20 (2011)
func (c *poolChain) sweep(k int) {
	c.give(c.now)
	for which := range 2 {
		for b, ch := range c.beds {
			ch.step(&c.p.beds[b].frames[which])
		}
		c.centred()
		c.standardise(which)
		c.along(which, 2*k+which)
		c.errors(which, 2*k+which)
	}
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
	c.now.w = math.Exp(slice(math.Log(c.now.w), 0.7, c.noise, c.rng))
}

// noise is the log density of log w given the stocks.
func (c *poolChain) noise(logW float64) float64 {
	w := math.Exp(logW)
	lp := logW - 0.5*w*w
	for _, ch := range c.beds {
		g := ch.g
		g.steps(ch.x, ch.w)
		scale := 1.0
		for t := range g.links {
			l := &g.links[t]
			if l.free {
				continue
			}
			m := ch.w.m[t]
			if ch.storms[t] {
				m += l.logQ
			}
			v := g.sigma*g.sigma*w*w*l.dt + l.extra
			d := ch.x[fixed+t+1] - m
			lp -= 0.5 * d * d / v
			if scale *= v; scale < 1e-100 || scale > 1e100 {
				lp -= 0.5 * math.Log(scale)
				scale = 1
			}
		}
		lp -= 0.5 * math.Log(scale)
	}
	return lp
}

// standardise lays r and K of the beds and their stocks down in the coordinates that are held fixed.
func (c *poolChain) standardise(which int) {
	c.give(c.now)
	for b, ch := range c.beds {
		c.zr[b] = (ch.x[0] - c.now.logR) / c.now.phi
		c.zk[b] = (ch.x[1] - c.p.beds[b].offset - c.now.logK) / c.now.omega
		ch.lp = c.p.beds[b].frames[which].inverse(ch.x, ch.v, ch.storms, ch.w) + ch.g.density(ch.x, ch.storms, ch.w)
	}
}

// carry is the log density of a bed when it moves along with what the beds have in common; its point is then in xn.
func (c *poolChain) carry(b, which int, t *common) float64 {
	ch := c.beds[b]
	c.giveBed(b, t)
	ch.v[0] = t.logR + t.phi*c.zr[b]
	ch.v[1] = t.logK + c.p.beds[b].offset + t.omega*c.zk[b]
	return ch.propose(&c.p.beds[b].frames[which])
}

// along moves the beds along with the means, by turns with σ, then with σ alone, then with one of the spreads, and with
// the reported share where it is not known, alone and with the mean of log r.
func (c *poolChain) along(which, k int) {
	lp := c.p.hold.prior(&c.now)
	for _, ch := range c.beds {
		lp += ch.lp
	}
	for _, i := range [...]int{which, 2, 3 + k/2%2} {
		lp = c.block(i, which, lp)
	}
	for i := len(always); i < len(c.p.blocks); i++ {
		lp = c.block(i, which, lp)
	}
	c.give(c.now)
}

// always are the parts of θ that move jointly: the means with σ, the means, σ, φ, ω.
var always = [][]int{{0, 1, 4}, {0, 1}, {4}, {2}, {3}}

// blocksOf are the blocks with those of the reported share where it is not known.
func blocksOf(h *hold) [][]int {
	if h.cutSD > 0 {
		return append(slices.Clone(always), []int{5}, []int{0, 5})
	}
	return always
}

// block moves one block from the log density lp and returns that of where it comes to stand.
func (c *poolChain) block(i, which int, lp float64) float64 {
	f, m := &c.p.frames[i], &c.moves[i]
	c.now.theta(c.theta)
	v := c.v[:len(c.p.blocks[i])]
	for k, j := range c.p.blocks[i] {
		v[k] = c.theta[j]
	}
	f.solve(v, m.y)
	lp, moved := m.ellipse(0, len(v), lp, func() float64 {
		f.apply(m.yn, v)
		for k, j := range c.p.blocks[i] {
			c.theta[j] = v[k]
		}
		return c.moved(which)
	})
	if moved {
		c.take()
	}
	return lp
}

// moved is the log density when θ and the beds with it have moved.
func (c *poolChain) moved(which int) float64 {
	c.to = c.now.withTheta(c.theta)
	sum := c.p.hold.prior(&c.to)
	for b := range c.beds {
		if sum += c.carry(b, which, &c.to); math.IsInf(sum, -1) || math.IsNaN(sum) {
			return math.Inf(-1)
		}
	}
	return sum
}

// take makes the point that was proposed last the present one.
func (c *poolChain) take() {
	c.now = c.to
	for _, ch := range c.beds {
		copy(ch.x, ch.xn)
	}
}
