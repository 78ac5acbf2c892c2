package growth

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// measured is a record of 1 m2 from measures alone, or with a clock that a cut started.
func measured(t, kg []float64, start float64) PlotSeries {
	p := PlotSeries{Plot: "P", Species: "S", M2: 1}
	if !math.IsNaN(start) {
		p.Events = append(p.Events, PlotEvent{T: start, Cut: true, Kg: 1})
	}
	for i := range t {
		p.Events = append(p.Events, PlotEvent{T: t[i], Kg: kg[i]})
	}
	return p
}

func curveOf(t *testing.T, f PlotFit, shape string) PlotCurve {
	t.Helper()
	for _, c := range f.Curves {
		if c.Shape == shape {
			return c
		}
	}
	t.Fatalf("no %s curve", shape)
	return PlotCurve{}
}

// The records of testdata/plotcurves.R.
func referenceRecords() map[string]PlotFit {
	out := map[string]PlotFit{}
	w := seasonalTruth()
	cuts := measured(w.measures, []float64{0.62, 1.27, 1.69, 3.95, 4.02, 4.36, 5.65, 6.97, 8.60, 8.05}, w.from)
	for _, c := range w.cuts {
		cuts.Events = append(cuts.Events, PlotEvent{T: c.T, Cut: true, Kg: c.Kg})
	}
	out["cuts"] = FitPlot(cuts, w.prior(), 0.95).Ranked()
	yeast := []float64{9.6, 18.3, 29.0, 47.2, 71.1, 119.1, 174.6, 257.3, 350.7, 441.0, 513.3, 559.7, 594.8, 629.4, 640.8, 651.1,
		655.9, 659.6, 661.8}
	out["yeast"] = FitPlot(measured(upTo(18), yeast, math.NaN()), PlotPrior{}, 0.95).Ranked()
	var days, counts []float64
	for _, c := range [][]float64{
		{2, 17, 29, 39, 63, 185, 258, 267, 392, 510, 570, 650, 560, 575, 650, 550, 480, 520, 500},
		{2, 15, 36, 62, 84, 156, 234, 348, 370, 480, 520, 575, 400, 545, 560, 480, 510, 650, 500},
		{2, 11, 37, 67, 134, 226, 306, 376, 485, 530, 650, 605, 580, 660, 460, 650, 575, 525, 550}} {
		days = append(append(days, 0), upTo(19)[2:]...)
		counts = append(counts, c...)
	}
	out["aurelia"] = FitPlot(measured(days, counts, math.NaN()), PlotPrior{}, 0.95).Ranked()
	visits := []float64{0.25, 0.25, 0.5, 0.5, 1, 1, 1.5, 1.5, 2, 2, 3, 3, 4, 4}
	slow := []float64{1.62, 1.78, 2.69, 2.85, 4.72, 4.35, 5.41, 5.98, 6.55, 6.14, 7.12, 7.63, 7.92, 7.55}
	out["slow"] = FitPlot(measured(visits, slow, 0), PlotPrior{}, 0.95).Ranked()
	return out
}

