package growth

import (
	"math"
	"sync/atomic"
)

// verdict is how well something has converged: the largest R-hat and the smallest effective size.
type verdict struct{ rhat, ess float64 }

func (v verdict) ok() bool { return v.rhat <= mostRHat && v.ess >= leastESS }

func (v verdict) and(w verdict) verdict { return verdict{max(v.rhat, w.rhat), min(v.ess, w.ess)} }

// diagnose judges what of gives of each coordinate of paths of d numbers a point; nil: it is not judged. R-hat and effective
// sizes depend on ranks, so that logarithms serve.
func diagnose(paths [][]float64, d int, of func(j int) func(float64) float64) verdict {
	out := verdict{0, math.Inf(1)}
	chains := make([][]float64, len(paths))
	for i := range chains {
		chains[i] = make([]float64, len(paths[i])/d)
	}
	var score []float64
	for j := range d {
		value := of(j)
		if value == nil {
			continue
		}
		for i, c := range chains {
			for k := range c {
				c[k] = value(paths[i][k*d+j])
			}
		}
		dg := newDiagnosis(chains)
		dg.score = score
		out = out.and(verdict{dg.rhat(), min(dg.bulk(), dg.tail())})
		score = dg.score
	}
	return out
}

func itself(v float64) float64 { return v }

// judge tells how well the species' own quantities have converged.
func (p *poolRun) judge() verdict {
	return diagnose(p.paths, p.width(), func(j int) func(float64) float64 {
		switch {
		case isSpread(j): // of either sign
			return math.Abs
		case j < 5 || j == 5 && p.hold.cutSD > 0:
			return itself
		}
		return nil
	})
}

// judgeBeds tells how well each bed has converged; a bed's own are r, K and its stocks. Unless all are asked for, it ends with the
// first that has not, and tells of no more than that.
func (p *poolRun) judgeBeds(all bool) (beds []verdict, ok bool) {
	beds = make([]verdict, len(p.beds))
	var failed atomic.Bool
	p.eachBed(func(b int) {
		if !all && failed.Load() {
			return
		}
		n := fixed + p.beds[b].g.n
		beds[b] = diagnose(p.bedPaths(b), p.beds[b].g.dim(), func(j int) func(float64) float64 {
			if j == 2 || j >= n {
				return nil
			}
			return itself
		})
		if !beds[b].ok() {
			failed.Store(true)
		}
	})
	return beds, !failed.Load()
}
