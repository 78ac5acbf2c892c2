package growth

import (
	"runtime"
	"slices"
	"strconv"
	"sync"
)

// poolRun is the chains of the joint model with the frames that they share. Chains meet between phases only, in fixed
// order, so that the result does not depend on the number of cores.
type poolRun struct {
	hold   hold
	names  []string
	beds   []poolBed
	peaks  [][]float64 // a point of each bed near a peak of its density
	shared sharings
	heavy  []int        // of what they share
	block  []int        // what of θ and the errors moves jointly
	frame  bentFrame    // of the block
	off    levelling    // of the likelihood of r
	rounds int          // of moves of θ a sweep
	apart  int          // how many sweeps apart those along an ellipse are
	above  [thetas]bool // of θ: a spread that is kept above 0
	chains []*poolChain
	walks  [][][]float64 // points passed, by chain and bed
	paths  [][]float64   // values of θ and the errors passed, by chain
}

func itoa(i int) string { return strconv.Itoa(i) }

// addBed lays the charts of a bed about a peak of its density; false when no point is possible.
func (p *poolRun) addBed(name string, g *target, offset float64, cross [][]int) bool {
	x, ok := g.guess()
	if !ok {
		return false
	}
	ch := g.settle(x)
	b := poolBed{g: g, offset: offset, cross: cross, lasting: lasting(cross, g)}
	b.pull = g.firstPull(ch.at)
	b.frame = g.firstFrame(ch)
	p.names, p.beds, p.peaks = append(p.names, name), append(p.beds, b), append(p.peaks, ch.at)
	return true
}

// start scatters the chains.
func (p *poolRun) start(set Settings) {
	p.layBlocks()
	p.heavy = p.shared.heavy(p.beds)
	for i := range set.Chains {
		p.chains = append(p.chains, newPoolChain(p, set, i))
	}
}

// clear forgets the points passed and makes room for those of so many sweeps.
func (p *poolRun) clear(sweeps int) {
	p.walks, p.paths = make([][][]float64, len(p.chains)), make([][]float64, len(p.chains))
	for i := range p.walks {
		p.walks[i] = make([][]float64, len(p.beds))
	}
	p.reserve(sweeps)
}

// reserve makes room for the points of so many sweeps in one piece: growing by and by leaves twice as much behind.
func (p *poolRun) reserve(sweeps int) {
	for i, c := range p.chains {
		for b, ch := range c.beds {
			p.walks[i][b] = slices.Grow(p.walks[i][b], bedPoints*sweeps*len(ch.x))
		}
	}
}

// walk moves every chain by so many sweeps and notes the points passed, [bedPoints] of each sweep.
func (p *poolRun) walk(sweeps int) {
	var wg sync.WaitGroup
	for i, c := range p.chains {
		wg.Go(func() {
			y := make([]float64, p.width())
			for k := range sweeps {
				c.sweep(k, func() {
					c.now.theta(y)
					for range bedPoints {
						p.paths[i] = append(p.paths[i], y...)
					}
				}, func(b int) { p.walks[i][b] = append(p.walks[i][b], c.beds[b].x...) })
			}
		})
	}
	wg.Wait()
}

