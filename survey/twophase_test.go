package survey

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
)

// Invented cover of 20 quadrats, 8 of them weighed.
var (
	goldenPhaseOne = []float64{5, 12, 20, 28, 33, 40, 45, 52, 58, 63, 70, 76, 81, 88, 95, 98, 15, 37, 60, 84}
	goldenX        = []float64{12, 33, 52, 70, 88, 15, 60, 84}
	goldenY        = []float64{.9, 2.6, 4.1, 5.2, 7.3, 1.3, 4.4, 6.9}
)

// Computed independently from the formulas, to 9 digits as listed.
func TestTwoPhaseGolden(t *testing.T) {
	e := TwoPhaseRegression(goldenY, goldenX, goldenPhaseOne, false)
	approx(t, "regression", e.Value, 4.18834369, 0, 5e-9)
	approx(t, "variance", e.SE*e.SE, .28880892, 0, 5e-9)
	approx(t, "df", e.DF, 6, 0, 0)
	c := TwoPhaseRegression(goldenY, goldenX, goldenPhaseOne, true)
	approx(t, "conditional variance", c.SE*c.SE, .28882678, 0, 5e-9)
	r := TwoPhaseRatio(goldenY, goldenX, goldenPhaseOne)
	approx(t, "ratio", r.Value, 4.18623188, 0, 5e-9)
	approx(t, "ratio se", r.SE, .53689317, 0, 1e-8)
}

// Shifting y shifts the regression estimate, scaling scales the ratio; the whole population in phase one and two gives
// the plain mean.
func TestTwoPhaseInvariants(t *testing.T) {
	shifted := make([]float64, len(goldenY))
	scaled := make([]float64, len(goldenY))
	for i, y := range goldenY {
		shifted[i], scaled[i] = y+3, 2*y
	}
	a, b := TwoPhaseRegression(goldenY, goldenX, goldenPhaseOne, true), TwoPhaseRegression(shifted, goldenX, goldenPhaseOne, true)
	approx(t, "shift", b.Value-a.Value, 3, 1e-12, 0)
	approx(t, "same se", b.SE, a.SE, 1e-12, 0)
	p, q := TwoPhaseRatio(goldenY, goldenX, goldenPhaseOne), TwoPhaseRatio(scaled, goldenX, goldenPhaseOne)
	approx(t, "scale", q.Value, 2*p.Value, 1e-12, 0)
	approx(t, "scaled se", q.SE, 2*p.SE, 1e-12, 0)
	all := TwoPhaseRatio(goldenY, goldenX, goldenX)
	approx(t, "all weighed", all.Value, mean(goldenY), 1e-12, 0)
	approx(t, "its variance", all.SE*all.SE, variance(goldenY)/8, 1e-12, 0)
}

func TestTwoPhaseSpecial(t *testing.T) {
	assert.False(t, TwoPhaseRatio(nil, nil, goldenPhaseOne).OK)
	assert.False(t, TwoPhaseRegression([]float64{1, 2}, []float64{3, 3}, goldenPhaseOne, true).OK)
	two := TwoPhaseRegression([]float64{1, 2}, []float64{3, 4}, []float64{5}, true)
	approx(t, "two points", two.Value, 3, 1e-12, 0)
	assert.True(t, math.IsNaN(two.SE))
	assert.Panics(t, func() { TwoPhaseRegression(goldenY, goldenX[1:], goldenPhaseOne, true) })
}

// agstrat (Lohr): mean 295 560.77 SE 16 379.87, total 909 736 035 SE 50 417 248, from its stratum summaries.
func TestStratifiedMeanLohr(t *testing.T) {
	e := StratifiedMean([]Layer{
		{1054, 103, 300504.16, 29618183543}, {220, 21, 97629.81, 7647472708},
		{1382, 135, 211315.04, 53587487856}, {422, 41, 662295.51, 396185950266},
	}, true)
	approx(t, "mean", e.Value, 295560.77, 0, 0.01)
	approx(t, "se", e.SE, 16379.87, 0, 0.01)
	approx(t, "total", e.Value*3078, 909736035, 0, 15)
	approx(t, "total se", e.SE*3078, 50417248, 0, 5)
	approx(t, "df", e.DF, 296, 0, 0)
	assert.False(t, StratifiedMean(nil, true).OK)
	assert.True(t, math.IsNaN(StratifiedMean([]Layer{{10, 1, 2, 0}}, false).SE))
	assert.Panics(t, func() { StratifiedMean([]Layer{{0, 1, 2, 0}}, false) })
}

// In a simple random sample of quadrats the production estimator is the textbook's. Its variance is here written out:
// the textbook's with the variance of x taken from all of phase one and the conditional factor (xbar'/xbar)²,
//
//	k² s_x'²/n' + (xbar'/xbar)² s_r²/n + 2 k (xbar'/xbar) Σ (x - xbar') e / (n (n' - 1))
func TestProductionIsTwoPhaseRatio(t *testing.T) {
	var rows []quad
	var y, x, one []float64
	rng := newStream(4, "two phase")
	for i := range 120 {
		cover := math.Round(5 + 90*rng.Float64())
		q := seen("A", "", name("q", i), "Fucus", testDay, cover)
		if i%4 == 0 {
			q.grams = math.Round(0.25 * 1000 * 0.05 * math.Pow(cover, 1.15) * math.Exp(0.25*rng.NormFloat64()))
			y, x = append(y, q.grams/250), append(x, cover)
		}
		one = append(one, cover)
		rows = append(rows, q)
	}
	want := TwoPhaseRatio(y, x, one)
	got := only(t, Stocks(folderOf([]Bed{bedOf("A", 1000)}, rows), DefaultOptions()), "A", "Fucus", "2024")
	assert.Equal(t, "ratio", got.Conversion)
	assert.Equal(t, "survey", got.Domain)
	assert.Equal(t, 30, got.Weighed)
	approx(t, "total", got.Kg.Value, 1000*want.Value, 1e-12, 0)
	fit, n, shift := throughOrigin(y, x, nil), float64(len(x)), mean(one)/mean(x)
	v := fit.k*fit.k*variance(one)/120 + shift*shift*fit.restVariance(1)/n
	for i := range x {
		v += 2 * fit.k * shift * (x[i] - mean(one)) * fit.rest[i] / (n * 119)
	}
	approx(t, "se", got.Kg.SE, 1000*math.Sqrt(v), 1e-9, 0)
	assert.Greater(t, got.Kg.DF, 28.0)
	assert.Empty(t, got.Shared)
	approx(t, "own", got.OwnCV, got.Kg.CV(), 1e-12, 0)
}
