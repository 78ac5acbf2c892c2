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

// frame is a linear change of coordinates, v = centre + L y, in which the posterior is near a spherical t.
type frame struct {
	centre []float64
	l      []float64 // lower triangle, row by row, d x d
}

// chain is one Markov chain. Each step moves all coordinates at once along an ellipse through the present point, first
// by turns in the centred and in the standard coordinates; the undated storms are drawn between.
type chain struct {
	g       *target
	rng     *rand.Rand
	src     rand.Source
	x       []float64 // centred
	storms  []bool    // the undated storms
	lp      float64   // log density at v
	turn    bool
	v, y    []float64
	eta, yn []float64
	xn      []float64
}

func newChain(g *target, seed uint64, stream string, index int) *chain {
	h := fnv.New64a()
	h.Write([]byte(stream + "|" + strconv.Itoa(index)))
	src := rand.NewPCG(seed, h.Sum64())
	d := g.dim()
	c := &chain{g: g, src: src, rng: rand.New(src), storms: make([]bool, len(g.links))}
	for _, p := range []*[]float64{&c.x, &c.v, &c.y, &c.eta, &c.yn, &c.xn} {
		*p = make([]float64, d)
	}
	return c
}

// step moves the chain once, by turns in the one and the other frame.
func (c *chain) step(centred, standard *frame) {
	if c.turn = !c.turn; c.turn {
		copy(c.v, c.x)
		c.lp, _ = c.g.density(c.x, c.xn, c.storms, true)
		c.ellipse(centred, true)
		return
	}
	c.g.standardise(c.x, c.v, c.storms, c.rng)
	c.lp, _ = c.g.density(c.v, c.xn, c.storms, false)
	c.storm()
	c.ellipse(standard, false)
}

// ellipse is one step of generalised elliptical slice sampling from c.v, whose density is c.lp, in the frame f. It moves
// c.x to the centred coordinates of where it ends.
//
// With y the point in the frame and t_ν the spherical t of d coordinates, the posterior is the product of t_ν and the
// rest. A scale drawn from its inverse gamma given y makes t_ν normal; the normal has an ellipse through y on which
// the rest is slice sampled. Nothing is rejected and nothing is tuned but the frame.
//
// References:
//   - Murray, I., Adams, R. P. and MacKay, D. J. C.: Elliptical slice sampling. AISTATS (2010)
//   - Nishihara, R., Murray, I. and Adams, R. P.: Parallel MCMC with generalized elliptical slice sampling. Journal of
//     Machine Learning Research 15 (2014)
func (c *chain) ellipse(f *frame, centred bool) {
	f.solve(c.v, c.y)
	d := float64(len(c.y))
	q := square(c.y)
	gamma := distuv.Gamma{Alpha: (heaviness + d) / 2, Beta: (heaviness + q) / 2, Src: c.src}
	scale := 1 / math.Sqrt(gamma.Rand())
	for i := range c.eta {
		c.eta[i] = scale * c.rng.NormFloat64()
	}
	rest := func(lp, q float64) float64 { return lp + 0.5*(heaviness+d)*math.Log1p(q/heaviness) }
	floor := rest(c.lp, q) - c.rng.ExpFloat64()
	theta := 2 * math.Pi * c.rng.Float64()
	lo, hi := theta-2*math.Pi, theta
	for {
		sin, cos := math.Sincos(theta)
		for i, y := range c.y {
			c.yn[i] = y*cos + c.eta[i]*sin
		}
		f.apply(c.yn, c.v)
		lp, _ := c.g.density(c.v, c.xn, c.storms, centred)
		if rest(lp, square(c.yn)) > floor {
			copy(c.x, c.xn)
			return
		}
		if hi-lo < 1e-12 {
			return // no way out but by rounding: stay
		}
		if theta < 0 {
			lo = theta
		} else {
			hi = theta
		}
		theta = lo + (hi-lo)*c.rng.Float64()
	}
}

// storm tries a storm more or less in the standard coordinates of c.v: all later stocks go with it.
func (c *chain) storm() {
	if len(c.g.links) == 0 {
		return
	}
	t := c.rng.IntN(len(c.g.links))
	if c.g.links[t].p == 0 {
		return
	}
	c.storms[t] = !c.storms[t]
	lp, _ := c.g.density(c.v, c.xn, c.storms, false)
	if lp > c.lp-c.rng.ExpFloat64() {
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
