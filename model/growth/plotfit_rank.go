package growth

import (
	"cmp"
	"fmt"
	"math"
	"slices"
)

// plotMuchBetter is the difference of AICc at which one curve has considerably less support than another (Burnham and
// Anderson 2002, p. 70: 4 to 7).
const plotMuchBetter = 4.0

// Ranked is the plot with every growth curve fitted to its record as the plot itself was, to its own ceiling or under the
// table's, in the order of AICc, and with a warning where another curve suits it much better than the one that R is from.
// [FitPlot] leaves it out: it takes several times as long as the plot's own curve, and changes nothing of R and K.
//
// References:
//   - Burnham, K. P. and Anderson, D. R.: Model Selection and Multimodel Inference, 2nd ed. Springer (2002), sec. 2.6
func (f PlotFit) Ranked() PlotFit {
	if f.Status == PlotNot || f.Curves != nil {
		return f
	}
	for _, name := range PlotShapes {
		f.Curves = append(f.Curves, f.fitCurve(name, f.prior))
	}
	criteria := make([]float64, len(f.Curves))
	best := math.Inf(1)
	for i, c := range f.Curves {
		criteria[i] = c.AICc
		if c.AICc < best {
			best = c.AICc
		}
	}
	weights := AkaikeWeights(criteria)
	for i := range f.Curves {
		f.Curves[i].Weight = weights[i]
		f.Curves[i].Delta = f.Curves[i].AICc - best
	}
	slices.SortStableFunc(f.Curves, func(a, b PlotCurve) int {
		return cmp.Or(cmp.Compare(curveClass(a), curveClass(b)), cmp.Compare(a.AICc, b.AICc))
	})
	f.Warnings = slices.Clip(f.Warnings)
	f.doubtShape()
	return f
}

// curveClass puts curves with a criterion first and those without an estimate last.
func curveClass(c PlotCurve) int {
	switch {
	case c.Status == PlotNot:
		return 2
	case math.IsNaN(c.AICc):
		return 1
	}
	return 0
}

// doubtShape warns where another curve is much better than the one that R is from. In a record of one season the shape
// cannot be told from the season.
func (f *PlotFit) doubtShape() {
	own := slices.IndexFunc(f.Curves, func(c PlotCurve) bool { return c.Shape == f.Shape })
	best, used := f.Curves[0], f.Curves[own]
	if f.InSeason || !(used.Delta > plotMuchBetter) {
		return
	}
	gain := fmt.Sprintf("AICc %.1f lower", used.Delta)
	switch {
	case best.Shape == ShapeLogistic:
		f.Warnings = append(f.Warnings, "growth even over the year fits much better than the species' season ("+gain+
			"): look at the season's peak and amplitude")
	case best.Shape == ShapeSeasonal:
		f.Warnings = append(f.Warnings, fmt.Sprintf("growth follows a season (%s): by the measures its amplitude is %.2g, fastest at %.2f of the year, "+
			"and r %.2g a year, not %.2g", gain, best.Season.Amplitude, best.Season.Peak, best.R.Median, f.R))
	default:
		w := fmt.Sprintf("the %s curve fits much better than the logistic (%s)", curveNames[best.Shape], gain)
		if lsqFinite(best.Recovery) && lsqFinite(used.Recovery) {
			w += fmt.Sprintf(": from a tenth of the ceiling to nine tenths in %.2g years, by the logistic in %.2g", best.Recovery, used.Recovery)
		}
		f.Warnings = append(f.Warnings, w)
	}
}

var curveNames = map[string]string{ShapeGompertz: "Gompertz", ShapeTheta: "theta-logistic", ShapeMonomolecular: "monomolecular"}

