package survey

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
)

// Ratio total of 196 cities: Cochran 1977, chapter 6 (data from memory, arithmetic as printed there: 28 397). The sums
// alone decide the total; two points with these sums stand for the 49 cities.
func TestRatioTotalCochran(t *testing.T) {
	e := RatioTotal([]float64{3000, 3262}, []float64{2500, 2554}, 22919, 196, false)
	approx(t, "ratio", e.Value/22919, 1.2390186, 1e-7, 0) // printed to 8 digits
	approx(t, "total", e.Value, 28397, 0, 0.5)            // printed to 1
}

// Peaches in an orchard of 200 trees (Cochran 1977, exercise 6.x, data from memory): ratio total 11 069.95 with SE
// 159.717 computed from the definition of the unconditional variance.
func TestRatioTotalPeaches(t *testing.T) {
	y := []float64{61, 42, 50, 58, 67, 45, 39, 57, 71, 53}
	x := []float64{59, 47, 52, 60, 67, 48, 44, 58, 76, 58}
	e := RatioTotal(y, x, 11600, 200, false)
	approx(t, "total", e.Value, 11069.95, 0, 0.005)
	approx(t, "se", e.SE, 159.717, 0, 0.0005)
	approx(t, "df", e.DF, 9, 0, 0)
}

// Acres of farms from a sample of 300 of 3078 counties (Lohr, agsrs): 951 513 191 with SE 5 546 162, and 5 344 567
// without the factor (Xbar/xbar)². Printed from s_e = 31657.218 (8 digits) and B = .9865652 (7 digits).
func TestRatioVarianceLohr(t *testing.T) {
	const size, totalX = 3078, 964470625
	xbar := 929413560.0 / size
	approx(t, "total", 0.9865652*totalX, 951513191, 1e-7, 0)
	v := ratioVariance(31657.218*31657.218, 300, xbar, totalX, size, true)
	approx(t, "conditional", math.Sqrt(v), 5546162, 0, 1)
	v = ratioVariance(31657.218*31657.218, 300, xbar, totalX, size, false)
	approx(t, "unconditional", math.Sqrt(v), 5344567, 0, 1)
}

// All samples of two from a population of four (Thompson, Sampling, ratio estimation; data from memory, answers by
// enumeration): expectation 1398.19, bias -1.809, mean square error 14 423.10.
func TestRatioTotalEnumerated(t *testing.T) {
	x, y := []float64{4, 5, 8, 5}, []float64{200, 300, 500, 400}
	want := []float64{1222.22, 1283.33, 1466.67, 1353.85, 1540.00, 1523.08} // two decimals
	at, sum, mse := 0, 0.0, 0.0
	for i := range x {
		for j := i + 1; j < len(x); j++ {
			e := RatioTotal([]float64{y[i], y[j]}, []float64{x[i], x[j]}, 22, 4, false)
			approx(t, "total", e.Value, want[at], 0, 0.005)
			sum += e.Value / 6
			mse += (e.Value - 1400) * (e.Value - 1400) / 6
			at++
		}
	}
	approx(t, "bias", sum-1400, -1.809, 0, 0.0005)
	approx(t, "mean square error", mse, 14423.10, 0, 0.005)
}

func TestRatioTotalSpecial(t *testing.T) {
	assert.False(t, RatioTotal(nil, nil, 1, 1, false).OK)
	assert.False(t, RatioTotal([]float64{1}, []float64{0}, 1, 1, false).OK)
	one := RatioTotal([]float64{2}, []float64{4}, 10, math.Inf(1), true)
	approx(t, "one point", one.Value, 5, 0, 0)
	approx(t, "its se", one.SE, math.NaN(), 0, 0)
	assert.Panics(t, func() { RatioTotal([]float64{1}, nil, 1, 1, false) })
}

// Clustered variance of kg per cover: R survey's svyratio, unstratified (testdata/estimate/survey.R), 1e-9.
func TestRatioVarianceClustered(t *testing.T) {
	ref := reference(t)
	f := folderOf([]Bed{bedOf("A", 5000)}, tableQuads(t, "nested.csv", false))
	f.Strata = threeStrata()
	r := rounds(f, 45)[0]
	s := newFieldwork(f, r, "adjust")
	for _, rows := range s.species {
		read := s.readings(&f.Quadrats, rows)
		fit, w, units, n := s.ownFit(read, s.design.total(read.cover).weight)
		v, m := fit.variance(w, units)
		approx(t, "k", fit.k, ref["ratio k"], 1e-9, 0)
		approx(t, "se", math.Sqrt(v), ref["ratio se"], 1e-9, 0)
		approx(t, "n", float64(n), ref["ratio n"], 0, 0)
		approx(t, "units", float64(m), ref["ratio units"], 0, 0)
	}
}

// Restricted maximum likelihood, maximised directly in R (testdata/estimate/survey.R; optimize is good to about the root
// of the rounding error, 1e-7 here), and the moment estimate (closed form).
func TestBetweenVariance(t *testing.T) {
	ref := reference(t)
	k := []float64{0.061, 0.094, 0.048, 0.073, 0.082, 0.055}
	v := []float64{1.2e-5, 2.5e-5, 0.8e-5, 1.9e-5, 3.1e-5, 0.6e-5}
	tau2, settled := betweenVariance(k, v)
	assert.True(t, settled)
	approx(t, "reml", tau2, ref["reml tau2"], 1e-6, 0)
	approx(t, "moment", momentVariance(k, v), ref["moment tau2"], 1e-12, 0)

	tau2, settled = betweenVariance([]float64{1, 1.01, 0.99, 1}, []float64{0.1, 0.1, 0.2, 0.1})
	assert.True(t, settled)
	approx(t, "no more than chance", tau2, 0, 0, 0)

	// Equal error variances v: τ² = s² - v in closed form.
	tau2, _ = betweenVariance([]float64{1, 2, 4, 7}, []float64{0.5, 0.5, 0.5, 0.5})
	approx(t, "balanced", tau2, variance([]float64{1, 2, 4, 7})-0.5, 1e-9, 0)
	tau2, settled = betweenVariance([]float64{1, 2, 4, 7}, []float64{0, 0, 0, 0})
	assert.True(t, settled)
	approx(t, "no scatter within", tau2, 7, 1e-6, 0) // s² = 7, errors floored at 1e-8 of the mean squared
}

// Where the scoring does not settle, the moment estimate stands in: two values of which one is not a number never do.
func TestBetweenVarianceFallsBack(t *testing.T) {
	_, settled := betweenVariance([]float64{1, math.NaN()}, []float64{1, 1})
	assert.False(t, settled)
	assert.Panics(t, func() { betweenVariance([]float64{1}, []float64{1}) })
}
