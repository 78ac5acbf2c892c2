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

// coordinates are a change of coordinates, given the storms, with its Jacobian. The first three stay log r, log K and w.
type coordinates interface {
	forward(v, x []float64, storms []bool, w *work) (logJacobian float64)
	inverse(x, v []float64, storms []bool, w *work) (logJacobian float64)
}

// frame is a change of coordinates followed by a linear one, v = centre + L y, in which the posterior is near a spherical
// t.
type frame struct {
	coordinates
	centre []float64
	l      []float64 // lower triangle, row by row, d x d
}

// chain is one Markov chain. Each step draws the undated storms, tries one more or less with all that follows from it,
// and moves all coordinates at once along an ellipse through the present point, by turns in either frame.
type chain struct {
	g       *target
	rng     *rand.Rand
	src     rand.Source
	x       []float64
	storms  []bool // the undated storms
	v       []float64
	lp      float64 // log density at v
	y       []float64
	eta, yn []float64
	xn      []float64
	w       *work
}

func newChain(g *target, seed uint64, stream string, index int) *chain {
	h := fnv.New64a()
	h.Write([]byte(stream + "|" + strconv.Itoa(index)))
	src := rand.NewPCG(seed, h.Sum64())
	d := g.dim()
	c := &chain{g: g, src: src, rng: rand.New(src), storms: make([]bool, len(g.links)), w: newWork(g)}
	for _, p := range []*[]float64{&c.x, &c.v, &c.y, &c.eta, &c.yn, &c.xn} {
		*p = make([]float64, d)
	}
	return c
}

// step moves the chain once in the frame f: log r, log K and w first and by themselves, as what is normal only given them
// need not hold them back, then everything else.
func (c *chain) step(f *frame) {
	c.g.drawStorms(c.x, c.storms, c.rng, c.w)
	c.lp = f.inverse(c.x, c.v, c.storms, c.w) + c.g.density(c.x, c.storms, c.w)
	c.storm(f)
	f.solve(c.v, c.y)
	c.ellipse(f, 0, fixed)
	c.ellipse(f, fixed, len(c.y))
}

// ellipse is one step of generalised elliptical slice sampling in the frame f, from c.y, which is c.v and c.x in the frame
// and has the density c.lp. Only the coordinates from lo to hi move.
//
// With y the point in the frame and t_ν the spherical t of d coordinates, the posterior is the product of t_ν and the
// rest. A scale drawn from its inverse gamma given y makes t_ν normal; the normal has an ellipse through y on which
// the rest is slice sampled. Nothing is rejected and nothing is tuned but the frame.
//
// References:
//   - Murray, I., Adams, R. P. and MacKay, D. J. C.: Elliptical slice sampling. AISTATS (2010)
//   - Nishihara, R., Murray, I. and Adams, R. P.: Parallel MCMC with generalized elliptical slice sampling. Journal of
//     Machine Learning Research 15 (2014)
func (c *chain) ellipse(f *frame, lo, hi int) {
	d := float64(len(c.y))
	q := square(c.y)
	gamma := distuv.Gamma{Alpha: (heaviness + d) / 2, Beta: (heaviness + q) / 2, Src: c.src}
	scale := 1 / math.Sqrt(gamma.Rand())
	for i := lo; i < hi; i++ {
		c.eta[i] = scale * c.rng.NormFloat64()
	}
	rest := func(lp, q float64) float64 { return lp + 0.5*(heaviness+d)*math.Log1p(q/heaviness) }
	floor := rest(c.lp, q) - c.rng.ExpFloat64()
	theta := 2 * math.Pi * c.rng.Float64()
	least, most := theta-2*math.Pi, theta
	copy(c.yn, c.y)
	for most-least > 1e-12 { // shorter: no way out but by rounding, stay
		sin, cos := math.Sincos(theta)
		for i := lo; i < hi; i++ {
			c.yn[i] = c.y[i]*cos + c.eta[i]*sin
		}
		f.apply(c.yn, c.v)
		if lp := c.propose(f); rest(lp, square(c.yn)) > floor {
			c.lp = lp
			copy(c.x, c.xn)
			copy(c.y, c.yn)
			return
		}
		if theta < 0 {
			least = theta
		} else {
			most = theta
		}
		theta = least + (most-least)*c.rng.Float64()
	}
}

// propose fills c.xn from c.v and returns the log density at c.v.
func (c *chain) propose(f *frame) float64 {
	jacobian := f.forward(c.v, c.xn, c.storms, c.w)
	if !(jacobian > math.Inf(-1)) {
		return math.Inf(-1)
	}
	return jacobian + c.g.density(c.xn, c.storms, c.w)
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