// Reference: R 4.2.2 nls over the closed forms with numeric derivatives, testdata/plotcurves.R: yeast (Carlson 1913),
// Paramecium aurelia (Gause 1934), two invented plots. rel 1e-5 for estimates, 1e-4 for what leans on derivatives; the
// estimates are logs, so that abs 1e-5 is the same there.
func TestPlotCurvesAgainstR(t *testing.T) {
	fits, checked := referenceRecords(), 0
	for _, row := range readCSV(t, "testdata/plotcurves_R.csv") {
		f := fits[row[0]]
		shape := row[1]
		if shape == ShapeLogistic {
			shape = f.Shape
		}
		c := curveOf(t, f, shape)
		name, want := fmt.Sprint(row[:3]), number(t, row[3])
		require.Equal(t, PlotOK, c.Status, "%s: %s", name, c.Reason)
		checked++
		switch row[2] {
		case "logr":
			approx(t, name, math.Log(c.R.Median), want, 1e-5, 1e-5)
		case "logk":
			approx(t, name, math.Log(c.K.Median), want, 1e-5, 1e-5)
		case "logn":
			approx(t, name, math.Log(c.N0), want, 1e-5, 1e-5)
		case "logq":
			approx(t, name, math.Log(c.Theta.Median), want, 1e-5, 1e-5)
		case "rsd":
			approx(t, name, c.RSD, want, 1e-7, 0)
		case "aicc":
			approx(t, name, c.AICc, want, 1e-7, 1e-7)
		default:
			checked--
			if shape != f.Shape {
				continue // the diagnostics are of the plot's own curve
			}
			checked++
			switch d := f.Diagnostics; row[2] {
			case "logr se":
				approx(t, name, f.SELogR, want, 1e-4, 0)
			case "corr":
				approx(t, name, d.CorrRK, want, 1e-4, 0)
			case "lack F":
				approx(t, name, d.LackOfFit.F, want, 1e-6, 0)
			case "lack P":
				approx(t, name, d.LackOfFit.P, want, 1e-6, 0)
			default:
				checked--
			}
		}
	}
	assert.Equal(t, 75, checked)
	assert.Equal(t, ShapeLogistic, fits["yeast"].Curves[0].Shape)
	assert.Equal(t, ShapeMonomolecular, fits["slow"].Curves[0].Shape)
	require.NotEmpty(t, fits["slow"].Warnings)
	assert.Contains(t, fits["slow"].Warnings[len(fits["slow"].Warnings)-1],
		"the monomolecular curve fits much better than the logistic (AICc 13.6 lower): from a tenth of the ceiling to nine tenths in 2.9 years, by the logistic in 2.1")
	assert.Contains(t, fits["aurelia"].Warnings[0], "the theta-logistic curve fits much better than the logistic (AICc 8.4 lower)")
}

// rates are dB/dt over r g of each curve.
var rates = map[string]func(b, k, theta float64) float64{
	ShapeSeasonal:      func(b, k, _ float64) float64 { return b * (1 - b/k) },
	ShapeGompertz:      func(b, k, _ float64) float64 { return b * math.Log(k/b) },
	ShapeTheta:         func(b, k, theta float64) float64 { return b * (1 - math.Pow(b/k, theta)) },
	ShapeMonomolecular: func(b, k, _ float64) float64 { return k - b },
}

// integrated is the record of a stand by its differential equation alone (Runge-Kutta of fourth order), with the season
// and cuts of w.
func integrated(w plotTruth, shape string, theta float64) PlotSeries {
	p := PlotSeries{Plot: "P", Species: "S", M2: 1, Events: []PlotEvent{{T: w.from, Cut: true, Kg: 1}}}
	season, at, b := Season{Amplitude: w.a, Peak: w.tp}, w.from, w.n0
	slope := func(t, b float64) float64 { return w.r * season.Rate(t) * rates[shape](b, w.k, theta) }
	to := func(t float64) {
		const steps = 400
		h := (t - at) / steps
		for i := range steps {
			s := at + float64(i)*h
			k1 := slope(s, b)
			k2 := slope(s+h/2, b+h/2*k1)
			k3 := slope(s+h/2, b+h/2*k2)
			b += h / 6 * (k1 + 2*k2 + 2*k3 + slope(s+h, b+h*k3))
		}
		at = t
	}
	cuts := w.cuts
	for _, t := range w.measures {
		for len(cuts) > 0 && cuts[0].T < t {
			to(cuts[0].T)
			b -= cuts[0].Kg
			p.Events = append(p.Events, PlotEvent{T: at, Cut: true, Kg: cuts[0].Kg})
			cuts = cuts[1:]
		}
		to(t)
		p.Events = append(p.Events, PlotEvent{T: t, Kg: b})
	}
	return p
}