// fitCurve fits one curve.
func (f *PlotFit) fitCurve(name string, prior PlotPrior) PlotCurve {
	c := newPlotCurve(name, f.N)
	path, reason := f.candidate(name)
	table := f.Status == PlotTableCeiling
	n := path.params()
	if table {
		n--
	}
	if reason == "" && f.N <= n {
		reason = fmt.Sprintf("needs %d measures, has %d", n+1, f.N)
	}
	if c.Reason = reason; reason != "" {
		return c
	}
	model, starts := path.model, f.besides(&path)
	if table {
		model = lsqHold(path.model, n+1, f.N, 1, math.Log(prior.K))
		starts = dropCeiling(starts)
	}
	fit := f.search(model, starts, path.settings(table))
	if c.Reason = f.curveReason(name, &path, fit); c.Reason != "" {
		return c
	}
	c.Status = f.Status
	f.fillCurve(&c, path, fit, prior)
	return c
}

// besides are starting values of another curve beside the one that was kept: its ceiling and its years of recovery, and
// some way off.
func (f *PlotFit) besides(path *plotPath) [][]float64 {
	k, pace := math.Exp(f.theta[1]), math.Exp(f.theta[0])/shapeRecovery(1)
	start := func(theta, higher, faster float64, extra ...float64) []float64 {
		speed := 1.0
		if path.shape.freeTheta {
			speed = theta
		}
		return append(path.guess(faster*pace*shapeRecovery(theta)/speed, higher*k, theta, speed), extra...)
	}
	switch theta := path.shape.theta; {
	case path.shape.freeTheta:
		return [][]float64{start(1, 1, 1, 0), start(0.4, 1, 1, math.Log(0.4)), start(2.5, 1, 1, math.Log(2.5))}
	case path.shape.freeSeason:
		return [][]float64{start(theta, 1, 1, 0, 0), start(theta, 1, 1, 0.5, 0), start(theta, 1, 1, -0.5, 0)}
	default:
		return [][]float64{start(theta, 1, 1), start(theta, 1.5, 0.7), start(theta, 1, 2)}
	}
}

// settings bound what runs off where a curve does not suit the record: the ceiling to a hundred largest measures, the
// exponent where it is fitted, and the stocks at the starts of the monomolecular curve, which may start from nothing.
func (p *plotPath) settings(table bool) *LSQSettings {
	n := p.params()
	lo, hi := slices.Repeat([]float64{math.Inf(-1)}, n), slices.Repeat([]float64{math.Inf(1)}, n)
	hi[1] = slices.Max(p.y) + plotFar
	switch {
	case p.shape.freeTheta:
		lo[2+p.runs], hi[2+p.runs] = math.Log(thetaLow), math.Log(thetaHigh)
	case p.shape.theta < 0:
		for i := range p.runs {
			lo[2+i] = slices.Min(p.y) - plotFar
		}
	}
	if table {
		lo, hi = lsqWithout(lo, 1), lsqWithout(hi, 1)
	}
	return &LSQSettings{Lower: lo, Upper: hi}
}

// curveReason is why a curve has no estimate, "" where it has one.
func (f *PlotFit) curveReason(name string, path *plotPath, fit Fit) string {
	last := fit.Last[len(fit.Last)-1]
	switch {
	case fit.Status == Converged:
		return ""
	case fit.Status == NotFinite:
		return plotOverCut
	case path.shape.freeTheta && last < math.Log(1.1*thetaLow):
		return fmt.Sprintf("the exponent runs below %.2g: no better than the Gompertz curve", thetaLow)
	case path.shape.freeTheta && last > math.Log(thetaHigh/1.1):
		return fmt.Sprintf("the exponent runs above %.2g: growth to the ceiling without slowing", thetaHigh)
	case path.shape.freeSeason:
		return "the season cannot be told from the measures"
	case f.Status == PlotOK && fit.Last[1] > slices.Max(path.y)+plotFar-1:
		return "its ceiling runs away: by this curve growth does not slow"
	case name == ShapeMonomolecular && last < slices.Min(path.y)-plotFar+1:
		return "the curve would start from nothing: growth does not slow from the start"
	}
	return fit.Status.String()
}
