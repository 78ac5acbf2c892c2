package growth

import "math"

// errors draws every error that beds share given the stocks, and one of those of which the surveys tell more than was held
// before, by turns, with the stocks along in the frame's coordinates.
func (c *poolChain) errors(n int) {
	if len(c.p.hold.errSD) == 0 {
		return
	}
	for j := range c.p.hold.errSD {
		c.still(j)
	}
	if k := len(c.p.heavy); k > 0 {
		j := c.p.heavy[n%k]
		for _, b := range c.p.shared.users[j] { // as it is now
			c.giveBed(b, &c.now)
			c.beds[b].stand(&c.p.beds[b].frame)
		}
		c.ring(j, c.p.hold.errSD[j])
	}
}

// still is a step of elliptical slice sampling of one error, whose prior is normal, with all stocks held fixed.
func (c *poolChain) still(j int) {
	at := func(d float64) float64 {
		sum := 0.0
		for _, s := range c.p.shared.places[j] {
			ch := c.beds[s.bed]
			sum += ch.g.obs[s.survey].density(ch.x[fixed+s.survey], ch.w.off[s.survey]+d, ch.x[fixed+ch.g.n:])
		}
		return sum
	}
	old := c.now.c[j]
	c.rotate(j, c.p.hold.errSD[j], at(0), func() float64 { return at(c.now.c[j] - old) })
	d := c.now.c[j] - old
	for _, s := range c.p.shared.places[j] {
		c.beds[s.bed].w.off[s.survey] += d
	}
}

// ring moves one error with the stocks, r and K of the beds held fixed in the frame's coordinates, and the numbers that their
// storms come by.
func (c *poolChain) ring(j int, sd float64) {
	users := c.p.shared.users[j]
	lp := 0.0
	for _, b := range users {
		lp += c.beds[b].lp
	}
	moved := c.rotate(j, sd, lp, func() float64 {
		sum := 0.0
		for _, b := range users {
			c.giveBed(b, &c.now)
			sum += c.beds[b].propose(&c.p.beds[b].frame)
		}
		return sum
	})
	for _, b := range users {
		if moved {
			copy(c.beds[b].x, c.beds[b].xn)
		} else {
			c.giveBed(b, &c.now)
			c.beds[b].follow(&c.p.beds[b].frame, c.beds[b].x)
		}
	}
}

// rotate is a step of elliptical slice sampling (Murray, Adams & MacKay 2010) of one error, where the log density of all
// but its prior is lp, and then what propose says of it.
func (c *poolChain) rotate(j int, sd, lp float64, propose func() float64) bool {
	old := c.now.c[j]
	floor := lp - c.rng.ExpFloat64()
	other := sd * c.rng.NormFloat64()
	theta := 2 * math.Pi * c.rng.Float64()
	least, most := theta-2*math.Pi, theta
	for most-least > 1e-12 {
		sin, cos := math.Sincos(theta)
		c.now.c[j] = old*cos + other*sin
		if propose() > floor {
			return true
		}
		if theta < 0 {
			least = theta
		} else {
			most = theta
		}
		theta = least + (most-least)*c.rng.Float64()
	}
	c.now.c[j] = old
	return false
}
