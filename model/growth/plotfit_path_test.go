package growth

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// plot is a record of 1 m2 from rows of time and kg, cuts with a negative weight.
func plotOf(rows ...[2]float64) PlotSeries {
	p := PlotSeries{Plot: "P", Species: "S", M2: 1}
	for _, r := range rows {
		p.Events = append(p.Events, PlotEvent{T: r[0], Cut: math.Signbit(r[1]), Kg: math.Abs(r[1])})
	}
	return p
}

func TestPlotJacobian(t *testing.T) {
	w := seasonalTruth()
	p := w.record(nil)
	// A cut of nearly all starts a second run.
	p.Events = append(p.Events, PlotEvent{T: 55.4, Cut: true, Kg: 8.7 * w.m2}, PlotEvent{T: 56, Kg: 0.9 * w.m2},
		PlotEvent{T: 57, Kg: 3 * w.m2})
	path, reason, warnings := newPlotPath(p, w.prior())
	require.Empty(t, reason)
	require.Equal(t, []string{"cuts that took nearly all, regrowth starts anew after them: 1"}, warnings)
	require.Equal(t, 2, path.runs)
	theta := []float64{math.Log(1.1), math.Log(9.5), math.Log(0.7), math.Log(0.3)}
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
			approx(t, fmt.Sprintf("measure %d, parameter %d", i, j), jac[i*n+j], want, 1e-7, 1e-8)
		}
	}
}

// More cut than stands has no curve; the model says so with a value that is not finite.
func TestPlotModelCutOfMoreThanStands(t *testing.T) {
	path, reason, _ := newPlotPath(plotOf([2]float64{0, 2}, [2]float64{0.5, 4}, [2]float64{0.6, -3}, [2]float64{1, 4}),
		PlotPrior{})
	require.Empty(t, reason)
	f := make([]float64, 3)
	path.model([]float64{0, math.Log(10), math.Log(0.5)}, f, nil)
	assert.True(t, lsqFinite(f[0]) && lsqFinite(f[1]))
	assert.True(t, math.IsNaN(f[2]), "%v", f)
}

// The first cut only starts the clock: its weight does not matter, nor do cuts before it or after the last measure.
func TestPlotClock(t *testing.T) {
	w := plainTruth
	w.sd = 0.1
	base := w.record(rand.New(rand.NewPCG(9, 9)))
	want := FitPlot(base, w.prior(), 0.95)
	require.Equal(t, PlotOK, want.Status)
	more := base
	more.Events = append([]PlotEvent{{T: 49, Cut: true, Kg: 7}, {T: 58, Cut: true, Kg: 1}, {T: 59, Cut: true, Kg: 0}},
		base.Events...)
	more.Events[3].Kg = 0.01
	got := FitPlot(more, w.prior(), 0.95)
	assert.Equal(t, want.R, got.R)
	assert.Equal(t, want.N0, got.N0)
	assert.Empty(t, got.Warnings)

	bare := base
	bare.Events = base.Events[1:] // no cut at all: N0 is the stock at the first measure
	got = FitPlot(bare, w.prior(), 0.95)
	approx(t, "r", got.R, want.R, 1e-7, 0)
	approx(t, "K", got.K, want.K, 1e-7, 0)
	approx(t, "N0", got.N0, got.Fitted[0], 1e-12, 0)
}

// A cut that takes nearly all starts a run of its own, with the same r and K.
func TestPlotStartsAnew(t *testing.T) {
	w := plainTruth
	w.k = 6
	p := w.record(nil)
	second := w
	second.from, second.n0 = 55.3, 0.05
	second.measures = []float64{55.8, 56.5, 57.3, 58, 59, 60}
	events := second.record(nil).Events
	events[0].Kg = p.Events[len(p.Events)-1].Kg * 0.99
	p.Events = append(p.Events, events...)
	f := FitPlot(p, PlotPrior{}, 0.95)
	require.Equal(t, PlotOK, f.Status, f.Reason)
	approx(t, "r", f.R, w.r, 1e-8, 0)
	approx(t, "K", f.K, w.k, 1e-8, 0)
	assert.Equal(t, f.N-4, f.DF)
	assert.Len(t, f.Warnings, 1)
}

