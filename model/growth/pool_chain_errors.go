package growth

import (
	"math"
	"slices"
)

// errors moves one of the errors that beds share in the n-th of its turns, with their stocks held fixed in the frame's
// coordinates, or along the ridge.
func (c *poolChain) errors(n int) {
	k := len(c.p.hold.errSD)
	if k == 0 {
		return
	}
	if n/k%2 == 1 {
		c.shift(n % k)
		return
	}
	j := n % k
	for _, b := range c.p.users[j] { // as it is now
		c.beds[b].stand(&c.p.beds[b].frame)
	}
	c.ring(j, c.p.hold.errSD[j])
}

// ring is a step of elliptical slice sampling of one error (Murray, Adams & MacKay 2010), whose prior is normal.
func (c *poolChain) ring(j int, sd float64) {
	old, users := c.now.c[j], c.p.users[j]
	floor := -c.rng.ExpFloat64()
	for _, b := range users {
		floor += c.beds[b].lp
	}
	other := sd * c.rng.NormFloat64()
	theta := 2 * math.Pi * c.rng.Float64()
	least, most := theta-2*math.Pi, theta
	for most-least > 1e-12 {
		sin, cos := math.Sincos(theta)
		c.now.c[j] = old*cos + other*sin
		sum := 0.0
		for _, b := range users {
			c.giveBed(b, &c.now)
			sum += c.beds[b].propose(&c.p.beds[b].frame)
		}
		if sum > floor {
			for _, b := range users {
				copy(c.beds[b].x, c.beds[b].xn)
			}
			return
		}
		if theta < 0 {
			least = theta
		} else {
			most = theta
		}
		theta = least + (most-least)*c.rng.Float64()
	}
	c.now.c[j] = old
	for _, b := range users {
		c.giveBed(b, &c.now)
	}
}

// shift moves an error that beds share and, against it, all stocks and K of these beds, and the mean of K by their share of
// the beds: along the ridge that surveys alone do not bound.
func (c *poolChain) shift(j int) {
	sd := c.p.hold.errSD[j]
	old, mean, users := c.now.c[j], c.now.logK, c.p.users[j]
	share := float64(len(users)) / float64(len(c.beds))
	at := func(d float64) float64 {
		c.now.c[j], c.now.logK = old+d, mean-share*d
		z, zk := c.now.c[j]/sd, (c.now.logK-c.p.hold.logK.mean)/c.p.hold.logK.sd
		sum := -0.5 * (z*z + zk*zk)
		if share < 1 {
			sum += c.ceilings(users)
		}
		for _, b := range users {
			ch := c.beds[b]
			c.giveBed(b, &c.now)
			copy(ch.xn, ch.x)
			ch.xn[1] -= d
			for t := range ch.g.n {
				ch.xn[fixed+t] -= d
			}
			sum += ch.g.density(ch.xn, ch.storms, ch.w)
		}
		return sum
	}
	at(slice(0, sd, at, c.rng))
	for _, b := range users {
		copy(c.beds[b].x, c.beds[b].xn)
	}
}

// ceilings is the log density of K of the beds that are not in a list, given its mean.
func (c *poolChain) ceilings(but []int) float64 {
	sum := 0.0
	for b, ch := range c.beds {
		if !slices.Contains(but, b) {
			z := (ch.x[1] - c.p.beds[b].offset - c.now.logK) / c.now.omega
			sum -= 0.5 * z * z
		}
	}
	return sum
}
