package growth

import (
	"runtime"
	"strconv"
	"sync"
)

// poolRun is the chains of the joint model with the frames that they share. Chains meet between phases only, in fixed
// order, so that the result does not depend on the number of cores.
type poolRun struct {
	hold   hold
	names  []string
	beds   []poolBed
	all    []int       // 0, 1 and so on to the last bed
	peaks  [][]float64 // a point of each bed near a peak of its density
	shared sharings
	heavy  []int     // of what they share
	block  []int     // what of θ and the errors moves jointly
	frame  bentFrame // of the block
	off    levelling // of the likelihood of r
	jumps  int       // of θ a sweep
	apart  int       // how many sweeps apart those along an ellipse are
	rest   int       // how many sweeps apart what has ended moves, see [poolRun.walk]
	mean   moments   // of all beds, when their frames were last laid together
	tilt   [fixed]float64
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
	p.all = p.running()
	p.heavy = p.shared.heavy(p.beds)
	for i := range set.Chains {
		p.chains = append(p.chains, newPoolChain(p, set, i))
	}
}

// clear forgets the points passed and makes room for those of so many sweeps.
func (p *poolRun) clear(sweeps int) {
	for b := range p.beds {
		p.forget(b)
	}
	p.walks, p.paths = make([][][]float64, len(p.chains)), make([][]float64, len(p.chains))
	for i := range p.walks {
		p.walks[i] = make([][]float64, len(p.beds))
	}
	p.reserve(sweeps)
}

// reserve makes room for the points of so many sweeps in one piece: growing by and by leaves twice as much behind.
func (p *poolRun) reserve(sweeps int) {
	for i, c := range p.chains {
		for _, b := range p.running() {
			p.walks[i][b] = roomier(p.walks[i][b], bedPoints*sweeps*len(c.beds[b].x))
		}
	}
}

// roomier is x with room for n numbers more, and no others.
func roomier(x []float64, n int) []float64 {
	if cap(x)-len(x) >= n {
		return x
	}
	return append(make([]float64, 0, len(x)+n), x...)
}

// running are the beds whose run has not ended.
func (p *poolRun) running() []int {
	out := make([]int, 0, len(p.beds))
	for b := range p.beds {
		if !p.beds[b].ended {
			out = append(out, b)
		}
	}
	return out
}

// mostRest is how many sweeps apart what has ended moves at most.
const mostRest = 4

// walk moves every chain by so many sweeps and notes the points passed, [bedPoints] of each sweep, of the beds that have not
// ended. What has ended is moved on, as the others depend on it, but only in one of so many sweeps as there are beds to each
// that has not ended, or [mostRest].
func (p *poolRun) walk(sweeps int) {
	running := p.running()
	p.rest = max(1, min(len(p.beds)/max(len(running), 1), mostRest))
	var wg sync.WaitGroup
	for i, c := range p.chains {
		wg.Go(func() { c.walk(sweeps, running, &p.paths[i], p.walks[i]) })
	}
	wg.Wait()
}

// each calls do for every one of some beds on all cores. What do does for one bed depends on nothing that it does for another.
func each(beds []int, do func(b int)) {
	next := make(chan int)
	var wg sync.WaitGroup
	for range min(runtime.GOMAXPROCS(0), len(beds)) {
		wg.Go(func() {
			for b := range next {
				do(b)
			}
		})
	}
	for _, b := range beds {
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
		for _, b := range p.running() {
			x := p.walks[i][b]
			p.walks[i][b] = x[:copy(x, x[bedPoints*sweeps*p.beds[b].g.dim():])]
		}
	}
}

// forget lets go of the points of a bed, of which a large run has far more than it keeps draws.
func (p *poolRun) forget(b int) {
	for i := range p.walks {
		p.walks[i][b] = nil
	}
}

// pieces is in how many pieces a run is lengthened, with a look after each.
const pieces = 4

// ends takes what has ended: the species, and then each bed, with its points at hand; several beds at once.
type ends struct {
	species func(v verdict)
	bed     func(b int, species, own verdict)
}

// run warms up and runs the chains until all has converged or the attempts are used up. The run of the species ends when that has
// converged, and that of a bed when the bed has too: its points are told and let go of. Before a run is lengthened the frames of
// what runs on are laid anew, unless it needs hardly more. Where lengthening did not do, the first third is forgotten each time the
// run is lengthened again: frames that had not seen the tails of the posterior yet may have held a chain there for long.
func (p *poolRun) run(set Settings, e effort, end ends) {
	jumps := 1
	for _, sweeps := range e.warmUp {
		p.clear(sweeps)
		p.walk(sweeps)
		p.refit()
		jumps, p.apart = p.pace()
	}
	p.jumps = jumps
	keep := set.Draws / set.Chains
	sweeps := (max(keep, e.points/set.Chains) + bedPoints - 1) / bedPoints
	p.clear(sweeps)
	p.walk(sweeps * early / 100)
	p.adapt()
	p.walk(sweeps - sweeps*early/100)
	first := sweeps
	var species verdict
	for a := 1; ; a++ {
		if last := a == e.attempts; p.look(&species, last, end) {
			return
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
		for k := range pieces {
			piece := more*(k+1)/pieces - more*k/pieces
			p.walk(piece)
			if sweeps += piece; k < pieces-1 && sweeps >= first && p.look(&species, false, end) {
				return
			}
		}
	}
}

// look ends the runs of what has converged, or of all where this is their last, and tells whether all have ended.
func (p *poolRun) look(species *verdict, last bool, end ends) bool {
	if !species.ok() {
		if *species = p.judge(); species.ok() || last {
			end.species(*species)
		}
	}
	if species.ok() || last {
		p.endBeds(*species, last, end.bed)
	}
	return len(p.running()) == 0
}

// adapt lays the frames anew.
func (p *poolRun) adapt() {
	p.refit()
	p.jumps, p.apart = p.pace()
}