func TestPlotReasons(t *testing.T) {
	table := PlotPrior{K: 10, KCV: 0.3}
	for _, c := range []struct {
		name   string
		p      PlotSeries
		prior  PlotPrior
		reason string
	}{
		{"empty", plotOf(), table, "needs 4 measures, has 0"},
		{"only a cut", plotOf([2]float64{1, -3}), table, "needs 4 measures, has 0"},
		{"three", plotOf([2]float64{0, 1}, [2]float64{1, 2}, [2]float64{2, 3}), table, "needs 4 measures, has 3"},
		{"one day", plotOf([2]float64{0, 1}, [2]float64{0, 1.1}, [2]float64{0, 1.2}, [2]float64{0, 1.3}), table,
			"all measures on one day"},
		{"no area", PlotSeries{Events: []PlotEvent{{T: 1, Kg: 1}}}, table, "no plot area"},
		{"NaN", plotOf([2]float64{0, 1}, [2]float64{1, math.NaN()}), table, "a weight or date is not a number"},
		{"lost", plotOf([2]float64{0, 1}, [2]float64{1, 2}, [2]float64{1.5, 0}, [2]float64{2, 3}, [2]float64{3, 3.2}), table,
			"nothing stood at a later measure: the stand was lost"},
		{"equal measures", plotOf([2]float64{0, 4}, [2]float64{1, 4}, [2]float64{2, 4}, [2]float64{3, 4}), table, plotLevel},
		{"level", plotOf([2]float64{0, 4.1}, [2]float64{0.5, 3.9}, [2]float64{1, 4}, [2]float64{1.5, 4.2},
			[2]float64{2, 3.8}, [2]float64{3, 4.1}), table, plotLevel},
		{"four level", plotOf([2]float64{0, 4.1}, [2]float64{0.5, 3.9}, [2]float64{1, 4.1}, [2]float64{2, 3.8}), table,
			plotLevel},
		{"four scattered", plotOf([2]float64{0, 1}, [2]float64{0.1, 2.9}, [2]float64{1, 9}, [2]float64{1.1, 3}), table,
			plotLevel},
		{"falling", plotOf([2]float64{0, 8}, [2]float64{0.5, 6}, [2]float64{1, 5}, [2]float64{1.5, 4.6},
			[2]float64{2, 4.3}, [2]float64{3, 4.1}), table, plotShrank},
		{"full after the first", plotOf([2]float64{0, 1}, [2]float64{1, 5}, [2]float64{2, 4.9}, [2]float64{3, 5.1},
			[2]float64{4, 5}, [2]float64{5, 5.05}), table, plotAtCeiling},
		{"no table", farTruth().record(nil), PlotPrior{}, "no bend, and the table has no ceiling for the species"},
		{"more cut than the table lets stand", plotOf([2]float64{0, 8}, [2]float64{1, 9}, [2]float64{1.5, -8},
			[2]float64{2, 1.5}, [2]float64{2.5, 3}), PlotPrior{K: 7.5, KCV: 0.3}, plotOverCut},
		{"more than the table", plotOf([2]float64{0, 20}, [2]float64{1, 30}, [2]float64{2, 46}, [2]float64{3, 67},
			[2]float64{4, 102}), table, "no bend, and far more stands than the table's ceiling, 10 kg/m2"},
	} {
		f := FitPlot(c.p, c.prior, 0.95)
		assert.Equal(t, PlotNot, f.Status, c.name)
		assert.Equal(t, c.reason, f.Reason, c.name)
		for _, v := range []float64{f.R, f.RLo, f.RHi, f.LogR, f.SELogR, f.K, f.KLo, f.KHi, f.N0, f.RSD} {
			assert.True(t, math.IsNaN(v), "%s: a number without an estimate", c.name)
		}
		assert.Nil(t, f.Fitted, c.name)
		_, ok := f.Evidence()
		assert.False(t, ok, c.name)
		ts, bs := f.Curve(5)
		assert.Empty(t, ts)
		assert.Empty(t, bs)
	}
}

