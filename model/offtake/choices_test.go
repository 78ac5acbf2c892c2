package offtake

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"

	"bedstock/model/internal/quantile"
)

func TestChoicesTradeYieldForRisk(t *testing.T) {
	s, rules := someStand(3000), DefaultRules()
	s.SurveyCV, s.Exploitable = 0.2, 0.9
	c := Choices(s, rules, []float64{0, 0.1, 0.2, 0.5, 0.9})
	assert.Zero(t, c[0].Kg)
	assert.Zero(t, c[0].YieldPerYear)
	for i := 1; i < len(c); i++ {
		assert.Greater(t, c[i].Risk, c[i-1].Risk)
		assert.Greater(t, c[i].RiskEver, c[i-1].RiskEver)
		assert.Less(t, c[i].NextMedian, c[i-1].NextMedian)
		assert.Less(t, c[i].NextLo, c[i].NextMedian)
		assert.Greater(t, c[i].NextHi, c[i].NextMedian)
	}
	assert.Greater(t, c[2].YieldPerYear, c[1].YieldPerYear)
	assert.Less(t, c[4].YieldPerYear, c[2].YieldPerYear, "cutting nearly all yields less over the years")
	assert.Panics(t, func() { Choices(s, rules, []float64{1.1}) })
}

// Without chance the best fraction yields most, and what it yields in the end is Y*.
func TestBestFractionYieldsMost(t *testing.T) {
	ref := Pulse(0.6, 1000, 1, 1)
	s, rules := sureStand(3, 0.6, 1000, ref.Best)
	rules.Horizon = 100
	c := Choices(s, rules, []float64{ref.Fraction - 0.02, ref.Fraction, ref.Fraction + 0.02})
	approx(t, "Y*", c[1].YieldPerYear, ref.Yield, 1e-9, 0)
	assert.Less(t, c[0].YieldPerYear, c[1].YieldPerYear)
	assert.Less(t, c[2].YieldPerYear, c[1].YieldPerYear)
}

func TestFanAgreesWithChoices(t *testing.T) {
	s, rules := someStand(1001), DefaultRules()
	s.SurveyCV = 0.3
	c := Choices(s, rules, []float64{0.2})[0]
	fan := Fan(s, rules, c.Kg, 0.2)
	assert.Len(t, fan, rules.Horizon+1)
	assert.Equal(t, FanYear{1, c.NextMedian, c.NextLo, c.NextHi}, fan[1])
	assert.Equal(t, quantile.Sorted(sorted(s.B), 0.5), fan[0].Median)
	uncut := Fan(s, rules, 0, 0)
	assert.Greater(t, uncut[10].Median, fan[10].Median)
	assert.Panics(t, func() { Fan(s, rules, math.NaN(), 0) })
}

func TestRecoveryCurve(t *testing.T) {
	r, k := []float64{0.3, 0.5, 0.7}, []float64{1000, 1000, 1000}
	best := Pulse(0.5, 1000, 1, 1)
	median, lo, hi := RecoveryCurve(r, k, []float64{0, best.Left, 1000, 1200}, 0.5)
	approx(t, "nothing left", median[0], 0, 0, 0)
	approx(t, "most at S*", median[1], best.Yield, 1e-12, 0)
	approx(t, "none at the ceiling", median[2], 0, 0, 1e-10)
	assert.Less(t, median[3], 0.0)
	slow := grow(best.Left, 1000, math.Exp(-0.3)) - best.Left
	approx(t, "lower quartile of three", lo[1], (slow+best.Yield)/2, 1e-12, 0)
	assert.Greater(t, hi[1], median[1])
	assert.Panics(t, func() { RecoveryCurve(r, k[:1], nil, 0.95) })
	assert.Panics(t, func() { RecoveryCurve(r, k, nil, 1) })
}

