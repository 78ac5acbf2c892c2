package growth

import (
	"math"
	"slices"
	"sync"

	"gonum.org/v1/gonum/mat"
)

// warmUp are the lengths of the phases, in steps a chain, after each of which the frames are laid anew.
var warmUp = []int{30, 60, 100, 160}

// run is a set of chains with the frames they share. Chains meet between phases only, in fixed order, so that the
// result does not depend on the number of cores.
type run struct {
	g                 *target
	chains            []*chain
	centred, standard frame
}

// newRun starts the chains at scattered points; false when no point is possible.
func newRun(g *target, set Settings) (*run, bool) {
	r := &run{g: g}
	for i := range set.Chains {
		c := newChain(g, set.Seed, set.Stream, i)
		if !c.start() {
			return nil, false
		}
		r.chains = append(r.chains, c)
	}
	r.firstFrames()
	return r, true
}

// start scatters the chain about the data. It raises stocks and ceiling until every take leaves something.
func (c *chain) start() bool {
	g, x := c.g, c.x
	x[0] = g.logR.mean + 0.7*g.logR.sd*c.rng.NormFloat64()
	x[1] = g.logK.mean + 0.7*g.logK.sd*c.rng.NormFloat64()
	x[2] = math.Log(g.sigma) - 0.5 + 0.5*c.rng.NormFloat64()
	last := math.NaN()
	for t := g.n - 1; t >= 0; t-- { // a survey that gives no stock starts at the next that does, then at the last
		if o := g.obs[t]; o.found {
			last = o.y + o.tau*c.rng.NormFloat64()
		}
		x[fixed+t] = last
	}
	for t := range g.n {
		if math.IsNaN(x[fixed+t]) {
			x[fixed+t] = x[fixed+t-1]
		}
		x[1] = max(x[1], x[fixed+t]+0.1)
	}
	for range 400 {
		if c.lp, _ = g.density(x, c.xn, c.storms, true); !math.IsInf(c.lp, -1) {
			return true
		}
		for t := range g.n {
			x[fixed+t] += 0.05
			x[1] = max(x[1], x[fixed+t]+0.1)
		}
	}
	return false
}

// firstFrames are guesses without correlation.
func (r *run) firstFrames() {
	d := r.g.dim()
	sd := make([]float64, d)
	sd[0], sd[1], sd[2] = 0.7*r.g.logR.sd, 0.5*r.g.logK.sd, 0.7
	for t := range r.g.n {
		sd[fixed+t] = 0.3
		if r.g.obs[t].found {
			sd[fixed+t] = r.g.obs[t].tau
		}
	}
	copy(sd[fixed+r.g.n:], r.g.errSD)
	r.centred = diagonal(r.mean(), sd)
	centre := slices.Clone(r.centred.centre)
	centre[2], sd[2] = 0, 1
	for t := 1; t < r.g.n; t++ {
		centre[fixed+t], sd[fixed+t] = 0, 1
	}
	r.standard = diagonal(centre, sd)
}

func diagonal(centre, sd []float64) frame {
	d := len(sd)
	l := make([]float64, d*d)
	for i, s := range sd {
		l[i*d+i] = s
	}
	return frame{centre, l}
}

// mean is the mean over the chains of where they stand.
func (r *run) mean() []float64 {
	m := make([]float64, r.g.dim())
	for _, c := range r.chains {
		for i, v := range c.x {
			m[i] += v / float64(len(r.chains))
		}
	}
	return m
}

// walk moves every chain by so many steps and returns what they passed, chain by chain, step by step, centred.
func (r *run) walk(steps int) []float64 {
	d := r.g.dim()
	out := make([]float64, len(r.chains)*steps*d)
	var wg sync.WaitGroup
	for i, c := range r.chains {
		wg.Go(func() {
			for k := range steps {
				c.step(&r.centred, &r.standard)
				copy(out[(i*steps+k)*d:], c.x)
			}
		})
	}
	wg.Wait()
	return out
}

// refit lays both frames by the mean and covariance of the later two thirds of a walk, all chains together.
func (r *run) refit(walk []float64) {
	d := r.g.dim()
	steps := len(walk) / d / len(r.chains)
	n := 0
	standard := make([]float64, 0, len(walk))
	centred := make([]float64, 0, len(walk))
	v := make([]float64, d)
	for i, c := range r.chains {
		storms := slices.Clone(c.storms)
		for k := steps / 3; k < steps; k++ {
			x := walk[(i*steps+k)*d : (i*steps+k+1)*d]
			r.g.standardise(x, v, storms, c.rng)
			centred = append(centred, x...)
			standard = append(standard, v...)
			n++
		}
	}
	r.centred.fit(centred, n, d)
	r.standard.fit(standard, n, d)
}

// fit lays the frame by n points of d coordinates. The covariance is drawn a little to its diagonal, as few points tell
// little of correlations; a frame that cannot be had is left as it was.
func (f *frame) fit(points []float64, n, d int) {
	centre := make([]float64, d)
	for i, v := range points {
		centre[i%d] += v / float64(n)
	}
	cov := mat.NewSymDense(d, nil)
	for i := range d {
		for j := 0; j <= i; j++ {
			var sum float64
			for k := range n {
				sum += (points[k*d+i] - centre[i]) * (points[k*d+j] - centre[j])
			}
			cov.SetSym(i, j, sum/float64(n-1))
		}
	}
	shrink := float64(n) / (float64(n) + 2*float64(d))
	for i := range d {
		for j := range i {
			cov.SetSym(i, j, cov.At(i, j)*shrink)
		}
		cov.SetSym(i, i, cov.At(i, i)+1e-12)
	}
	var chol mat.Cholesky
	if !chol.Factorize(cov) {
		return
	}
	var l mat.TriDense
	chol.LTo(&l)
	for i := range d {
		for j := 0; j <= i; j++ {
			f.l[i*d+j] = l.At(i, j)
		}
	}
	f.centre = centre
}
