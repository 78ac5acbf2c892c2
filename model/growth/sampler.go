package growth

import (
	"hash/fnv"
	"math"
	"math/rand/v2"
	"strconv"

	"gonum.org/v1/gonum/stat/distuv"
)

// heaviness is the degrees of freedom of the t that the sampler takes its steps from: tails heavier than those of any
// part of the posterior.
const heaviness = 6.0

// frame is a chart, with [lead] before it for log r and log K, and a linear change before both, v = centre + L y, in which
// the posterior is near a spherical t.
type frame struct {
	*chart
	centre []float64
	l      []float64 // lower triangle, row by row, d x d
}

// chain is what one Markov chain holds of one bed. Each step draws the undated storms, tries one more or less with all that
// follows from it, and moves all coordinates but w along an ellipse through the present point, and once more along another,
// given what the beds have in common.
type chain struct {
	g      *target // of its own: the means and spreads of log r and log K are those of the species in this chain
	rng    *rand.Rand
	src    rand.Source
	x      []float64
	storms []bool // the undated storms
	v      []float64
	lp     float64 // log density at v
	y      []float64
	eta    []float64
	yn     []float64
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
	c := &chain{g: &own, src: src, rng: rand.New(src), storms: make([]bool, len(g.links)), w: newWork(g)}
	for _, p := range []*[]float64{&c.x, &c.v, &c.y, &c.eta, &c.yn, &c.xn} {
		*p = make([]float64, d)
	}
	return c
}

// ellipses is how many moves follow each other in a step. Most of a sweep's work is in what the beds have in common, which
// moves as freely as the beds have moved before: a second one is cheap beside it.
const ellipses = 2

// step moves the chain once in the frame f.
func (c *chain) step(f *frame) {
	c.g.drawStorms(c.x, c.storms, c.rng, c.w)
	c.stand(f)
	c.storm(f)
	f.solve(c.v, c.y)
	move := mover{rng: c.rng, src: c.src, y: c.y, eta: c.eta, yn: c.yn}
	for range ellipses {
		lp, moved := move.ellipse(2, c.lp, func() float64 {
			f.apply(c.yn, c.v)
			return c.propose(f)
		})
		if moved {
			c.lp = lp
			copy(c.x, c.xn)
		}
	}
}

// mover is the room for steps in a frame in which the density is near a spherical t.
type mover struct {
	rng *rand.Rand
	src rand.Source
	y   []float64 // the point in the frame
	eta []float64
	yn  []float64 // the point proposed
}

// ellipse is one step of generalised elliptical slice sampling from y, which has the log density lp. The coordinate still,
// where it is not below 0, does not move; propose is the log density at yn. It returns that of the new point, which is then
// in y, or that it stayed.
//
// With t_ν the spherical t of d coordinates, the density is the product of t_ν and the rest. A scale drawn from its inverse
// gamma given y makes t_ν normal; the normal has an ellipse through y on which the rest is slice sampled. Nothing is
// rejected and nothing is tuned but the frame.
//
// References:
//   - Murray, I., Adams, R. P. and MacKay, D. J. C.: Elliptical slice sampling. AISTATS (2010)
//   - Nishihara, R., Murray, I. and Adams, R. P.: Parallel MCMC with generalized elliptical slice sampling. Journal of
//     Machine Learning Research 15 (2014)
func (m *mover) ellipse(still int, lp float64, propose func() float64) (float64, bool) {
	d := float64(len(m.y))
	q := square(m.y)
	gamma := distuv.Gamma{Alpha: (heaviness + d) / 2, Beta: (heaviness + q) / 2, Src: m.src}
	scale := 1 / math.Sqrt(gamma.Rand())
	for i := range m.y {
		m.eta[i] = scale * m.rng.NormFloat64()
	}
	rest := func(lp, q float64) float64 { return lp + 0.5*(heaviness+d)*math.Log1p(q/heaviness) }
	floor := rest(lp, q) - m.rng.ExpFloat64()
	theta := 2 * math.Pi * m.rng.Float64()
	least, most := theta-2*math.Pi, theta
	copy(m.yn, m.y)
	for most-least > 1e-12 { // shorter: no way out but by rounding, stay
		sin, cos := math.Sincos(theta)
		for i := range m.y {
			m.yn[i] = m.y[i]*cos + m.eta[i]*sin
		}
		if still >= 0 {
			m.yn[still] = m.y[still]
		}
		if lp := propose(); rest(lp, square(m.yn)) > floor {
			copy(m.y, m.yn)
			return lp, true
		}
		if theta < 0 {
			least = theta
		} else {
			most = theta
		}
		theta = least + (most-least)*m.rng.Float64()
	}
	copy(m.yn, m.y)
	return lp, false
}

// propose fills c.xn from c.v, with w as it is, and returns the log density at c.v.
func (c *chain) propose(f *frame) float64 {
	c.v[2] = c.x[2]
	zr, zk := c.v[0], c.v[1]
	c.lead.to(c.v)
	jacobian := f.forward(c.v, c.xn, c.storms, c.w)
	c.v[0], c.v[1] = zr, zk
	if !(jacobian > math.Inf(-1)) {
		return math.Inf(-1)
	}
	return jacobian + c.lead.logDet + c.g.density(c.xn, c.storms, c.w)
}

// stand fills v, and lp at it, from x.
func (c *chain) stand(f *frame) {
	c.lp = f.inverse(c.x, c.v, c.storms, c.w) + c.lead.logDet + c.g.density(c.x, c.storms, c.w)
	c.lead.from(c.v)
}

// storm tries a storm more or less at the same v: what comes before and after moves with it.
func (c *chain) storm(f *frame) {
	if len(c.g.links) == 0 {
		return
	}
	t := c.rng.IntN(len(c.g.links))
	if c.g.links[t].p == 0 {
		return
	}
	c.storms[t] = !c.storms[t]
	if lp := c.propose(f); lp > c.lp-c.rng.ExpFloat64() {
		c.lp = lp
		copy(c.x, c.xn)
		return
	}
	c.storms[t] = !c.storms[t]
}

// apply is v = centre + L y.
func (f *frame) apply(y, v []float64) {
	d := len(y)
	for i := range v {
		sum := f.centre[i]
		for j, l := range f.l[i*d : i*d+i+1] {
			sum += l * y[j]
		}
		v[i] = sum
	}
}

// solve is y = L^-1 (v - centre).
func (f *frame) solve(v, y []float64) {
	d := len(y)
	for i := range y {
		sum := v[i] - f.centre[i]
		for j, l := range f.l[i*d : i*d+i] {
			sum -= l * y[j]
		}
		y[i] = sum / f.l[i*d+i]
	}
}

func square(y []float64) float64 {
	var q float64
	for _, v := range y {
		q += v * v
	}
	return q
}
