package growth

import (
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func noisyPlot(sd float64, seed uint64) PlotFit {
	w := plainTruth
	w.sd = sd
	return FitPlot(w.record(rand.New(rand.NewPCG(seed, 9))), w.prior(), 0.95)
}

func TestPlotDiagnostics(t *testing.T) {
	f := noisyPlot(0.1, 1)
	require.Equal(t, PlotOK, f.Status)
	d, sum := f.Diagnostics, 0.0
	for i, h := range d.Leverage {
		assert.True(t, h > 0 && h < 1)
		sum += h
		approx(t, "standardized", d.Standardized[i], f.Residuals[i]/(f.RSD*math.Sqrt(1-h)), 1e-10, 0)
	}
	approx(t, "leverages", sum, 3, 1e-8, 0)
	assert.Less(t, d.CorrRK, 0.0, "a faster stand with a lower ceiling looks alike")
	assert.Equal(t, f.N, d.Runs.Above+d.Runs.Below)
	assert.Equal(t, "no value is repeated", d.LackOfFit.Reason)
	assert.True(t, math.IsNaN(d.LackOfFit.F))

	w := farTruth()
	w.sd = 0.03
	held := FitPlot(w.record(rand.New(rand.NewPCG(5, 1))), PlotPrior{K: w.k, KCV: 0.3}, 0.95)
	require.Equal(t, PlotTableCeiling, held.Status)
	assert.True(t, math.IsNaN(held.Diagnostics.CorrRK))
	sum = 0
	for _, h := range held.Diagnostics.Leverage {
		sum += h
	}
	approx(t, "leverages under the table's ceiling", sum, 2, 1e-8, 0)
}

// The profile is 0 at the estimate, meets the quantile of t at the limits of r, and rises.
func TestPlotProfile(t *testing.T) {
	f := noisyPlot(0.1, 1)
	p, ok := f.Profile()
	require.True(t, ok)
	approx(t, "estimate", p.Estimate, f.LogR, 1e-9, 0)
	approx(t, "lo", math.Exp(p.Lo), f.RLo, 1e-6, 0)
	approx(t, "hi", math.Exp(p.Hi), f.RHi, 1e-6, 0)
	for i := 1; i < len(p.T); i++ {
		assert.Greater(t, p.T[i], p.T[i-1])
	}
	require.Len(t, p.Others, len(p.Values))
	assert.Len(t, p.Others[0], 2)

	w := farTruth()
	w.sd = 0.03
	held := FitPlot(w.record(rand.New(rand.NewPCG(5, 1))), PlotPrior{K: w.k, KCV: 0.3}, 0.95)
	p, ok = held.Profile()
	require.True(t, ok)
	assert.Less(t, p.Hi-p.Lo, math.Log(held.RHi/held.RLo), "without the spread of the ceiling")
	_, ok = FitPlot(plotOf(), PlotPrior{}, 0.95).Profile()
	assert.False(t, ok)
}

func TestPlotBootstrap(t *testing.T) {
	w := plainTruth
	w.sd = 0.1
	w.measures = nil
	for i := range 24 {
		w.measures = append(w.measures, 50.25+0.21*float64(i))
	}
	f := FitPlot(w.record(rand.New(rand.NewPCG(4, 4))), w.prior(), 0.95)
	require.Equal(t, PlotOK, f.Status)
	b := f.Bootstrap(500, 7)
	require.Empty(t, b.R.Reason)
	require.Empty(t, b.K.Reason)
	assert.Equal(t, 500, b.Drawn)
	// With 24 measures of even spread both intervals hold the same: their widths are within a factor of 1.5.
	for _, v := range [][2]float64{{math.Log(b.R.Hi / b.R.Lo), math.Log(f.RHi / f.RLo)}, {math.Log(b.K.Hi / b.K.Lo), math.Log(f.KHi / f.KLo)}} {
		assert.Greater(t, v[0], v[1]/1.5)
		assert.Less(t, v[0], v[1]*1.5)
	}
	assert.True(t, b.R.Lo < f.R && f.R < b.R.Hi)
	assert.Equal(t, b, f.Bootstrap(500, 7), "the same seed, the same draws")
	assert.NotEqual(t, b.R, f.Bootstrap(500, 8).R)

	few := FitPlot(plotOf(), PlotPrior{}, 0.95).Bootstrap(500, 1)
	assert.Equal(t, "needs 4 measures, has 0", few.R.Reason)
	assert.True(t, math.IsNaN(few.R.Lo))
	far := farTruth()
	far.sd = 0.03
	far.measures = append(far.measures, 50.6, 50.9, 51.1)
	held := FitPlot(far.record(rand.New(rand.NewPCG(5, 1))), PlotPrior{K: far.k, KCV: 0.3}, 0.95)
	require.Equal(t, PlotTableCeiling, held.Status)
	assert.Equal(t, "the ceiling is the table's", held.Bootstrap(300, 1).K.Reason)
}

// Measures are drawn within the run they belong to: a run keeps as many as it has.
func TestPlotMeasuresByRun(t *testing.T) {
	path, reason, _ := newPlotPath(plotOf([2]float64{0, 1}, [2]float64{1, 4}, [2]float64{1, -3.9}, [2]float64{1.5, 0.4}, [2]float64{2, 0.9},
		[2]float64{3, 2}), PlotPrior{})
	require.Empty(t, reason)
	assert.Equal(t, [][]int{{0, 1}, {2, 3, 4}}, path.measuresByRun())
}

// A stand that grows in steps lies above and below the curve in runs, and repeated measures show the lack of fit.
func TestPlotDoubts(t *testing.T) {
	var ts, kg []float64
	rng := rand.New(rand.NewPCG(2, 2))
	for i := range 12 {
		at := 0.5 * float64(i)
		b := 9 / (1 + 8*math.Exp(-1.1*at)) * math.Exp(0.25*math.Sin(2*math.Pi*at/3))
		for range 2 {
			ts, kg = append(ts, at), append(kg, b*math.Exp(0.02*rng.NormFloat64()))
		}
	}
	f := FitPlot(measured(ts, kg, math.NaN()), PlotPrior{}, 0.95)
	require.Equal(t, PlotOK, f.Status, f.Reason)
	all := strings.Join(f.Warnings, "\n")
	assert.Contains(t, all, "measures lie above and below the curve in runs (P ")
	assert.Contains(t, all, "the curve misses the means of repeated measures by more than these differ (P ")
	assert.Less(t, f.Diagnostics.LackOfFit.P, 1e-6)
	assert.Less(t, f.Diagnostics.Runs.PFew, 0.01)
}
