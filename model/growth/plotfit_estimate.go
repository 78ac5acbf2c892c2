package growth

import (
	"fmt"
	"math"
	"slices"

	"gonum.org/v1/gonum/stat/distuv"
)

// Reasons why a plot has no estimate.
const (
	plotAtCeiling = "all measures are at the ceiling: r cannot be told"
	plotLevel     = "the measures show no regrowth: they are level or fall"
	plotShrank    = "the stand only shrank: no regrowth to be seen"
	plotOverCut   = "more was cut than stands under the table's ceiling"
	plotVague     = "the interval of r has no end: too few measures, or too scattered"
)

// withOwnCeiling fits r, K and the stocks at the start, and keeps them where the data tell both r and K. It is done,
// true, or leaves a reason, or leaves the ceiling to the table.
func (f *PlotFit) withOwnCeiling() bool {
	n := 2 + f.path.runs
	seen := f.path.rises(f.Level)
	if f.N < n+plotSpare {
		return false
	}
	fit := f.search(f.path.model, f.path.starts(plotFreeCeilings), nil)
	if fit.Status != Converged {
		if !seen {
			f.Reason = plotLevel
		}
		return false
	}
	fit, rlo, rhi := f.interval(f.path.model, fit, 0)
	_, klo, khi := f.interval(f.path.model, fit, 1)
	bend := lsqFinite(klo) && lsqFinite(khi) && math.Exp(fit.Params[1]) <= plotBeyond*slices.Max(f.Observed)
	switch {
	case bend && f.path.onlyFalls(fit.Params):
		f.Reason = plotShrank
	case bend && lsqFinite(rlo) && lsqFinite(rhi):
		f.keep(PlotOK, fit.Params, fit, fit.SE[0])
		f.RLo, f.RHi = math.Exp(rlo), math.Exp(rhi)
		f.KLo, f.KHi = math.Exp(klo), math.Exp(khi)
		return true
	case bend && lsqFinite(rlo) || bend && !seen:
		f.Reason = plotAtCeiling
	case !seen:
		f.Reason = plotLevel
	}
	return false
}

// withTableCeiling fits r and the stocks at the start under the ceiling of the species' table.
func (f *PlotFit) withTableCeiling(prior PlotPrior) {
	n := 1 + f.path.runs
	sd := math.Sqrt(math.Log1p(plotCV(prior) * plotCV(prior)))
	switch {
	case !(prior.K > 0):
		f.Reason = "no bend, and the table has no ceiling for the species"
	case slices.Max(f.Observed) >= prior.K*math.Exp(sd):
		f.Reason = fmt.Sprintf("no bend, and far more stands than the table's ceiling, %.3g kg/m2", prior.K)
	case f.N <= n:
		f.Reason = fmt.Sprintf("needs %d measures, has %d", n+1, f.N)
	}
	if f.Reason != "" {
		return
	}
	logK := math.Log(prior.K)
	model := lsqHold(f.path.model, n+1, f.N, 1, logK)
	fit := f.search(model, dropCeiling(f.path.starts([]float64{prior.K / slices.Max(f.Observed)})), nil)
	switch {
	case fit.Status == NotFinite:
		f.Reason = plotOverCut
		return
	case fit.Status != Converged:
		f.Reason = f.levelOr(fit.Status.String())
		return
	}
	fit, lo, hi := f.interval(model, fit, 0)
	if !lsqFinite(lo) || !lsqFinite(hi) {
		f.Reason = f.levelOr(plotVague)
		return
	}
	spread := math.Abs(f.ceilingSlope(fit, logK)) * sd
	f.keep(PlotTableCeiling, slices.Insert(slices.Clone(fit.Params), 1, logK), fit, math.Hypot(fit.SE[0], spread))
	z := distuv.UnitNormal.Quantile((1+f.Level)/2) * spread
	f.RLo = math.Exp(f.LogR - math.Hypot(f.LogR-lo, z))
	f.RHi = math.Exp(f.LogR + math.Hypot(hi-f.LogR, z))
	f.Reason = fmt.Sprintf("no bend in the measures: r under the table's ceiling, %.3g kg/m2", prior.K)
}