func TestValidateRules(t *testing.T) {
	assert.NoError(t, DefaultRules().Validate())
	for want, change := range map[string]func(*Rules){
		"horizon_years":           func(r *Rules) { r.Horizon = 0 },
		"limit_of_k":              func(r *Rules) { r.LimitOfK = math.NaN() },
		"trigger_of_k":            func(r *Rules) { r.TriggerOfK = 0.1 },
		"risk must":               func(r *Rules) { r.Risk = 1 },
		"max_fraction":            func(r *Rules) { r.MaxFraction = 1.5 },
		"stock_quantile":          func(r *Rules) { r.StockQuantile = 0 },
		"replacement_probability": func(r *Rules) { r.ReplacementProbability = 1 },
		"rebuild_years":           func(r *Rules) { r.RebuildYears = -1 },
		"weak_fraction":           func(r *Rules) { r.WeakFraction = -0.1 },
		"rest_years must be 0":    func(r *Rules) { r.RestYears = -1 },
		"less than horizon_years": func(r *Rules) { r.RestYears = 10 },
		"storm_chance":            func(r *Rules) { r.StormChance = 2 },
		"storm_survival":          func(r *Rules) { r.StormSurvival = 0 },
	} {
		r := DefaultRules()
		change(&r)
		assert.ErrorContains(t, r.Validate(), want)
	}
}

// A survey that finds more than there is does not make more of it: without growth nobody can cut more than stood there.
func TestYieldIsNoMoreThanThereIs(t *testing.T) {
	s, rules := sureStand(400, 0, 1000, 500)
	s.SurveyCV = 1
	p := newPaths(s, rules)
	for _, total := range p.look(100, 0.9).taken {
		assert.LessOrEqual(t, total, 500*(1+1e-12))
	}
}

// What lies ahead year by year is what the choices sum up: the stock a year on, the worst year's risk, and without
// chance the closed forms of stock and cut.
func TestAheadAgreesWithChoices(t *testing.T) {
	s, rules := someStand(1003), DefaultRules()
	s.SurveyCV, s.Exploitable = 0.3, 0.8
	c := Choices(s, rules, []float64{0.2})[0]
	course := Ahead(s, rules, Plan{c.Kg, 0.2})[0]
	years := course.Years
	assert.Equal(t, c.YieldPerYear, course.Yearly.Median)
	assert.Len(t, years, rules.Horizon+1)
	assert.Equal(t, Span{c.NextMedian, c.NextLo, c.NextHi}, years[1].Stock)
	worst := 0.0
	for _, y := range years[1:] {
		worst = max(worst, y.Below)
	}
	approx(t, "risk", worst, c.Risk, 0, 1e-15)
	assert.Equal(t, Span{c.Kg, c.Kg, c.Kg}, years[0].Cut, "the same kg in every draw")
	assert.True(t, math.IsNaN(years[rules.Horizon].Cut.Median))
	assert.Greater(t, years[3].Cut.Hi, years[3].Cut.Lo)

	sure, calm := sureStand(3, 0.5, 1000, 600)
	calm.RestYears = 1
	b := 600.0
	for y, a := range Ahead(sure, calm, Plan{60, 0.25})[0].Years {
		approx(t, "stock", a.Stock.Median, b, 1e-12, 0)
		cut := []float64{0.25 * b, 0}[y%2]
		if y == 0 {
			cut = 60
		}
		if y < calm.Horizon {
			approx(t, "cut, every second year", a.Cut.Median, cut, 1e-12, 0)
		}
		assert.Zero(t, a.Below)
		b = grow(b-cut, 1000, math.Exp(-0.5))
	}
	sure.Annual = true
	assert.Nil(t, Ahead(sure, calm, Plan{60, 0.25}))
}

