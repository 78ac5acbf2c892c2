package growth

// refit lays the charts, pulls and frames of the beds that have not ended by the later two thirds of the points passed, all chains
// together.
func (p *poolRun) refit() {
	p.lay()
	running := p.running()
	tell, means := make([]moments, len(p.beds)), make([][]float64, len(p.beds))
	each(running, func(b int) {
		mean := make([]float64, p.beds[b].g.dim())
		var like pulled
		p.later(b, (*poolChain).tellBed, func(c *chain, o float64, x []float64) {
			for i, v := range x {
				mean[i] += v
			}
			like.add(x[0], x[1], o, [2]normal{c.g.logR, c.g.logK})
		})
		for i := range mean {
			mean[i] /= like.n
		}
		means[b], tell[b] = mean, like.moments()
	})
	all := len(running) == len(p.beds)
	if all {
		p.mean = meanMoments(tell)
	}
	told := make([]*seen, len(p.beds))
	each(running, func(b int) {
		bed := &p.beds[b]
		leant := tell[b].lean(&p.mean)
		bed.pull = leant.solve()
		bed.frame.chart = newChart(bed.g, means[b])
		storms := make([]bool, len(bed.g.links))
		d := bed.g.dim()
		v := make([]float64, d)
		passed := make([]float64, 0, int(tell[b].n)*d)
		told[b] = newSeen(len(storms))
		p.later(b, (*poolChain).giveBed, func(c *chain, _ float64, at []float64) {
			c.g.drawStorms(at, storms, c.rng, c.w)
			bed.frame.inverse(at, v, storms, c.w)
			c.lead.from(v)
			passed = append(passed, v...)
			told[b].add(at, means[b], storms)
		})
		bed.frame.fit(passed, d, 2)
	})
	if all {
		p.tilt = tilt(told)
	}
	for _, b := range running {
		p.beds[b].frame.chances.refit(told[b], means[b], p.tilt)
	}
	for _, c := range p.chains {
		c.settle()
	}
}

// later visits the later two thirds of the points of a bed, chain by chain, with what its lasting errors came to, when it has been
// given what the beds had in common then.
func (p *poolRun) later(b int, give func(c *poolChain, b int, t *common), visit func(c *chain, o float64, x []float64)) {
	d, width := p.beds[b].g.dim(), p.width()
	for i, c := range p.chains {
		path := p.walks[i][b]
		first := len(path) / d / 3
		for k := first; k < len(path)/d; k++ {
			if k == first || k%bedPoints == 0 { // those of a sweep share it
				t := c.now.withTheta(p.paths[i][k*width : (k+1)*width])
				give(c, b, &t)
			}
			visit(c.beds[b], c.o[b], path[k*d:(k+1)*d])
		}
	}
}
