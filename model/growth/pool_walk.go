package growth

// walk moves the chain by so many sweeps. Path and walks take the points passed: of the species, and of the beds that are running.
func (c *poolChain) walk(sweeps int, running []int, path *[]float64, walks [][]float64) {
	y := make([]float64, c.p.width())
	shared := func() {
		c.now.theta(y)
		for range bedPoints {
			*path = append(*path, y...)
		}
	}
	bed := func(b int) {
		if !c.p.beds[b].ended {
			walks[b] = append(walks[b], c.beds[b].x...)
		}
	}
	for k := range sweeps {
		c.stride(k, running, shared, bed)
	}
}

// stride is the sweep k of all, or of the running beds alone.
func (c *poolChain) stride(k int, running []int, shared func(), bed func(b int)) {
	if k%c.p.rest == 0 {
		c.sweep(k/c.p.rest, shared, bed)
	} else {
		c.part(running, shared, bed)
	}
}

// part is a sweep in which some beds move alone.
func (c *poolChain) part(beds []int, shared func(), bed func(b int)) {
	shared()
	for _, b := range beds {
		c.beds[b].step(&c.p.beds[b].frame, func() { bed(b) })
	}
}