func TestPlotCeilingBesideTable(t *testing.T) {
	w := plainTruth
	w.sd = 0.05
	p := w.record(rand.New(rand.NewPCG(1, 9)))
	for _, c := range []struct {
		k    float64
		want string
	}{{3, "above"}, {6, ""}, {12, ""}, {40, "below"}, {0, ""}} {
		f := FitPlot(p, PlotPrior{K: c.k, KCV: 0.3}, 0.95)
		require.Equal(t, PlotOK, f.Status)
		if c.want == "" {
			assert.Empty(t, f.Warnings, "%v", c.k)
			continue
		}
		require.Len(t, f.Warnings, 1, "%v", c.k)
		assert.Contains(t, f.Warnings[0], c.want+" the table's")
	}
}

func TestPlotZeroBeforeRegrowth(t *testing.T) {
	w := plainTruth
	p := w.record(nil)
	p.Events = append(p.Events, PlotEvent{T: 50.25, Kg: 0})
	f := FitPlot(p, w.prior(), 0.95)
	require.Equal(t, PlotOK, f.Status, f.Reason)
	assert.Equal(t, len(w.measures), f.N)
	assert.Equal(t, []string{"measures of 0 before the first regrowth, left out: 1"}, f.Warnings)
}

func TestPlotEvidence(t *testing.T) {
	w := plainTruth
	w.sd = 0.1
	f := FitPlot(w.record(rand.New(rand.NewPCG(1, 9))), w.prior(), 0.95)
	e, ok := f.Evidence()
	require.True(t, ok)
	approx(t, "log r", e.LogR, math.Log(f.R), 1e-14, 0)
	approx(t, "years", e.Years, 5, 1e-12, 0)
	// 1.959964 is the 97.5 % quantile of the normal distribution.
	approx(t, "SE", e.SE, (math.Log(f.RHi)-math.Log(f.RLo))/2/1.959964, 1e-6, 0)
	assert.Greater(t, e.SE, f.SELogR, "t is wider than the normal")
}

// A record of one summer tells the rate of that summer, unless the season is known.
func TestPlotInSeason(t *testing.T) {
	w := plainTruth
	w.r, w.a, w.tp, w.from = 3.5, 0.8, 0.5, 50.2
	w.measures = []float64{50.25, 50.3, 50.35, 50.4, 50.5, 50.55, 50.6, 50.7, 50.8, 50.9, 51}
	p := w.record(nil)
	f := FitPlot(p, PlotPrior{K: w.k, KCV: 0.3}, 0.95)
	require.NotEqual(t, PlotNot, f.Status, f.Reason)
	assert.True(t, f.InSeason)
	assert.Equal(t, []string{"in-season rate: not the annual r"}, f.Warnings)
	_, ok := f.Evidence()
	assert.False(t, ok)
	assert.Greater(t, f.R, 1.2*w.r, "the summer is faster than the year")

	f = FitPlot(p, w.prior(), 0.95)
	require.Equal(t, PlotOK, f.Status, f.Reason)
	assert.False(t, f.InSeason)
	assert.Empty(t, f.Warnings)
	approx(t, "r", f.R, w.r, 1e-7, 0)
	_, ok = f.Evidence()
	assert.True(t, ok)
}

func TestPlotCurve(t *testing.T) {
	w := seasonalTruth()
	f := FitPlot(w.record(nil), w.prior(), 0.95)
	require.Equal(t, PlotOK, f.Status)
	ts, bs := f.Curve(9)
	assert.Equal(t, 50.2, ts[0])
	approx(t, "start", bs[0], w.n0, 1e-7, 0)
	assert.Equal(t, 55.3, ts[len(ts)-1])
	drops, at := 0.0, map[float64]float64{}
	for i := 1; i < len(ts); i++ {
		assert.GreaterOrEqual(t, ts[i], ts[i-1])
		if ts[i] == ts[i-1] {
			drops += bs[i-1] - bs[i]
		} else {
			at[ts[i]] = bs[i]
		}
	}
	approx(t, "cut in all", drops, 4, 1e-9, 0)
	for i, v := range f.Times { // before the cut of the same day
		approx(t, fmt.Sprintf("at %v", v), at[v], f.Fitted[i], 1e-9, 0)
	}
}
