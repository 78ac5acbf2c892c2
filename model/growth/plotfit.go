package growth

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/stat/distuv"
)

// PlotEvent is one row of a regrowth plot: what stands (a measure), or what was taken off (a cut).
type PlotEvent struct {
	T   float64 // years since 1970-01-01
	Cut bool
	Kg  float64 // kg wet in the plot
}

// PlotSeries is the record of one regrowth plot and species, in any order.
type PlotSeries struct {
	Plot, Species, Bed string
	M2                 float64 // area of the plot
	Events             []PlotEvent
}

// PlotPrior is what is held of the species of a plot beforehand.
type PlotPrior struct {
	K, KCV          float64 // ceiling, kg/m2, and its coefficient of variation (0: 0.5); K 0: not known
	Amplitude, Peak float64 // of the seasonal rate; Peak is the fraction of the year; Amplitude 0: no season known
}

// Status of a plot fit.
const (
	PlotOK           = "ok"
	PlotTableCeiling = "ceiling from the table"
	PlotNot          = "not estimable"
)

// PlotFit is the regrowth of one plot. Where Status is [PlotNot] all numbers but N, Years, Times and Observed are NaN
// or nil, and Reason says why. Where it is [PlotTableCeiling] K is the table's and has no interval.
type PlotFit struct {
	Plot, Species, Bed string

	N, DF    int     // measures used, degrees of freedom
	Level    float64 // level of the intervals, 0-1
	R        float64 // per year
	RLo, RHi float64
	LogR     float64
	SELogR   float64 // standard error of LogR
	K        float64 // ceiling, kg/m2
	KLo, KHi float64
	N0       float64 // kg/m2 at the start of the clock
	RSD      float64 // residual standard deviation of the log, near a coefficient of variation

	Status, Reason string
	Years          float64   // from the first measure to the last
	Times          []float64 // of the measures used, years
	Observed       []float64 // kg/m2
	Fitted         []float64 // kg/m2
	Residuals      []float64 // ln observed - ln fitted
	InSeason       bool      // under 0.9 years and no season known: R is the rate of that season, not the annual r
	Warnings       []string

	Shape       string          // of the curve that R is from: [ShapeSeasonal] where the season is known, else [ShapeLogistic]
	Diagnostics PlotDiagnostics // of that curve
	Curves      []PlotCurve     // of [PlotFit.Ranked]: all growth curves, the best first, those without an estimate last

	prior PlotPrior
	path  plotPath
	theta []float64 // log r, log K, log N0 of each run
}

const (
	plotLeast  = 4    // measures
	plotSpare  = 2    // measures beyond the parameters that a ceiling of one's own needs
	plotYear   = 0.9  // years of record that make a rate annual
	plotBeyond = 3.0  // largest ceiling over largest measure
	plotNoise  = 1e-9 // residual sd below which the data are without noise
	plotSpread = 0.5  // coefficient of variation of a ceiling that has none
	plotFar    = 4.6  // ln 100: a limit farther than a hundredfold is none
	plotTotal  = 0.9  // share of what stood that makes a cut a new start
)

// FitPlots fits every plot by [FitPlot]; priors are by species, a species without one has the zero prior.
func FitPlots(plots []PlotSeries, priors map[string]PlotPrior, level float64) []PlotFit {
	out := make([]PlotFit, len(plots))
	for i, p := range plots {
		out[i] = FitPlot(p, priors[p.Species], level)
	}
	return out
}