// levelOr is the reason that the measures are level, where they are, else the given one.
func (f *PlotFit) levelOr(reason string) string {
	if f.path.rises(f.Level) {
		return reason
	}
	return plotLevel
}

func plotCV(prior PlotPrior) float64 {
	if prior.KCV > 0 {
		return prior.KCV
	}
	return plotSpread
}

// ceilingSlope is d log r / d log K of the fit under a known ceiling.
func (f *PlotFit) ceilingSlope(fit Fit, logK float64) float64 {
	const h = 1e-3
	var r [2]float64
	for i, d := range [...]float64{h, -h} {
		model := lsqHold(f.path.model, len(fit.Params)+1, f.N, 1, logK+d)
		moved := LeastSquares(model, f.path.y, fit.Params, nil)
		if moved.Status != Converged {
			return 1
		}
		r[i] = moved.Params[0]
	}
	return (r[0] - r[1]) / (2 * h)
}

// compare warns where the plot's own ceiling is not the table's, by more than the table's spread allows.
func (f *PlotFit) compare(prior PlotPrior) {
	z := distuv.UnitNormal.Quantile((1+f.Level)/2) * math.Sqrt(math.Log1p(plotCV(prior)*plotCV(prior)))
	if f.Status != PlotOK || !(prior.K > 0) {
		return
	}
	side := "above"
	switch {
	case f.KLo > prior.K*math.Exp(z):
	case f.KHi < prior.K*math.Exp(-z):
		side = "below"
	default:
		return
	}
	f.Warnings = append(f.Warnings, fmt.Sprintf("the ceiling, %.3g kg/m2, is far %s the table's, %.3g kg/m2", f.K, side,
		prior.K))
}

// keep writes the estimates of a fit into the result.
func (f *PlotFit) keep(status string, theta []float64, fit Fit, se float64) {
	f.Status, f.DF, f.RSD = status, fit.DF, fit.RSD
	f.theta = theta
	f.LogR, f.R, f.SELogR = theta[0], math.Exp(theta[0]), se
	f.K, f.N0 = math.Exp(theta[1]), math.Exp(theta[2])
	f.Residuals = fit.Residual
	f.diagnose(fit)
	f.Fitted = make([]float64, len(fit.Fitted))
	for i, v := range fit.Fitted {
		f.Fitted[i] = math.Exp(v)
	}
}

// search is the best converged fit over the starts, else the first. It ends where two starts lead to the same fit.
func (f *PlotFit) search(model ModelFunc, starts [][]float64, set *LSQSettings) Fit {
	var best Fit
	for i, s := range starts {
		fit := LeastSquares(model, f.path.y, s, set)
		if fit.Status == Converged && best.N > 0 && math.Abs(fit.RSS-best.RSS) <= 1e-6*best.RSS ||
			i > 0 && fit.Status == OnBound && best.Status == OnBound && math.Abs(fit.LastRSS-best.LastRSS) <= 1e-6*best.LastRSS {
			break
		}
		if i == 0 || fit.Status == Converged && (best.Status != Converged || fit.RSS < best.RSS) {
			best = fit
		}
	}
	return best
}

// interval is the profile t interval of parameter j, infinite where it has no end. Where the profile meets a better
// point the fit is moved there and returned. Data without noise have the interval of the standard error.
func (f *PlotFit) interval(model ModelFunc, fit Fit, j int) (moved Fit, lo, hi float64) {
	t := distuv.StudentsT{Mu: 0, Sigma: 1, Nu: float64(fit.DF)}.Quantile((1 + f.Level) / 2)
	if fit.RSD < plotNoise {
		return fit, fit.Params[j] - t*fit.SE[j], fit.Params[j] + t*fit.SE[j]
	}
	for range 3 {
		pr := newProfile(model, f.path.y, fit, j)
		step := min(t*fit.SE[j], 0.5)
		s2 := fit.RSD * fit.RSD
		lo, hi = pr.limit(s2, t, -step, plotFar), pr.limit(s2, t, step, plotFar)
		if pr.lower == nil {
			break
		}
		better := LeastSquares(model, f.path.y, pr.lower, nil)
		if better.Status != Converged || better.RSS >= fit.RSS {
			break
		}
		fit = better
	}
	return fit, lo, hi
}
