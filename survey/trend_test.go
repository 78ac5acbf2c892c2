package survey

import (
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// seriesPoints are the surveys of testdata/change/series.csv; column is 2 (kg) or 4 (kg with zeros).
func seriesPoints(t *testing.T, column int) *trendPoints {
	t.Helper()
	p := &trendPoints{}
	for _, rec := range changeTable(t, "series.csv") {
		cv := number(t, rec[1])
		p.t, p.kg = append(p.t, number(t, rec[0])), append(p.kg, number(t, rec[column]))
		p.y, p.v = append(p.y, math.Log(number(t, rec[column]))), append(p.v, math.Log1p(cv*cv))
		if p.kg[len(p.kg)-1] == 0 {
			p.zeros++
		}
	}
	return p
}

// R's metafor (testdata/change/change.R), 1e-6 as both maximise a likelihood: all surveys independent, six of them, and
// with more scatter declared than there is (no process variance).
func TestTrendIndependent(t *testing.T) {
	ref := changeReference(t)
	six := seriesPoints(t, 2)
	six.t, six.kg, six.y, six.v = six.t[:6], six.kg[:6], six.y[:6], six.v[:6]
	declared := seriesPoints(t, 2)
	for i := range declared.v {
		declared.v[i] *= 20
	}
	for name, p := range map[string]*trendPoints{"independent": seriesPoints(t, 2), "six": six, "declared": declared} {
		tau2, l := p.process(0)
		approx(t, name+" slope", l.b, ref[name+" slope"], 1e-6, 0)
		approx(t, name+" se", math.Sqrt(l.varB*math.Max(1, l.q)), ref[name+" se"], 1e-6, 0)
		approx(t, name+" tau2", tau2, ref[name+" tau2"], 1e-5, 0)
	}
	p := seriesPoints(t, 2)
	tau2, _ := p.process(0)
	approx(t, "Newey-West", p.neweyWest(tau2), ref["neweywest se"], 1e-6, 0) // R's sandwich
}

// Errors shared by some surveys: R's metafor, rma.mv, 1e-5 (its optimiser's accuracy).
func TestTrendShared(t *testing.T) {
	ref := changeReference(t)
	p := seriesPoints(t, 2)
	p.shared = [][]float64{make([]float64, 12), make([]float64, 12), make([]float64, 12)}
	for i, rec := range changeTable(t, "series.csv") {
		p.shared[int(number(t, rec[3]))-1][i] = math.Sqrt(math.Log1p(0.15 * 0.15))
	}
	tau2, l := p.process(0)
	approx(t, "slope", l.b, ref["shared slope"], 1e-5, 0)
	approx(t, "se", math.Sqrt(l.varB*math.Max(1, l.q)), ref["shared se"], 1e-5, 0)
	approx(t, "tau2", tau2, ref["shared tau2"], 1e-4, 0)
}

// Serial correlation: the restricted likelihood maximised by R, and R's nlme::gls with corCAR1 where the surveys have no
// error of their own; 1e-4 for the parameters, 1e-5 for the slope (optimisers' accuracy).
func TestTrendSerial(t *testing.T) {
	ref := changeReference(t)
	p := &trendPoints{}
	for _, rec := range changeTable(t, "serial.csv") {
		p.t, p.y, p.v = append(p.t, number(t, rec[0])), append(p.y, number(t, rec[1])), append(p.v, number(t, rec[2]))
	}
	tau2, phi, l := p.serial()
	approx(t, "slope", l.b, ref["serial slope"], 1e-5, 0)
	approx(t, "se", math.Sqrt(l.varB*math.Max(1, l.q)), ref["serial se"], 1e-5, 0)
	approx(t, "tau2", tau2, ref["serial tau2"], 1e-4, 0)
	approx(t, "phi", phi, ref["serial phi"], 1e-4, 0)
	p.v = make([]float64, len(p.t))
	tau2, phi, l = p.serial()
	approx(t, "gls slope", l.b, ref["gls slope"], 1e-5, 0)
	approx(t, "gls se", math.Sqrt(l.varB*math.Max(1, l.q)), ref["gls se"], 1e-5, 0)
	approx(t, "gls variance", tau2, ref["gls sigma2"], 1e-4, 0)
	approx(t, "gls phi", phi, ref["gls phi"], 1e-4, 0)
}

// Surveys that found none: R's glm with family quasipoisson, 1e-9.
func TestTrendZeros(t *testing.T) {
	ref := changeReference(t)
	var tr Trend
	tr.throughZeros(seriesPoints(t, 4))
	approx(t, "slope", tr.Slope.Value, ref["zeros slope"], 1e-9, 0)
	approx(t, "se", tr.Slope.SE, ref["zeros se"], 1e-9, 0)
	assert.Equal(t, "quasi-Poisson", tr.Method)
	assert.Contains(t, tr.Warnings[0], "none found in 2 surveys: no logarithm of 0")
}

// stocksOf are yearly stocks of a bed with the given kg and CV.
func stocksOf(cv float64, kg ...float64) []Stock {
	var out []Stock
	for i, v := range kg {
		s := Stock{Bed: "A", Species: "Fucus", Survey: name("s", i), Date: day2023 + Day(math.Round(DaysPerYear*float64(i))), Area: 100,
			BedArea: 100, Kg: Estimate{OK: true, Value: v, SE: cv * v, DF: 8}, OwnCV: cv, Conversion: "direct", Status: OK}
		if v == 0 {
			s.OwnCV, s.Kg.SE = math.NaN(), math.NaN()
		}
		out = append(out, s)
	}
	return out
}

// A stock that falls by a tenth each year falls by a tenth each year.
func TestTrendOfStocks(t *testing.T) {
	kg := make([]float64, 6)
	for i := range kg {
		kg[i] = 1000 * math.Pow(0.9, float64(i))
	}
	got := Trends(stocksOf(0.05, kg...), DefaultOptions())
	require.Len(t, got, 1)
	tr := got[0]
	approx(t, "a year", tr.PerYear.Value, -0.1, 1e-3, 0) // dates are whole days
	assert.Equal(t, OK, tr.Status)
	assert.Equal(t, "falling", tr.Verdict())
	approx(t, "df", tr.Slope.DF, 3, 0, 0)
	approx(t, "process", tr.Process, 0, 0, 0)
	approx(t, "se", tr.Slope.SE, math.Sqrt(math.Log1p(0.0025)/17.5), 1e-3, 0) // Σ (t - tbar)² = 17.5
	assert.True(t, math.IsNaN(tr.Serial))
	assert.Contains(t, tr.Warnings[0], "6 surveys cannot tell whether good and bad years come in runs: at least 8 needed")
	tr = Trends(stocksOf(0.05, append(kg, 1000*math.Pow(0.9, 6), 1000*math.Pow(0.9, 7))...), DefaultOptions())[0]
	assert.Equal(t, "log-linear, serial", tr.Method)
	assert.Empty(t, tr.Warnings)
}

// What is not estimable has a reason, a sentence for next time and no number.
func TestTrendNotEstimable(t *testing.T) {
	parted := stocksOf(0.2, 100, 90, 80)
	parted[1].Status, parted[1].Reason = SurveyedPart, "not visited: stratum low"
	unweighed := stocksOf(0.2, 100, 90, 80)
	unweighed[2].Kg, unweighed[2].Status, unweighed[2].Reason = missing(), NotEstimable, "nothing weighed"
	for reason, stocks := range map[string][]Stock{
		"only 2 surveys of the whole bed with an estimate, at least 3 needed": stocksOf(0.2, 100, 90),
		"only 1 survey of the whole bed with an estimate, at least 3 needed":  stocksOf(0.2, 100),
		"found in only 2 surveys, at least 3 needed":                          stocksOf(0.2, 100, 0, 90, 0),
		"found in only 0 surveys, at least 3 needed":                          stocksOf(0.2, 0, 0, 0),
	} {
		tr := Trends(stocks, DefaultOptions())[0]
		assert.Equal(t, NotEstimable, tr.Status)
		assert.Equal(t, reason, tr.Reason)
		assert.NotEmpty(t, tr.Next)
		assert.False(t, tr.PerYear.OK || tr.Slope.OK)
	}
	for words, stocks := range map[string][]Stock{"survey s1 left out: not visited: stratum low": parted,
		"survey s2 left out: nothing weighed": unweighed} {
		tr := Trends(stocks, DefaultOptions())[0]
		assert.Equal(t, NotEstimable, tr.Status)
		assert.Equal(t, []string{words}, tr.Warnings)
	}
}

// What can be estimated with a doubt is, with the doubt.
func TestTrendDoubts(t *testing.T) {
	says := func(tr Trend, words string) {
		t.Helper()
		assert.Equal(t, OK, tr.Status)
		assert.True(t, tr.PerYear.OK && !math.IsNaN(tr.PerYear.Lo))
		assert.True(t, strings.Contains(strings.Join(tr.Warnings, "; "), words), "%s: %v", words, tr.Warnings)
	}
	zeros := Trends(stocksOf(0.2, 100, 60, 30, 0, 0), DefaultOptions())[0]
	says(zeros, "none found in 2 surveys")
	assert.Less(t, zeros.PerYear.Value, -0.3)

	alone := stocksOf(0.2, 100, 90, 95, 80)
	alone[1].OwnCV = math.NaN()
	says(Trends(alone, DefaultOptions())[0], "1 survey without a standard error")

	grown := stocksOf(0.2, 100, 200, 200)
	for i := range grown {
		grown[i].Shared = []SharedError{{ID: name("area|A|", min(i, 1)), CV: 0.3}}
	}
	grown[1].Area, grown[2].Area = 200, 200
	tr := Trends(grown, DefaultOptions())[0]
	says(tr, "the surveyed area changed: trend of kg per m2")
	approx(t, "per m2", tr.PerYear.Value, 0, 0, 1e-9)
	approx(t, "se without the area's error", tr.Slope.SE, math.Sqrt(math.Log1p(0.04)/2), 1e-2, 0)

	moved := stocksOf(0.2, 100, 90, 80)
	moved[2].Date += 60
	says(Trends(moved, DefaultOptions())[0], "surveys up to 61 days apart in the year")
	quick := stocksOf(0.2, 100, 90, 80)
	quick[1].Date, quick[2].Date = quick[0].Date+10, quick[0].Date+20
	says(Trends(quick, DefaultOptions())[0], "surveys span only 0.1 years")
	mixed := stocksOf(0.2, 100, 90, 80)
	mixed[2].Conversion, mixed[2].Domain = "ratio", "survey"
	says(Trends(mixed, DefaultOptions())[0], "weight not had by the same means in all surveys")
}

// One error shared by all surveys does not blur the trend; the order of stocks, their unit and the start of time do not
// matter; time turned round turns the sign.
func TestTrendProperties(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(4, 8).Draw(t, "n")
		stocks := stocksOf(0.2, rapid.SliceOfN(rapid.Float64Range(10, 1e5), n, n).Draw(t, "kg")...)
		for i := range stocks {
			stocks[i].OwnCV = rapid.Float64Range(0.05, 0.8).Draw(t, "cv")
		}
		want := Trends(stocks, DefaultOptions())[0].Slope
		cv := rapid.Float64Range(0.1, 2).Draw(t, "shared cv")
		factor := rapid.Float64Range(0.01, 100).Draw(t, "factor")
		turned := make([]Stock, n)
		for i, s := range stocks {
			stocks[i].Shared = []SharedError{{ID: "k", CV: cv}}
			stocks[i].Kg.Value *= factor
			turned[n-1-i] = s
			turned[n-1-i].Date = day2023 + stocks[n-1].Date - s.Date
		}
		got := Trends(stocks, DefaultOptions())[0].Slope
		back := Trends(turned, DefaultOptions())[0].Slope
		for i, v := range [][2]float64{{got.Value, want.Value}, {got.SE, want.SE}, {back.Value, -want.Value}, {back.SE, want.SE}} {
			if math.Abs(v[0]-v[1]) > 2e-5*(math.Abs(want.Value)+want.SE) {
				t.Fatalf("%d: %v", i, v)
			}
		}
	})
}

