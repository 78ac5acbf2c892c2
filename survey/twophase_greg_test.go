package survey

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"pgregory.net/rapid"
)

// The least-squares line as predictions is the regression estimate without the conditional term.
func TestTwoPhaseGREGIsRegression(t *testing.T) {
	l, _ := leastSquares(goldenY, goldenX)
	line := func(x []float64) []float64 {
		out := make([]float64, len(x))
		for i := range x {
			out[i] = l.meanY + l.slope*(x[i]-l.meanX)
		}
		return out
	}
	want := TwoPhaseRegression(goldenY, goldenX, goldenPhaseOne, false)
	got := TwoPhaseGREG(goldenY, line(goldenX), line(goldenPhaseOne), 2)
	approx(t, "mean", got.Value, want.Value, 1e-12, 0)
	approx(t, "se", got.SE, want.SE, 1e-12, 0)
	approx(t, "df", got.DF, want.DF, 0, 0)
}

// R survey's twophase (testdata/convert/convert.R, 1e-9). It estimates the variance of phase one from the weighed
// quadrats with divisors n' - 1 and n where the textbook has n' and n - 1:
//
//	s²((1 - 1/n)/(n' - 1) + 1/n - 1/n')   for  s²/n' + s²(1/n - 1/n') = s²/n
func TestTwoPhaseAgainstR(t *testing.T) {
	ref := convertReference(t)
	n, n1 := 8.0, 20.0
	inR := math.Sqrt((1-1/n)/(n1-1) + 1/n - 1/n1)
	none := TwoPhaseGREG(goldenY, make([]float64, 8), make([]float64, 20), 0)
	approx(t, "mean", none.Value, ref["two-phase approx mean"], 1e-9, 0)
	approx(t, "mean se", none.SE*math.Sqrt(n)*inR, ref["two-phase approx mean se"], 1e-9, 0)
	k := throughOrigin(goldenY, goldenX, nil)
	approx(t, "ratio", k.k, ref["two-phase approx ratio"], 1e-9, 0)
	approx(t, "ratio se", math.Sqrt(k.restVariance(1))/mean(goldenX)*inR, ref["two-phase approx ratio se"], 1e-9, 0)
	lr := TwoPhaseRegression(goldenY, goldenX, goldenPhaseOne, true)
	approx(t, "regression", lr.Value, ref["two-phase approx regression"], 1e-9, 0)
	// Phase two of calibrate(phase = 2): Σ e² g² (1 - n/n') n/(n - 1)/n², the conditional term in g.
	l, _ := leastSquares(goldenY, goldenX)
	v := 0.0
	for i, x := range goldenX {
		e := goldenY[i] - l.meanY - l.slope*(x-l.meanX)
		g := 1 + (mean(goldenPhaseOne)-l.meanX)*(x-l.meanX)*n/l.sxx
		v += e * e * g * g / (n * n)
	}
	approx(t, "phase 2", v*(1-n/n1)*n/(n-1), ref["two-phase approx regression phase 2"], 1e-9, 0)
}

// Särndal, Swensson & Wretman 1992, exercise on the population MU284 (N = 284, 160 drawn, 4 strata of 40, 20 measured
// of each): total 6 421.95, variance 26 941.52, computed twice from the components and from Rao's formula; R survey's
// twophase with method "full" gives the same (testdata/convert/convert.R).
func TestDoubleStratifiedMU284(t *testing.T) {
	ref := convertReference(t)
	layers := []SecondPhase{{40, 20, 17.05, 19.945}, {40, 20, 19.75, 24.197}, {40, 20, 22.40, 28.359}, {40, 20, 31.25, 42.829}}
	e := DoubleStratified(layers, 284)
	approx(t, "total", 284*e.Value, 6421.95, 0, 0.005)
	approx(t, "variance", 284*284*e.SE*e.SE, 26941.52, 0, 0.005)
	approx(t, "total in R", 284*e.Value, ref["double total"], 1e-9, 0)
	approx(t, "se in R", 284*e.SE, ref["double se"], 1e-9, 0)
	assert.Greater(t, e.DF, 76.0)
	free := DoubleStratified(layers, math.Inf(1))
	huge := DoubleStratified(layers, 1e12)
	approx(t, "no correction", free.SE, huge.SE, 1e-9, 0)
	assert.Greater(t, free.SE, e.SE)
}