// The advice is the choice of the share that it takes, but for rounding.
func TestChoiceOfTheAdvice(t *testing.T) {
	s, rules := someStand(1003), DefaultRules()
	s.SurveyCV, s.Exploitable = 0.3, 0.8
	a := Advise(s, rules)
	got, want := a.Choice(), Choices(s, rules, []float64{a.TakenFraction()})[0]
	assert.Equal(t, want.Fraction, got.Fraction)
	assert.Equal(t, want.Risk, got.Risk)
	assert.Equal(t, want.RiskEver, got.RiskEver)
	for _, v := range [][2]float64{{got.Kg, want.Kg}, {got.RiskSE, want.RiskSE}, {got.NextMedian, want.NextMedian}, {got.NextLo, want.NextLo},
		{got.NextHi, want.NextHi}, {got.YieldPerYear, want.YieldPerYear}} {
		approx(t, "as a choice", v[0], v[1], 1e-12, 0)
	}
}

// The level of the intervals is that of the rules.
func TestLevelOfWhatIsExpected(t *testing.T) {
	s, rules := someStand(2001), DefaultRules()
	wide := WhatIf(s, rules, 50)
	rules.Level = 0.5
	narrow := WhatIf(s, rules, 50)
	next := newPaths(s, rules).look(50, narrow.TakenFraction()).stock[0]
	approx(t, "lower quartile", narrow.NextLo, quantile.Sorted(sorted(next), 0.25), 1e-12, 0)
	approx(t, "upper quartile", narrow.NextHi, quantile.Sorted(sorted(next), 0.75), 1e-12, 0)
	assert.Less(t, wide.NextLo, narrow.NextLo)
	assert.Greater(t, wide.NextHi, narrow.NextHi)
	assert.Equal(t, narrow.YieldPerYear, wide.YieldPerYear)
}

// Plans that are told together are as each by itself; where nothing is cut the cut is 0, beyond the horizon it is not known.
func TestPlansTogether(t *testing.T) {
	s, rules := someStand(1001), DefaultRules()
	s.SurveyCV = 0.3
	rules.RestYears = 1
	plans := []Plan{{}, {100, 0.2}, {0, 0.3}}
	courses, fans := Ahead(s, rules, plans...), Fans(s, rules, plans...)
	for i, plan := range plans {
		assert.Equal(t, Fan(s, rules, plan.Kg, plan.Fraction), fans[i])
		for y, row := range courses[i].Years {
			assert.Equal(t, FanYear{y, row.Stock.Median, row.Stock.Lo, row.Stock.Hi}, fans[i][y])
			switch cut := y == 0 && plan.Kg > 0 || y > 0 && y%2 == 0 && plan.Fraction > 0; {
			case y == rules.Horizon:
				assert.True(t, math.IsNaN(row.Cut.Median) && math.IsNaN(row.Cut.Lo) && math.IsNaN(row.Cut.Hi))
			case cut:
				assert.Positive(t, row.Cut.Median)
			default:
				assert.Equal(t, Span{}, row.Cut)
			}
		}
	}
	s.Annual = true
	assert.Nil(t, Fans(s, rules, plans...))
	assert.Nil(t, Fan(s, rules, 0, 0))
}

// What a figure of yield and risk, and one of the coming years, ask of a stand.
func BenchmarkChoices(b *testing.B) {
	s, rules := someStand(4000), DefaultRules()
	s.SurveyCV = 0.2
	fractions := make([]float64, 25)
	for i := range fractions {
		fractions[i] = 0.025 * float64(i)
	}
	b.Run("choices", func(b *testing.B) {
		for b.Loop() {
			Choices(s, rules, fractions)
		}
	})
	b.Run("ahead", func(b *testing.B) {
		for b.Loop() {
			Ahead(s, rules, Plan{}, Plan{100, 0.2}, Plan{200, 0.33})
		}
	})
	b.Run("recovery", func(b *testing.B) {
		grid := make([]float64, 81)
		for i := range grid {
			grid[i] = 12 * float64(i)
		}
		for b.Loop() {
			RecoveryCurve(s.R, s.K, grid, 0.95)
		}
	})
}
