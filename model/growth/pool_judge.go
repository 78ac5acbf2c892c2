package growth

import (
	"math"
	"sync"
)

// verdict is how well something has converged: the largest R-hat and the smallest effective size.
type verdict struct{ rhat, ess float64 }

func (v verdict) ok() bool { return v.rhat <= mostRHat && v.ess >= leastESS }

// near tells that a somewhat longer run in the same frames may do.
func (v verdict) near() bool { return v.rhat <= 1.02 && v.ess >= 300 }

func (v verdict) and(w verdict) verdict { return verdict{max(v.rhat, w.rhat), min(v.ess, w.ess)} }

// diagnose judges in some room what of gives of each coordinate of paths of d numbers a point; nil: it is not judged. R-hat and
// effective sizes depend on ranks, so that logarithms serve.
func diagnose(room *diagnosis, paths [][]float64, d int, of func(j int) func(float64) float64) verdict {
	out := verdict{0, math.Inf(1)}
	for j := range d {
		if value := of(j); value != nil {
			room.read(paths, d, j, value)
			out = out.and(room.verdict())
		}
	}
	return out
}

func itself(v float64) float64 { return v }

// passed is how many chains there are, of how many points each, and the normal scores of so many.
func (p *poolRun) passed() (chains, draws int, scores []float64) {
	chains, draws = len(p.paths), len(p.paths[0])/p.width()
	return chains, draws, normalScores(splitDraws(chains, draws))
}

// judge tells how well the species' own quantities have converged.
func (p *poolRun) judge() verdict {
	return diagnose(newDiagnosis(p.passed()), p.paths, p.width(), func(j int) func(float64) float64 {
		switch {
		case isSpread(j): // of either sign
			return math.Abs
		case j < 5 || j == 5 && p.hold.cutSD > 0:
			return itself
		}
		return nil
	})
}

// judgeBed tells in some room how well a bed has converged; a bed's own are r, K and its stocks.
func (p *poolRun) judgeBed(b int, room *diagnosis) verdict {
	n := fixed + p.beds[b].g.n
	return diagnose(room, p.bedPaths(b), p.beds[b].g.dim(), func(j int) func(float64) float64 {
		if j == 2 || j >= n {
			return nil
		}
		return itself
	})
}

// endBeds ends the run of each bed that has converged, or of all where this is their last, and lets go of its points.
func (p *poolRun) endBeds(species verdict, last bool, end func(b int, species, own verdict)) {
	chains, draws, scores := p.passed()
	rooms := sync.Pool{New: func() any { return newDiagnosis(chains, draws, scores) }}
	each(p.running(), func(b int) {
		room := rooms.Get().(*diagnosis)
		defer rooms.Put(room)
		if own := p.judgeBed(b, room); own.ok() || last {
			end(b, species, own)
			p.beds[b].ended = true
			p.forget(b)
		}
	})
}