// All of the first phase measured, strata of one size: single-phase sampling, v = (1 - n/N) s²/n whatever the strata.
func TestDoubleStratifiedAllMeasured(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		n := rapid.IntRange(2, 6).Draw(rt, "each")
		var all []float64
		var layers []SecondPhase
		for range 3 {
			y := make([]float64, n)
			for i := range y {
				y[i] = float64(rapid.IntRange(0, 50).Draw(rt, "y"))
			}
			all = append(all, y...)
			layers = append(layers, SecondPhase{n, n, mean(y), variance(y)})
		}
		size := float64(rapid.IntRange(len(all), 300).Draw(rt, "size"))
		e := DoubleStratified(layers, size)
		approx(t, "mean", e.Value, mean(all), 1e-12, 1e-12)
		approx(t, "variance", e.SE*e.SE, (1-float64(len(all))/size)*variance(all)/float64(len(all)), 1e-9, 1e-12)
	})
}

func TestDoubleStratifiedSpecial(t *testing.T) {
	assert.False(t, DoubleStratified(nil, 10).OK)
	one := DoubleStratified([]SecondPhase{{5, 1, 3, 0}, {5, 2, 4, 1}, {0, 0, 9, 9}}, 100)
	approx(t, "mean", one.Value, 3.5, 1e-12, 0)
	assert.True(t, math.IsNaN(one.SE), "one measured in a stratum")
	assert.Panics(t, func() { DoubleStratified([]SecondPhase{{5, 0, 3, 0}}, 100) })
	assert.Panics(t, func() { DoubleStratified([]SecondPhase{{5, 6, 3, 0}}, 100) })
	assert.Panics(t, func() { DoubleStratified([]SecondPhase{{5, 2, 3, 0}}, 4) })
}

// R survey's svymean of two stages with and without finite population corrections (testdata/convert/convert.R), 1e-9.
func TestTwoStageMeanAgainstR(t *testing.T) {
	ref := convertReference(t)
	var sample []Subsample
	last := ""
	for _, rec := range readTable(t, "convert/stages.csv")[1:] {
		if rec[0] != last {
			sample, last = append(sample, Subsample{Size: number(t, rec[1])}), rec[0]
		}
		c := &sample[len(sample)-1]
		c.Y = append(c.Y, number(t, rec[2]))
	}
	e := TwoStageMean(sample, 20)
	approx(t, "mean", e.Value, ref["stages mean"], 1e-9, 0)
	approx(t, "se", e.SE, ref["stages se"], 1e-9, 0)
	approx(t, "df", e.DF, 5, 0, 0)
	e = TwoStageMean(sample, math.Inf(1))
	approx(t, "se without correction", e.SE, ref["stages se without correction"], 1e-9, 0)
}

func TestTwoStageMeanSpecial(t *testing.T) {
	assert.False(t, TwoStageMean(nil, 5).OK)
	one := TwoStageMean([]Subsample{{4, []float64{1, 3}}}, 5)
	assert.True(t, one.OK && one.Value == 2 && math.IsNaN(one.SE))
	single := []Subsample{{4, []float64{1}}, {4, []float64{3, 4}}}
	assert.True(t, math.IsNaN(TwoStageMean(single, 5).SE), "one measured of four: its spread is not known")
	assert.False(t, math.IsNaN(TwoStageMean(single, math.Inf(1)).SE))
	single[0].Size = 1
	assert.False(t, math.IsNaN(TwoStageMean(single, 5).SE), "measured whole")
	all := TwoStageMean([]Subsample{{2, []float64{1, 5}}, {2, []float64{2, 4}}}, 2)
	approx(t, "a census has no error", all.SE, 0, 0, 0)
	assert.Panics(t, func() { TwoStageMean(single, 1) })
	assert.Panics(t, func() { TwoStageMean([]Subsample{{1, []float64{1, 2}}}, 9) })
	assert.Panics(t, func() { TwoStageMean([]Subsample{{1, nil}}, 9) })
}

func TestTwoPhaseGREGSpecial(t *testing.T) {
	assert.False(t, TwoPhaseGREG(nil, nil, goldenPhaseOne, 1).OK)
	assert.False(t, TwoPhaseGREG(goldenY, goldenX, nil, 1).OK)
	two := TwoPhaseGREG([]float64{1, 2}, []float64{0, 0}, []float64{0}, 2)
	assert.True(t, two.OK && math.IsNaN(two.SE) && math.IsNaN(two.DF))
	assert.Panics(t, func() { TwoPhaseGREG(goldenY, goldenX[1:], goldenPhaseOne, 1) })
}