// refit lays the charts, pulls and frames by the later two thirds of the points passed, all chains together.
func (p *poolRun) refit() {
	p.lay()
	tell, means := make([]moments, len(p.beds)), make([][]float64, len(p.beds))
	p.eachBed(func(b int) {
		mean := make([]float64, p.beds[b].g.dim())
		var like pulled
		p.later(b, func(c *chain, o float64, x []float64) {
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
	lean(tell)
	told := make([]*seen, len(p.beds))
	p.eachBed(func(b int) {
		bed := &p.beds[b]
		bed.pull = tell[b].solve()
		bed.frame.chart = newChart(bed.g, means[b])
		storms := make([]bool, len(bed.g.links))
		d := bed.g.dim()
		v := make([]float64, d)
		passed := make([]float64, 0, int(tell[b].n)*d)
		told[b] = newSeen(len(storms))
		p.later(b, func(c *chain, _ float64, at []float64) {
			c.g.drawStorms(at, storms, c.rng, c.w)
			bed.frame.inverse(at, v, storms, c.w)
			c.lead.from(v)
			passed = append(passed, v...)
			told[b].add(at, means[b], storms)
		})
		bed.frame.fit(passed, d, 2)
	})
	k := tilt(told)
	for b := range p.beds {
		p.beds[b].frame.chances.refit(told[b], means[b], k)
	}
	for _, c := range p.chains {
		c.settle()
	}
}

// later visits the later two thirds of the points of a bed, chain by chain, with what its lasting errors came to.
func (p *poolRun) later(b int, visit func(c *chain, o float64, x []float64)) {
	d, width := p.beds[b].g.dim(), p.width()
	for i, c := range p.chains {
		path := p.walks[i][b]
		first := len(path) / d / 3
		for k := first; k < len(path)/d; k++ {
			if k == first || k%bedPoints == 0 { // those of a sweep share it
				t := c.now.withTheta(p.paths[i][k*width : (k+1)*width])
				c.giveBed(b, &t)
			}
			visit(c.beds[b], c.o[b], path[k*d:(k+1)*d])
		}
	}
}

// eachBed calls do for every bed on all cores. What do does for one bed depends on nothing that it does for another.
func (p *poolRun) eachBed(do func(b int)) {
	next := make(chan int)
	var wg sync.WaitGroup
	for range min(runtime.GOMAXPROCS(0), len(p.beds)) {
		wg.Go(func() {
			for b := range next {
				do(b)
			}
		})
	}
	for b := range p.beds {
		next <- b
	}
	close(next)
	wg.Wait()
}

// bedPaths are the points of a bed, by chain.
func (p *poolRun) bedPaths(b int) [][]float64 {
	out := make([][]float64, len(p.chains))
	for i := range out {
		out[i] = p.walks[i][b]
	}
	return out
}

// forgetFirst lets go of what the first sweeps left behind.
func (p *poolRun) forgetFirst(sweeps int) {
	for i := range p.chains {
		p.paths[i] = p.paths[i][bedPoints*sweeps*p.width():]
		for b := range p.beds {
			p.walks[i][b] = p.walks[i][b][bedPoints*sweeps*p.beds[b].g.dim():]
		}
	}
}

// forget lets go of the points of a bed, of which a large run has far more than it keeps draws.
func (p *poolRun) forget(b int) {
	for i := range p.walks {
		p.walks[i][b] = nil
	}
}

// run warms up and runs the chains until all has converged or the attempts are used up. The beds are not asked while the
// species has not converged. Before a run is lengthened the frames are laid anew, unless it needs hardly more. Where lengthening
// did not do, the first third is forgotten each time the run is lengthened again: frames that had not seen the tails of the
// posterior yet may have held a chain there for long.
func (p *poolRun) run(set Settings, e effort) (species verdict, beds []verdict) {
	rounds := 1
	for _, sweeps := range e.warmUp {
		p.clear(sweeps)
		p.walk(sweeps)
		p.refit()
		rounds, p.apart = p.pace()
	}
	p.rounds = rounds
	keep := set.Draws / set.Chains
	sweeps := (max(keep, e.points/set.Chains) + bedPoints - 1) / bedPoints
	p.clear(sweeps)
	p.walk(sweeps * early / 100)
	p.adapt()
	p.walk(sweeps - sweeps*early/100)
	for a := 1; ; a++ {
		species = p.judge()
		last := a == e.attempts
		if species.ok() || last {
			ok := false
			if beds, ok = p.judgeBeds(last); ok || last {
				return species, beds
			}
		}
		if a > 1 || !species.near() {
			p.adapt()
		}
		more := (sweeps + 2) / 3
		if a > 1 {
			p.forgetFirst(sweeps / 3)
			sweeps -= sweeps / 3
			more = sweeps
		}
		p.reserve(more)
		p.walk(more)
		sweeps += more
	}
}

// adapt lays the frames anew.
func (p *poolRun) adapt() {
	p.refit()
	p.rounds, p.apart = p.pace()
}