// FitPlot estimates growth rate and ceiling of one plot from the logistic curve with a seasonal rate and dated cuts,
// in u = 1/B (m2/kg)
//
//	u(t2) = e^-R u(t1) + (1 - e^-R)/K
//	R = r [ (t2 - t1) + a/(2π) ( sin 2π(t2 - tp) - sin 2π(t1 - tp) ) ]
//	u -> u/(1 - C u)   where C kg/m2 are cut
//
// by least squares of ln B on the parameters ln r, ln K and ln N0: weighing errors and the differences between stands
// grow with what stands, so that the log has an even spread, and none of the three can be negative. A cut before the
// first measure starts the clock; a later one takes its weight out, and a measure on its day stands before it. A cut
// that took at least 90 % of what stood starts anew with a stock of its own, since what is left is the small difference
// of two large weights.
//
// Intervals are profile t intervals of the given level, (0, 1). The ceiling is estimated only where the data bend: its
// interval is finite, it is at most three times the largest measure, and at least two measures are left beyond the
// parameters (with one, a fit that happens to be close looks certain: by simulation a 95 % interval then held the true
// r in 82 % of the plots). Else it is held at the table's, whose spread then widens the interval of r. Not estimable, with the reason, are fewer than four measures, a stand that was lost,
// measures that are level or only fall, and a rate without a finite interval.
//
// It panics where level is not in (0, 1).
//
// References:
//   - Bates, D. M. and Watts, D. G.: Nonlinear Regression Analysis and Its Applications. Wiley (1988), ch. 6
func FitPlot(p PlotSeries, prior PlotPrior, level float64) PlotFit {
	if !(level > 0 && level < 1) {
		panic("growth: level of a plot fit is not in (0, 1)")
	}
	f := newPlotFit(p, prior, level)
	if f.Reason != "" {
		return f
	}
	if f.withOwnCeiling() {
		f.compare(prior)
	} else if f.Reason == "" {
		f.withTableCeiling(prior)
	}
	return f
}

// newPlotFit lays out the record. A reason means that nothing can be fitted.
func newPlotFit(p PlotSeries, prior PlotPrior, level float64) PlotFit {
	nan := math.NaN()
	f := PlotFit{Plot: p.Plot, Species: p.Species, Bed: p.Bed, Level: level, R: nan, RLo: nan, RHi: nan, LogR: nan,
		SELogR: nan, K: nan, KLo: nan, KHi: nan, N0: nan, RSD: nan, Status: PlotNot, Shape: ShapeLogistic, prior: prior}
	if prior.Amplitude != 0 {
		f.Shape = ShapeSeasonal
	}
	f.path, f.Reason, f.Warnings = newPlotPath(p, prior)
	f.N = len(f.path.y)
	for _, s := range f.path.steps {
		if s.kind == plotMeasure {
			f.Times = append(f.Times, s.t)
			f.Observed = append(f.Observed, math.Exp(f.path.y[s.index]))
		}
	}
	if f.N > 0 {
		f.Years = f.Times[f.N-1] - f.Times[0]
	}
	if f.Reason != "" {
		return f
	}
	if f.N < plotLeast {
		f.Reason = fmt.Sprintf("needs %d measures, has %d", plotLeast, f.N)
	}
	if f.Years == 0 && f.Reason == "" {
		f.Reason = "all measures on one day"
	}
	if f.Reason == "" && f.path.constant() {
		f.Reason = plotLevel
	}
	f.season(prior)
	return f
}

// season warns where the record does not tell the annual rate.
func (f *PlotFit) season(prior PlotPrior) {
	switch {
	case prior.Amplitude != 0:
	case f.Years < plotYear:
		f.InSeason = true
		f.Warnings = append(f.Warnings, "in-season rate: not the annual r")
	case f.Years < 3 && math.Abs(f.Years-math.Round(f.Years)) > 0.1:
		f.Warnings = append(f.Warnings, "no season known and not whole years: r leans on the months covered")
	}
}

// Evidence is what the plot says of the annual rate: false where it says nothing. The standard error is that of a
// normal whose interval is as wide as the fit's, so that few degrees of freedom count as little as they should.
func (f PlotFit) Evidence() (PlotEvidence, bool) {
	if f.Status == PlotNot || f.InSeason {
		return PlotEvidence{}, false
	}
	z := distuv.UnitNormal.Quantile((1 + f.Level) / 2)
	return PlotEvidence{LogR: f.LogR, SE: math.Log(f.RHi/f.RLo) / (2 * z), Years: f.Years}, true
}
