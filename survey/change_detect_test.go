package survey

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// R's noncentral t (testdata/change/change.R): powers within 1e-6, noncentralities within 1e-5.
func TestPower(t *testing.T) {
	ref := changeReference(t)
	approx(t, "power", tPower(2, 7.5, 0.95), ref["power 2 7.5"], 0, 1e-6)
	approx(t, "power", tPower(3.1, 24, 0.9), ref["power 3.1 24"], 0, 1e-6)
	approx(t, "size", tPower(0, 1, 0.95), 0.05, 0, 1e-5)
	approx(t, "size", tPower(0, 2.5, 0.95), 0.05, 0, 1e-5)
	approx(t, "need", noncentrality(4, 0.95, 0.8), ref["need 4"], 1e-5, 0)
	approx(t, "need", noncentrality(13.6, 0.95, 0.8), ref["need 13.6"], 1e-5, 0)
	approx(t, "need", noncentrality(60, 0.9, 0.9), ref["need 60"], 1e-5, 0)
	approx(t, "need", noncentrality(math.Inf(1), 0.95, 0.8), 1.959963985+0.841621234, 1e-5, 0) // normal quantiles, R: qnorm(c(0.975, 0.8))
}

// Two like surveys of 9 units with CV 0.2: s² = 2 log 1.04, df 16; with 9 more s² = 1.5 log 1.04. Worked by hand, with
// R's noncentrality for the degrees of freedom in its place.
func TestLeastDetectable(t *testing.T) {
	s := stocksOf(0.2, 900, 1000)
	for i := range s {
		s[i].PSU = 9
	}
	got := LeastDetectable(s, nil, DefaultOptions(), 9)
	require.Len(t, got, 2)
	assert.Equal(t, "s1", got[0].Survey)
	approx(t, "df", got[0].DF, 16, 1e-12, 0)
	effect := noncentrality(16, 0.95, 0.8) * math.Sqrt(2*math.Log(1.04))
	approx(t, "fall", got[0].Fall, 1-math.Exp(-effect), 1e-12, 0)
	approx(t, "rise", got[0].Rise, math.Exp(effect)-1, 1e-12, 0)
	approx(t, "fall kg", got[0].FallKg, 1000*got[0].Fall, 1e-12, 0)
	approx(t, "df with more", got[1].DF, 1.5*1.5/(1./8+0.25/17), 1e-12, 0)
	effect = noncentrality(got[1].DF, 0.95, 0.8) * math.Sqrt(1.5*math.Log(1.04))
	approx(t, "fall with more", got[1].Fall, 1-math.Exp(-effect), 1e-12, 0)

	paired := LeastDetectable(s, []Change{{Bed: "A", Species: "Fucus", To: "s1", Paired: 9, Correlation: 0.75, Kg: Estimate{OK: true}}}, DefaultOptions())[0]
	assert.True(t, paired.Paired)
	approx(t, "paired df", paired.DF, 8, 1e-12, 0)
	effect = noncentrality(8, 0.95, 0.8) * math.Sqrt(0.5*math.Log(1.04))
	approx(t, "paired fall", paired.Fall, 1-math.Exp(-effect), 1e-12, 0)

	s[1].Shared = []SharedError{{"calibration|Fucus|species", 0.3}, {"area|A", 0.1}, {"bed|A|Fucus", 0.3}}
	s[1].Domain = "species"
	approx(t, "calibration kept", LeastDetectable(s, nil, DefaultOptions())[0].Fall, got[0].Fall, 1e-12, 0)
	s[1].Domain = "species and year"
	renewed := LeastDetectable(s, nil, DefaultOptions())[0]
	effect = noncentrality(renewed.DF, 0.95, 0.8) * math.Sqrt(2*math.Log(1.04)+2*math.Log(1.09))
	approx(t, "calibration made anew", renewed.Fall, 1-math.Exp(-effect), 1e-12, 0)
	assert.Panics(t, func() { LeastDetectable(s, nil, DefaultOptions(), -1) })
}

// What has no least change says why, and what to do.
func TestLeastDetectableNot(t *testing.T) {
	lone, unknown := stocksOf(0.2, 100), stocksOf(0.2, 100)
	lone[0].OwnCV, lone[0].Kg.DF = math.NaN(), math.NaN()
	unknown[0].Kg, unknown[0].Status, unknown[0].Reason = missing(), NotEstimable, "nothing weighed"
	empty := stocksOf(0.2, 0)
	empty[0].PSU = 12
	for reason, s := range map[string][]Stock{"no standard error: no more sampling units than strata": lone, "nothing weighed": unknown,
		"none found": empty} {
		d := LeastDetectable(s, nil, DefaultOptions())[0]
		assert.Equal(t, NotEstimable, d.Status)
		assert.Equal(t, reason, d.Reason)
		assert.NotEmpty(t, d.Next)
		assert.True(t, math.IsNaN(d.Fall) && math.IsNaN(d.RiseKg) && math.IsNaN(d.DF))
	}
	// 12 units find what stands in 13 % of them with power 0.8: 1 - 0.2^(1/12) = 0.1255.
	assert.Contains(t, LeastDetectable(empty, nil, DefaultOptions())[0].Next, "more than about 13 % of the units")
}

// More transects find smaller changes; a larger CV only larger ones. (Below 4 degrees of freedom Satterthwaite's formula
// can lose more by unequal variances than the transects gain.)
func TestLeastDetectableProperties(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		cv := rapid.Float64Range(0.02, 1.5).Draw(t, "cv")
		s := stocksOf(cv, 100)
		s[0].PSU, s[0].Kg.DF = rapid.IntRange(6, 40).Draw(t, "units"), rapid.Float64Range(4, 37).Draw(t, "df")
		more := rapid.IntRange(1, 30).Draw(t, "more")
		got := LeastDetectable(s, nil, DefaultOptions(), more)
		s[0].OwnCV *= 1.1
		worse := LeastDetectable(s, nil, DefaultOptions())[0]
		if !(got[1].Fall < got[0].Fall && got[0].Fall < worse.Fall && worse.Fall <= 1 && got[1].Rise < got[0].Rise) {
			t.Fatal(got, worse)
		}
	})
}
