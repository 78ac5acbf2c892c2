package growth

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/stat/distuv"
)

// plotFreeCeilings are the ceilings tried where the ceiling is fitted, in largest measures.
var plotFreeCeilings = []float64{1.05, 1.5, 3}

// starts are starting values of the logistic: each ceiling, in largest measures, with the rate that the gaps to it suggest
// and with a third and three times of it.
func (p *plotPath) starts(ceilings []float64) [][]float64 {
	top := math.Exp(slices.Max(p.y))
	var out [][]float64
	for _, c := range ceilings {
		k := c * top
		r := p.guessRate(k)
		for _, m := range [...]float64{1, 1.0 / 3, 3} {
			out = append(out, p.guess(m*r, k, 1, 1))
		}
	}
	return out
}

// guessRate is the median of the rising logit slopes between neighbouring measures of a run without a cut between, 1
// where there is none.
func (p *plotPath) guessRate(k float64) float64 {
	logit := func(y float64) float64 { return y - math.Log(max(k-math.Exp(y), 1e-3*k)) }
	var slopes []float64
	var before plotStep
	for _, s := range p.steps {
		if s.kind == plotMeasure && before.kind == plotMeasure && s.g > 0 {
			if v := (logit(p.y[s.index]) - logit(p.y[before.index])) / s.g; v > 0 {
				slopes = append(slopes, v)
			}
		}
		before = s
	}
	if len(slopes) == 0 {
		return 1
	}
	slices.Sort(slopes)
	return slopes[len(slopes)/2]
}

// guess puts the start of each run where growth r under the ceiling k leads through its first measure, by the curve with
// the exponent theta and ρ/r = speed.
func (p *plotPath) guess(r, k, theta, speed float64) []float64 {
	out := []float64{math.Log(r), math.Log(k)}
	open := false
	for _, s := range p.steps {
		switch {
		case s.kind == plotStart:
			open = true
		case s.kind == plotMeasure && open:
			x := p.y[s.index] - math.Log(k)
			if back := shapeStand(theta, shapeGap(theta, x)*math.Exp(r*speed*s.g)); lsqFinite(back) {
				x = back
			}
			out = append(out, x+math.Log(k))
			open = false
		}
	}
	return out
}

// dropCeiling takes log K out of the starting values.
func dropCeiling(starts [][]float64) [][]float64 {
	for i, s := range starts {
		starts[i] = slices.Delete(s, 1, 2)
	}
	return starts
}

// rises reports whether ln B rises with time between cuts, by the t test of the common slope at the level; true where
// the measures are too few to say.
func (p *plotPath) rises(level float64) bool {
	var sxx, sxy, syy float64
	groups, x := 0, 0.0
	var xs, ys []float64
	flush := func() {
		if len(xs) == 0 {
			return
		}
		groups++
		mx, my := plotMean(xs), plotMean(ys)
		for i := range xs {
			dx, dy := xs[i]-mx, ys[i]-my
			sxx, sxy, syy = sxx+dx*dx, sxy+dx*dy, syy+dy*dy
		}
		xs, ys = nil, nil
	}
	for _, s := range p.steps {
		x += s.g
		if s.kind == plotMeasure {
			xs, ys = append(xs, x), append(ys, p.y[s.index])
		} else {
			flush()
		}
	}
	flush()
	df := float64(len(p.y) - groups - 1)
	if df < 1 || sxx == 0 {
		return true
	}
	slope := sxy / sxx
	se := math.Sqrt(max(0, syy-slope*sxy) / df / sxx)
	return slope > se*distuv.StudentsT{Mu: 0, Sigma: 1, Nu: df}.Quantile((1+level)/2)
}

func plotMean(x []float64) float64 {
	s := 0.0
	for _, v := range x {
		s += v
	}
	return s / float64(len(x))
}

// constant reports that all measures are equal and no cut fell between: any rate fits.
func (p *plotPath) constant() bool {
	return !p.cutBetween() && slices.Max(p.y)-slices.Min(p.y) < plotNoise
}

func (p *plotPath) cutBetween() bool {
	return slices.ContainsFunc(p.steps, func(s plotStep) bool { return s.kind == plotCut })
}

// onlyFalls reports whether every run starts above the ceiling and no cut lowered it: such a stand thins, and does not
// regrow.
func (p *plotPath) onlyFalls(theta []float64) bool {
	return !p.cutBetween() && slices.Min(theta[2:]) > theta[1]
}

// Curve is the fitted curve with n points between neighbouring events: times, years, and stock, kg/m2. A cut is a
// vertical drop, two points of equal time. Without an estimate both are empty.
func (f PlotFit) Curve(n int) (t, b []float64) {
	if f.theta == nil {
		return nil, nil
	}
	return f.path.draw(f.theta, n)
}
