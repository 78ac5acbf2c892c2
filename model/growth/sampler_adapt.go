package growth

import "math"

// guess is a point near the data where every take leaves something; false when there is none.
func (g *target) guess() ([]float64, bool) {
	x := make([]float64, g.dim())
	x[0], x[1], x[2] = g.logR.mean, g.logK.mean, 0.7
	last := math.NaN()
	for t := g.n - 1; t >= 0; t-- { // a survey that gives no stock starts at the next that does, then at the last
		if o := g.obs[t]; o.found {
			last = o.y
		}
		x[fixed+t] = last
	}
	for t := range g.n {
		if math.IsNaN(x[fixed+t]) {
			x[fixed+t] = x[fixed+t-1]
		}
		x[1] = max(x[1], x[fixed+t]+0.1)
	}
	storms, w := make([]bool, len(g.links)), newWork(g)
	for range 400 {
		if !math.IsInf(g.density(x, storms, w), -1) {
			return x, true
		}
		for t := range g.n {
			x[fixed+t] += 0.05
			x[1] = max(x[1], x[fixed+t]+0.1)
		}
	}
	return nil, false
}

// settle lays charts from x to where the middle of the chart is its own point: Gauss-Newton steps of stocks and errors,
// halved until they do not lead down, with no undated storm.
func (g *target) settle(x []float64) *chart {
	c := newChart(g, x)
	w := newWork(g)
	storms := make([]bool, len(g.links))
	v, to := make([]float64, len(x)), make([]float64, len(x))
	copy(v, x[:fixed])
	lp := g.density(x, storms, w)
	for range 20 {
		c.forward(v, to, storms, w)
		gain := math.Inf(-1)
		for range 12 {
			if gain = g.density(to, storms, w) - lp; gain >= 0 {
				break
			}
			for i := range to {
				to[i] = (to[i] + c.at[i]) / 2
			}
		}
		if !(gain >= 0) {
			break
		}
		lp += gain
		c = newChart(g, to)
		if gain < 0.01 {
			break
		}
	}
	return c
}

// firstFrame is the standard normal.
func (g *target) firstFrame(c *chart) frame {
	d := g.dim()
	f := frame{c, newChances(g), make([]float64, d), make([]float64, d*d)}
	for i := range d {
		f.l[i*d+i] = 1
	}
	return f
}

// firstPull is one towards x that says about as much as is held of a bed before its surveys.
func (g *target) firstPull(x []float64) pull {
	r, k := 0.8*g.logR.sd, 0.6*g.logK.sd
	p := pull{rr: 1 / (r * r), kk: 1 / (k * k)}
	p.hr, p.hk, p.ck = p.rr*x[0], p.kk*x[1], p.kk
	return p
}

// scatter puts the chain at a possible point about the middle of the frame, further out than the posterior.
// Where none is found it stands at a given one; false where that is not possible either.
func (c *chain) scatter(f *frame, at []float64) bool {
	wide := 1.3
	for range 1000 {
		for i := range c.y {
			c.y[i] = wide * c.rng.NormFloat64()
		}
		f.apply(c.y, c.v)
		if !math.IsInf(c.propose(f), -1) {
			copy(c.x, c.xn)
			return true
		}
		wide *= 0.99
	}
	w := c.x[2]
	copy(c.x, at)
	c.x[2] = w
	return !math.IsInf(c.g.density(c.x, c.storms, c.w), -1)
}
