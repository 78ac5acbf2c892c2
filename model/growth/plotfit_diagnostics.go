package growth

import (
	"fmt"
	"math"
	"math/rand/v2"

	"hash/fnv"
)

// PlotDiagnostics say how far the fit of a plot can be trusted. What cannot be had is NaN or nil; see also
// [PlotFit.Profile] and [PlotFit.Bootstrap].
type PlotDiagnostics struct {
	CorrRK       float64   // correlation of log r and log K; NaN under the table's ceiling
	Leverage     []float64 // of each measure, 0-1; they sum to the number of parameters
	Standardized []float64 // [Fit.Standardized]; NaN where a measure alone sets the curve
	Deleted      []float64 // [Fit.Deleted]
	Runs         Runs      // of the signs of the residuals, in the order of time
	LackOfFit    LackOfFit // against measures repeated on a day
}

// plotDoubt is the probability below which runs and lack of fit are doubted.
const plotDoubt = 0.05

// diagnose fills the diagnostics of the kept fit and warns.
func (f *PlotFit) diagnose(fit Fit) {
	d := PlotDiagnostics{CorrRK: math.NaN(), Leverage: fit.Leverage, Standardized: fit.Standardized(), Deleted: fit.Deleted(),
		Runs: fit.Runs(f.Times), LackOfFit: fit.LackOfFit(f.Times)}
	if f.Status == PlotOK {
		d.CorrRK = fit.Corr[0][1]
	}
	f.Diagnostics = d
	if fit.RSD < plotNoise {
		return
	}
	if d.Runs.PFew < plotDoubt {
		f.Warnings = append(f.Warnings, fmt.Sprintf("measures lie above and below the curve in runs (P %.2g): its shape does not fit", d.Runs.PFew))
	}
	if d.LackOfFit.P < plotDoubt {
		f.Warnings = append(f.Warnings, fmt.Sprintf("the curve misses the means of repeated measures by more than these differ (P %.2g)", d.LackOfFit.P))
	}
}

// kept is the least-squares fit that the numbers are from: the parameters are log r, log K unless it is the table's, and
// the logs of the stocks at the starts.
func (f *PlotFit) kept() Fit {
	model, theta := f.path.model, f.theta
	if f.Status == PlotTableCeiling {
		model, theta = lsqHold(f.path.model, len(theta), f.N, 1, theta[1]), lsqWithout(theta, 1)
	}
	return LeastSquares(model, f.path.y, theta, nil)
}

// Profile is the profile of log r with the interval of the fit's level, and what the other parameters are along it:
// log K, unless it is the table's, and the logs of the stocks at the starts (kg/m2). Under the table's ceiling it does not
// hold the ceiling's own spread, and so is narrower than RLo to RHi. False without an estimate.
func (f PlotFit) Profile() (Profile, bool) {
	if f.Status == PlotNot {
		return Profile{}, false
	}
	fit := f.kept()
	if fit.Status != Converged {
		return Profile{}, false
	}
	return fit.Profile(0, f.Level), true
}

// PlotBootstrap is the case bootstrap of a plot, see [PlotFit.Bootstrap].
type PlotBootstrap struct {
	R, K          BootstrapInterval // per year; kg/m2. K has no limits under the table's ceiling
	Drawn, Failed int
}

// Bootstrap draws the measures again, with replacement, within each regrowth after a cut of nearly all, refits, and gives
// BCa and percentile intervals of the fit's level, see [Fit.Bootstrap]: they do not take the errors of all measures for
// alike. Under the table's ceiling they do not hold the ceiling's own spread. With few measures they are too short, and
// the profile interval is to be believed. The draws depend on the seed and on the plot's and the species' name alone.
// Without an estimate, or without intervals, the Reason of each says why.
func (f PlotFit) Bootstrap(replicates int, seed uint64) PlotBootstrap {
	nan := math.NaN()
	none := BootstrapInterval{Lo: nan, Hi: nan, PercentileLo: nan, PercentileHi: nan, Bias: nan, Acceleration: nan, Reason: f.Reason}
	if f.Status == PlotNot {
		return PlotBootstrap{R: none, K: none}
	}
	fit := f.kept()
	if fit.Status != Converged {
		none.Reason = fit.Status.String()
		return PlotBootstrap{R: none, K: none}
	}
	h := fnv.New64a()
	fmt.Fprintf(h, "plot|%s|%s", f.Species, f.Plot)
	rng := rand.New(rand.NewPCG(seed, h.Sum64()))
	runs := f.path.measuresByRun()
	b := fit.resample(replicates, func(count []int) {
		for _, run := range runs {
			for range run {
				count[run[rng.IntN(len(run))]]++
			}
		}
	})
	of := func(j int) BootstrapInterval {
		return b.Interval(func(p []float64) float64 { return math.Exp(p[j]) }, f.Level)
	}
	out := PlotBootstrap{R: of(0), K: none, Drawn: b.Drawn, Failed: b.Failed}
	out.K.Reason = "the ceiling is the table's"
	if f.Status == PlotOK {
		out.K = of(1)
	}
	return out
}

// measuresByRun are the indexes of the measures of each run.
func (p *plotPath) measuresByRun() [][]int {
	out := make([][]int, p.runs)
	run := 0
	for _, s := range p.steps {
		switch s.kind {
		case plotStart:
			run = s.index
		case plotMeasure:
			out[run] = append(out[run], s.index)
		}
	}
	return out
}