// Each curve finds itself again in a record made by its differential equation, is the best, and its recovery is that of
// the equation. The integration is good to about 1e-9.
func TestPlotCurvesFollowTheirEquations(t *testing.T) {
	for shape, theta := range map[string]float64{ShapeSeasonal: 1, ShapeGompertz: 0, ShapeTheta: 2.2, ShapeMonomolecular: -1} {
		w := seasonalTruth()
		w.r, w.cuts = 0.9, []PlotEvent{{T: 52, Kg: 1}, {T: 53.2, Kg: 1.5}}
		f := FitPlot(integrated(w, shape, theta), w.prior(), 0.95).Ranked()
		require.Equal(t, PlotOK, f.Status, "%s: %s", shape, f.Reason)
		best := f.Curves[0]
		require.Equal(t, shape, best.Shape)
		approx(t, shape+" r", best.R.Median, w.r, 1e-6, 0)
		approx(t, shape+" K", best.K.Median, w.k, 1e-6, 0)
		approx(t, shape+" N0", best.N0, w.n0, 1e-6, 0)
		approx(t, shape+" weight", best.Weight, 1, 0, 0.02) // the theta-logistic holds the logistic too
		if shape == ShapeTheta {
			approx(t, "theta", best.Theta.Median, theta, 1e-6, 0)
		}
		even := w
		even.a, even.cuts, even.n0, even.from = 0, nil, 0.1*w.k, 0
		even.measures = []float64{best.Recovery}
		again := integrated(even, shape, theta)
		approx(t, shape+" recovery", again.Events[1].Kg, 0.9*w.k, 1e-6, 0)
		ts, bs := best.Curve(3)
		assert.Equal(t, w.from, ts[0])
		approx(t, shape+" curve", bs[len(bs)-1], best.Fitted[f.N-1], 1e-9, 0)
	}
}

func TestPlotCurveJacobians(t *testing.T) {
	w := seasonalTruth()
	p := w.record(nil)
	p.Events = append(p.Events, PlotEvent{T: 55.4, Cut: true, Kg: 8.7 * w.m2}, PlotEvent{T: 56, Kg: 0.9 * w.m2},
		PlotEvent{T: 57, Kg: 3 * w.m2})
	base, reason, _ := newPlotPath(p, w.prior())
	require.Empty(t, reason)
	for name, shape := range map[string]plotShape{"gompertz": {}, "monomolecular": {theta: -1}, "theta": {freeTheta: true},
		"season": {theta: 1, freeSeason: true}, "theta and season": {freeTheta: true, freeSeason: true}} {
		path := base.as(shape, base.season)
		theta := []float64{math.Log(1.1), math.Log(9.5), math.Log(0.7), math.Log(0.3), 0.4, -0.3, 0.5}
		if theta = theta[:path.params()]; shape == (plotShape{theta: 1, freeSeason: true}) {
			theta[4] = 0.6
		}
		m, n := len(path.y), len(theta)
		f, jac, g := make([]float64, m), make([]float64, m*n), make([]float64, m)
		path.model(theta, f, jac)
		for j := range theta {
			for i := range f {
				want := centralDifference(func(v float64) float64 {
					at := append([]float64(nil), theta...)
					at[j] = v
					path.model(at, g, nil)
					return g[i]
				}, theta[j])
				approx(t, fmt.Sprintf("%s: measure %d, parameter %d", name, i, j), jac[i*n+j], want, 1e-7, 1e-8)
			}
		}
	}
}

// A season that the table does not know is found in the measures and named in a warning.
func TestPlotSeasonFromMeasures(t *testing.T) {
	w := plainTruth
	w.a, w.tp, w.r, w.k, w.sd = 0.8, 0.35, 1.1, 20, 0.03
	w.measures = nil
	for i := range 16 {
		w.measures = append(w.measures, 50.25+0.22*float64(i))
	}
	f := FitPlot(w.record(rand.New(rand.NewPCG(3, 1))), PlotPrior{K: 20}, 0.95).Ranked()
	require.Equal(t, PlotOK, f.Status, f.Reason)
	assert.Equal(t, ShapeLogistic, f.Shape)
	best := f.Curves[0]
	require.Equal(t, ShapeSeasonal, best.Shape)
	approx(t, "amplitude", best.Season.Amplitude, w.a, 0, 0.2) // about 3 standard errors
	approx(t, "peak", best.Season.Peak, w.tp, 0, 0.05)
	assert.Contains(t, f.Warnings[len(f.Warnings)-1], "growth follows a season (AICc")
	// A table that holds a season where there is none is told so.
	w.a = 0
	p := w.record(rand.New(rand.NewPCG(3, 1)))
	f = FitPlot(p, PlotPrior{K: 20, Amplitude: 0.9, Peak: 0.1}, 0.95).Ranked()
	require.Equal(t, PlotOK, f.Status, f.Reason)
	assert.Contains(t, f.Warnings[len(f.Warnings)-1], "growth even over the year fits much better than the species' season")
}

