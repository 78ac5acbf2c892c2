package model

import (
	"math"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"bedstock/model/growth"
	"bedstock/model/offtake"
	"bedstock/survey"
)

// spanned is a stand of two draws with an advice of 100 kg a year, whose seasons are autumn (30 %) and a winter over New
// Year (70 %), and which grows fastest in May.
func spanned(cuts ...growth.Pulse) (*assessor, *Unit, *Basis) {
	rules := DefaultRules()
	rules.Seasons = []offtake.Season{
		{Name: "autumn", From: offtake.MonthDay{Month: 9, Day: 1}, To: offtake.MonthDay{Month: 10, Day: 15}, Share: 0.3},
		{Name: "winter", From: offtake.MonthDay{Month: 12, Day: 1}, To: offtake.MonthDay{Month: 2, Day: 29}, Share: 0.7},
	}
	a := &assessor{out: &Assessment{Config: Config{Rules: rules}, Folder: &survey.Folder{CutsKnown: true}}}
	u := &Unit{Pair: Pair{"cove", egg}, Season: growth.Season{Amplitude: 0.8, Peak: 4.0 / 12}}
	u.Series.Cuts = cuts
	b := &Basis{Open: survey.MakeDay(2026, 9, 1), Year: offtake.Advice{AdvisedKg: 100, CapFraction: 0.2}}
	b.Stand = offtake.Stand{B: []float64{800, 1000}, R: []float64{0.4, 0.8}, K: []float64{1200, 1500}, Sigma: []float64{0, 0}, Exploitable: 0.5}
	return a, u, b
}

// grown is the logistic with seasonal growth by its closed form, written anew:
//
//	B/(1 + B/K (e^R - 1)) e^R,  R = r (t2 - t1 + a/2π (sin 2π(t2-p) - sin 2π(t1-p)))
func grown(b, r, k float64, s growth.Season, from, to survey.Day) float64 {
	t1, t2 := from.Years(), to.Years()
	rr := r * (t2 - t1 + s.Amplitude/(2*math.Pi)*(math.Sin(2*math.Pi*(t2-s.Peak))-math.Sin(2*math.Pi*(t1-s.Peak))))
	return b * math.Exp(rr) / (1 + b/k*math.Expm1(rr))
}

// Between the opening and a later season each season takes its share of the year and the stand grows by the seasonal map.
func TestAdvanceThroughSeasons(t *testing.T) {
	a, u, b := spanned()
	winter, next := survey.MakeDay(2026, 12, 1), survey.MakeDay(2027, 9, 1)
	stand := b.Stand
	stand.B = slices.Clone(b.Stand.B)
	assert.Equal(t, 0.0, a.advance(u, b, &stand, winter))
	for i, x := range b.Stand.B {
		approx(t, "at the winter", stand.B[i], grown(x-30, b.Stand.R[i], b.Stand.K[i], u.Season, b.Open, winter), 1e-9, 0) // closed form
	}
	stand.B = slices.Clone(b.Stand.B)
	a.advance(u, b, &stand, next)
	for i, x := range b.Stand.B {
		at := grown(x-30, b.Stand.R[i], b.Stand.K[i], u.Season, b.Open, winter)
		approx(t, "a year on", stand.B[i], grown(at-70, b.Stand.R[i], b.Stand.K[i], u.Season, winter, next), 1e-9, 0) // closed form
	}
}

// What an autumn took beyond its share is gone from the stand, and is taken off the winter over New Year.
func TestAdvanceAfterAnOverTake(t *testing.T) {
	a, u, b := spanned(growth.Pulse{T: survey.MakeDay(2026, 9, 20).Years(), Kg: 45})
	stand := b.Stand
	stand.B = slices.Clone(b.Stand.B)
	winter := survey.MakeDay(2026, 12, 1)
	approx(t, "beyond the advice", a.advance(u, b, &stand, winter), 15, 1e-12, 0) // 45 - 0.3*100
	approx(t, "left standing", stand.B[0], grown(800-45, 0.4, 1200, u.Season, b.Open, winter), 1e-9, 0)
}

// A season in which the bed is closed takes nothing from the stock of the next.
func TestAdvancePastAClosedSeason(t *testing.T) {
	a, u, b := spanned()
	a.out.Folder.Closures = []survey.Closure{{Bed: "cove", From: survey.MakeDay(2026, 8, 1), To: survey.MakeDay(2026, 10, 31), Reason: "works"}}
	stand := b.Stand
	stand.B = slices.Clone(b.Stand.B)
	winter := survey.MakeDay(2026, 12, 1)
	a.advance(u, b, &stand, winter)
	approx(t, "uncut", stand.B[0], grown(800, 0.4, 1200, u.Season, b.Open, winter), 1e-9, 0) // closed form
}

// A season's amount is its share of the smaller of the year's offtake and the cap on the stock expected at its start.
func TestSeasonIsCheckedAgainstTheStockAtItsStart(t *testing.T) {
	a, u, b := spanned()
	rule := a.out.Rules.Seasons[1]
	s := Season{Name: "winter", From: survey.MakeDay(2026, 12, 1), To: survey.MakeDay(2027, 2, 28), Survey: survey.MakeDay(2026, 7, 8)}
	kg, by, _ := a.seasonKg(u, b, rule, &s)
	stock := []float64{grown(770, 0.4, 1200, u.Season, b.Open, s.From), grown(970, 0.8, 1500, u.Season, b.Open, s.From)}
	want := 0.7 * 0.2 * 0.5 * survey.Quantile(stock, a.out.Rules.Offtake.StockQuantile)
	require.Less(t, want, 0.7*100.0, "the cap binds")
	assert.Equal(t, offtake.ByCap, by)
	approx(t, "kg", kg, want, 5e-3, 0) // rounded down to three digits
	assert.LessOrEqual(t, kg, want)
	b.Year.CapFraction, b.Year.LimitedBy = 0.9, offtake.ByRisk
	kg, by, _ = a.seasonKg(u, b, rule, &s)
	assert.Equal(t, offtake.ByRisk, by, "the year's own limit")
	assert.Equal(t, 70.0, kg)
}

// A basis that is brought on rests on what was cut beyond the advice on the way, and on nothing that was cut within it.
func TestProjectedBasisRestsOnWhatWasCutBeyond(t *testing.T) {
	for kg, beyond := range map[float64]bool{0: false, 25: false, 45: true} {
		a, u, b := spanned(growth.Pulse{T: survey.MakeDay(2026, 9, 20).Years(), Kg: kg})
		u.Basis = b
		s := Season{From: survey.MakeDay(2027, 12, 1), To: survey.MakeDay(2028, 2, 28), Survey: survey.MakeDay(2026, 7, 8), Basis: b, Year: &b.Year}
		l := a.later(u, &s)
		require.NotNil(t, l)
		assert.Equal(t, beyond, l.RestsOnCuts(), "%g kg", kg)
		assert.False(t, l.RestsOnLoose())
		assert.False(t, b.RestsOnCuts(), "the advice of the survey's own year does not")
		s.From = survey.MakeDay(2027, 3, 1)
		assert.Nil(t, a.later(u, &s), "the survey is young enough")
	}
}