// trendCoverage is the share of 95 % intervals that hold the slope of simulated series: n surveys with CV 0.2 of a stock
// whose process has standard deviation sd and correlation phi from year to year; and that of the Newey-West interval.
func trendCoverage(n, runs int, sd, phi float64) (held, robust float64) {
	rng := newStream(7, "trend")
	for range runs {
		u, kg := rng.NormFloat64()*sd, make([]float64, n)
		for i := range kg {
			if i > 0 {
				u = phi*u + math.Sqrt(1-phi*phi)*sd*rng.NormFloat64()
			}
			kg[i] = 1000 * math.Exp(-0.05*float64(i)+u+0.2*rng.NormFloat64())
		}
		tr := Trends(stocksOf(0.2, kg...), DefaultOptions())[0]
		truth := -0.05
		if tr.Slope.Lo <= truth && truth <= tr.Slope.Hi {
			held++
		}
		if math.Abs(tr.Slope.Value-truth) <= tQuantile(0.975, float64(n-2))*tr.NeweyWestSE {
			robust++
		}
	}
	return held / float64(runs), robust / float64(runs)
}

// In short series with good and bad years in runs the interval holds the true slope in 90 to 99 of 100 (300 simulated
// series of 6, 150 of 8 surveys, simulation errors 1.3 and 1.8 %), where that of Newey and West holds it in 75 to 88. By
// 300 series each: 0.99, 0.97, 0.95, 0.92, 0.95, 0.93 for 5, 6, 7, 8, 10, 15 surveys at a correlation of 0.4 (Newey-West
// 0.81, 0.82, 0.83, 0.81, 0.82, 0.79); at 0.7 0.99, 0.97, 0.94, 0.91, 0.91, 0.87 (0.82 to 0.70).
func TestTrendCoverage(t *testing.T) {
	for n, runs := range map[int]int{6: 300, 8: 150} {
		held, robust := trendCoverage(n, runs, 0.25, 0.4)
		t.Logf("%d surveys: %.3f, Newey-West %.3f", n, held, robust)
		approx(t, "held", held, 0.945, 0, 0.045)
		approx(t, "Newey-West", robust, 0.815, 0, 0.07)
	}
}

func BenchmarkTrends(b *testing.B) {
	stocks := stocksOf(0.2, 100, 130, 80, 90, 70, 60, 90, 50)
	for b.Loop() {
		Trends(stocks, DefaultOptions())
	}
}