// Measures of a logistic stand rarely call for another curve, those of a Gompertz stand do so the more often the less
// they scatter.
func TestPlotRankingTruth(t *testing.T) {
	warned := func(shape string, sd float64) int {
		w := plainTruth
		w.measures = append([]float64{50.25, 50.45, 50.8, 51.2, 51.8}, w.measures...)
		w.r, w.k = 0.9, 9
		exact := integrated(w, shape, 1)
		rng, n := rand.New(rand.NewPCG(11, 12)), 0
		for range 60 {
			p := exact
			p.Events = append([]PlotEvent(nil), exact.Events...)
			for i := range p.Events {
				if !p.Events[i].Cut {
					p.Events[i].Kg *= math.Exp(sd * rng.NormFloat64())
				}
			}
			f := FitPlot(p, PlotPrior{K: 9, KCV: 0.3}, 0.95).Ranked()
			if f.Status == PlotOK && f.Curves[0].Shape != ShapeLogistic && curveOf(t, f, ShapeLogistic).Delta > plotMuchBetter {
				n++
			}
		}
		t.Logf("%s, scatter %.2f: in %d of 60 plots another curve is much better than the logistic", shape, sd, n)
		return n
	}
	assert.LessOrEqual(t, warned(ShapeSeasonal, 0.1), 6)
	assert.GreaterOrEqual(t, warned(ShapeGompertz, 0.05), 50)
}

// What is used does not hang on whether the curves were ranked, and ranking leaves a plot as it was.
func TestRankingLeavesThePlot(t *testing.T) {
	w := seasonalTruth()
	w.a, w.tp, w.r, w.k, w.sd = 0.8, 0.35, 1.1, 20, 0.03
	f := FitPlot(w.record(rand.New(rand.NewPCG(3, 1))), PlotPrior{K: 20}, 0.95)
	before := fmt.Sprintf("%+v", f)
	ranked := f.Ranked()
	assert.Equal(t, before, fmt.Sprintf("%+v", f))
	require.Len(t, ranked.Curves, len(PlotShapes))
	assert.Len(t, ranked.Warnings, 1)
	assert.Equal(t, fmt.Sprintf("%+v", ranked), fmt.Sprintf("%+v", ranked.Ranked()), "once is enough")
	ranked.Curves, ranked.Warnings = nil, f.Warnings
	assert.Equal(t, before, fmt.Sprintf("%+v", ranked))
}

func TestPlotCurvesWithoutEstimate(t *testing.T) {
	f := FitPlot(plotOf([2]float64{0, 4}, [2]float64{1, 4}), PlotPrior{}, 0.95).Ranked()
	assert.Empty(t, f.Curves)
	w := farTruth()
	w.sd = 0.03
	f = FitPlot(w.record(rand.New(rand.NewPCG(5, 1))), PlotPrior{K: w.k, KCV: 0.3}, 0.95).Ranked()
	require.Equal(t, PlotTableCeiling, f.Status)
	f.LimitCurves()
	require.Len(t, f.Curves, len(PlotShapes))
	for _, c := range f.Curves {
		if c.Status == PlotNot {
			assert.NotEmpty(t, c.Reason, c.Shape)
			for _, v := range []float64{c.R.Median, c.K.Median, c.N0, c.Recovery, c.RSD, c.AICc, c.Delta, c.Weight} {
				assert.True(t, math.IsNaN(v), c.Shape)
			}
			ts, _ := c.Curve(2)
			assert.Empty(t, ts)
			continue
		}
		assert.Equal(t, PlotTableCeiling, c.Status)
		approx(t, c.Shape+" K", c.K.Median, w.k, 1e-12, 0)
		assert.True(t, math.IsNaN(c.K.Lo), c.Shape)
		assert.True(t, c.R.Lo < c.R.Median && c.R.Median < c.R.Hi, c.Shape)
	}
	assert.Equal(t, "no season known, and the record does not see a whole year", curveOf(t, f, ShapeSeasonal).Reason)
}
