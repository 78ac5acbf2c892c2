package offtake

import (
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"pgregory.net/rapid"

	"bedstock/model/internal/quantile"
)

func TestAdviseNamesTheSmallest(t *testing.T) {
	s, rules := someStand(2000), DefaultRules()
	a := Advise(s, rules)
	assert.Equal(t, ByRisk, a.LimitedBy)
	assert.Less(t, a.RiskKg, a.CapKg)
	assert.LessOrEqual(t, a.AdvisedKg, a.RiskKg*a.LowStock)
	assert.Greater(t, a.AdvisedKg, 0.9*a.RiskKg*a.LowStock)
	assert.LessOrEqual(t, a.Risk, rules.Risk)
	assert.GreaterOrEqual(t, a.RiskEver, a.Risk)
	approx(t, "standard error", a.RiskSE, math.Sqrt(a.Risk*(1-a.Risk)/2000), 1e-12, 0)
	approx(t, "risk kg", a.RiskKg, a.RiskFraction*a.ExploitableQ, 1e-12, 0)
	approx(t, "fraction", a.Fraction, a.AdvisedKg/quantile.Sorted(sorted(s.B), 0.5), 1e-12, 0)
	assert.Empty(t, a.Warnings)

	s.MaxFraction = 0.05
	assert.Equal(t, ByCap, Advise(s, rules).LimitedBy)

	rules.ReplacementProbability = 0.97
	s.MaxFraction = 0
	a = Advise(s, rules)
	assert.Equal(t, ByReplacement, a.LimitedBy)
	assert.Less(t, a.ReplacementKg, a.RiskKg)
}

// What stands below the limit today is told apart from the risk of the years to come: it is what the stand is before any
// cut, whatever the take and however it grows.
func TestRiskNow(t *testing.T) {
	s, rules := sureStand(1000, 1.2, 1000, 300)
	for i := range 137 {
		s.B[i] = 199 // the limit is 200 kg
	}
	a := Advise(s, rules)
	approx(t, "below today", a.RiskNow, 0.137, 1e-12, 0)
	approx(t, "under any take", WhatIf(s, rules, 250).RiskNow, a.RiskNow, 0, 0)
	approx(t, "and none", NoCut(s, rules, ByClosed, "").RiskNow, a.RiskNow, 0, 0)
	assert.Less(t, a.Risk, a.RiskNow, "a fast stand is above the limit again in a year")
	assert.True(t, math.IsNaN(NotAssessed("never surveyed").RiskNow))
}

func TestAdviseOnLowStock(t *testing.T) {
	s, rules := sureStand(1000, 1.2, 1000, 300) // half way from limit to trigger
	a := Advise(s, rules)
	approx(t, "factor", a.LowStock, 0.5, 1e-12, 0)
	assert.Equal(t, ByLowStock, a.LimitedBy)
	least := min(a.CapKg, a.ReplacementKg, a.RiskKg)
	approx(t, "half of what limits", a.AdvisedKg, least/2, 0.01, 0) // rounded down to 3 digits
	s.B = repeated(1000, 190)
	a = Advise(s, rules)
	assert.Zero(t, a.LowStock)
	assert.Zero(t, a.AdvisedKg)
	s.B = repeated(1000, 399.8) // a factor that rounds to 1 is not named
	assert.NotEqual(t, ByLowStock, Advise(s, rules).LimitedBy)
}

func TestAdviseWhereNoCutBreaksTheRisk(t *testing.T) {
	s, rules := someStand(1000), DefaultRules()
	for i := range s.B {
		s.B[i] *= 0.25
	}
	a := Advise(s, rules)
	assert.Zero(t, a.RiskKg)
	assert.Zero(t, a.AdvisedKg)
	assert.Equal(t, ByRisk, a.LimitedBy)
	assert.Contains(t, strings.Join(a.Warnings, "\n"), "nothing should be cut")
	assert.Greater(t, a.Risk, rules.Risk, "the risk of no cut is told")
}

func TestAdviseForAnAnnual(t *testing.T) {
	s, rules := someStand(1000), DefaultRules()
	s.Annual = true
	a := Advise(s, rules)
	for name, x := range map[string]float64{"replacement": a.ReplacementKg, "risk kg": a.RiskKg, "risk": a.Risk,
		"fraction": a.RiskFraction, "ever": a.RiskEver, "next": a.NextMedian, "se": a.RiskSE} {
		assert.True(t, math.IsNaN(x), name)
	}
	assert.True(t, a.Weak())
	approx(t, "weak cap alone", a.AdvisedKg, 0.15*a.ExploitableQ*a.LowStock, 0.01, 0)
	assert.Contains(t, a.Warnings[0], "annual")
	assert.Nil(t, Fan(s, rules, 10, 0.1))
	c := Choices(s, rules, []float64{0.1})[0]
	approx(t, "kg", c.Kg, 0.1*a.ExploitableQ, 1e-12, 0)
	assert.True(t, math.IsNaN(c.Risk))
	w := WhatIf(s, rules, 100)
	assert.Equal(t, 100.0, w.AdvisedKg)
	assert.True(t, math.IsNaN(w.Risk))
}

func TestNothingLongEnough(t *testing.T) {
	s, rules := someStand(1000), DefaultRules()
	s.Exploitable = 0
	a := Advise(s, rules)
	assert.Zero(t, a.AdvisedKg)
	assert.Equal(t, ByCap, a.LimitedBy)
	assert.Contains(t, strings.Join(a.Warnings, "\n"), "nothing of the stock is long enough")
	assert.False(t, math.IsNaN(a.Risk))
}

func TestWhatIfAgreesWithAdvise(t *testing.T) {
	s, rules := someStand(1500), DefaultRules()
	s.SurveyCV, s.Exploitable = 0.2, 0.7
	a := Advise(s, rules)
	w := WhatIf(s, rules, a.AdvisedKg)
	a.LimitedBy = ""
	assert.Equal(t, a, w)
	more := WhatIf(s, rules, 2*a.CapKg)
	assert.Greater(t, more.Risk, a.Risk)
	assert.Less(t, more.NextMedian, a.NextMedian)
	assert.Contains(t, strings.Join(more.Warnings, "\n"), "more than the limit by cap")
	all := WhatIf(s, rules, 1e6)
	assert.Equal(t, 1.0, all.Risk)
	assert.Zero(t, all.NextMedian)
	for _, kg := range []float64{0, a.AdvisedKg, 2 * a.CapKg, 1e6} {
		assert.Equal(t, WhatIf(s, rules, kg).Risk, RiskOf(s, rules, kg))
	}
	assert.Panics(t, func() { RiskOf(s, rules, -1) })
	annual := s
	annual.Annual = true
	assert.True(t, math.IsNaN(RiskOf(annual, rules, 1)))
	assert.Panics(t, func() { WhatIf(s, rules, -1) })
}

func TestNoCutAndNotAssessed(t *testing.T) {
	s, rules := someStand(1000), DefaultRules()
	a := NoCut(s, rules, ByClosed, "water quality")
	assert.Zero(t, a.AdvisedKg)
	assert.Equal(t, ByClosed, a.LimitedBy)
	assert.Greater(t, a.CapKg, 0.0)
	assert.Equal(t, "water quality", a.Warnings[0])
	assert.Greater(t, a.NextMedian, Advise(s, rules).NextMedian)
	n := NotAssessed("nothing weighed")
	assert.True(t, math.IsNaN(n.AdvisedKg))
	assert.Equal(t, ByNotAssessed, n.LimitedBy)
}

func TestSameSeedSameAdvice(t *testing.T) {
	s, rules := someStand(1000), DefaultRules()
	s.SurveyCV = 0.2
	assert.Equal(t, Advise(s, rules), Advise(s, rules))
	other := s
	other.Stream = "another bed"
	assert.NotEqual(t, Advise(s, rules).RiskKg, Advise(other, rules).RiskKg)
}

func TestDigits(t *testing.T) {
	assert.Equal(t, 3, digits(0.05))
	assert.Equal(t, 2, digits(0.051))
	assert.Equal(t, 2, digits(math.NaN()))
	assert.Equal(t, 2, digits(math.Inf(1)))
}

func TestUnusableStandsPanic(t *testing.T) {
	for name, change := range map[string]func(*Stand, *Rules){
		"no draws":     func(s *Stand, _ *Rules) { s.B = nil },
		"uneven":       func(s *Stand, _ *Rules) { s.R = s.R[:3] },
		"NaN":          func(s *Stand, _ *Rules) { s.B[2] = math.NaN() },
		"ceiling of 0": func(s *Stand, _ *Rules) { s.K[0] = 0 },
		"infinite":     func(s *Stand, _ *Rules) { s.Sigma[0] = math.Inf(1) },
		"share":        func(s *Stand, _ *Rules) { s.Exploitable = 1.1 },
		"survey CV":    func(s *Stand, _ *Rules) { s.SurveyCV = math.NaN() },
		"rules":        func(_ *Stand, r *Rules) { r.Risk = 0 },
	} {
		s, rules := sureStand(5, 0.4, 1000, 700)
		change(&s, &rules)
		assert.Panics(t, func() { Advise(s, rules) }, name)
	}
}

// anyStand is a stand of 300 draws, and rules, from all over what is met.
func anyStand(t *rapid.T) (Stand, Rules) {
	num := func(name string, lo, hi float64) float64 { return rapid.Float64Range(lo, hi).Draw(t, name) }
	rng := rand.New(stream(rapid.Uint64().Draw(t, "seed"), "draws"))
	const n = 300
	rules := DefaultRules()
	rules.RestYears = rapid.IntRange(0, 3).Draw(t, "rest")
	rules.StormChance, rules.StormSurvival = num("storms", 0, 0.5), num("survival", 0.3, 1)
	rules.ReplacementProbability = num("replacement", 0.2, 0.8)
	return Stand{R: lognormals(rng, n, num("r", 0.05, 2), num("sd r", 0, 0.6)),
		K: lognormals(rng, n, 1000, num("sd k", 0, 0.4)), B: lognormals(rng, n, num("b", 50, 1200), num("sd b", 0, 0.5)),
		Sigma: repeated(n, num("sigma", 0, 0.4)), Exploitable: num("share", 0, 1),
		SurveyCV:   rapid.SampledFrom([]float64{0, 0.1, 0.6}).Draw(t, "cv"),
		LogRShrink: num("shrink", 0, 1), Seed: 3, Stream: "any"}, rules
}

func TestAdviceHolds(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s, rules := anyStand(t)
		a := Advise(s, rules)
		limit := min(a.CapKg, a.ReplacementKg, a.RiskKg)
		if !(a.AdvisedKg >= 0 && a.AdvisedKg <= limit*a.LowStock*(1+1e-9)) {
			t.Fatalf("advised %g kg of %g at %g", a.AdvisedKg, limit, a.LowStock)
		}
		if a.AdvisedKg > 0 && a.Risk > rules.Risk {
			t.Fatalf("%g kg at a risk of %g", a.AdvisedKg, a.Risk)
		}
	})
}

func TestAdviceMovesTheRightWay(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s, rules := anyStand(t)
		a := Advise(s, rules)
		atMost := func(what string, less, more float64) {
			if less > more*(1+1e-9)+1e-9 {
				t.Fatalf("%s: %g > %g", what, less, more)
			}
		}
		looser := rules
		looser.Risk += 0.05
		atMost("risk allowed", a.RiskKg, Advise(s, looser).RiskKg)
		stormy := rules
		stormy.StormChance += 0.1
		b := Advise(s, stormy)
		atMost("storms on risk", b.RiskKg, a.RiskKg)
		longer := rules
		longer.Horizon += 5
		atMost("horizon on risk", Advise(s, longer).RiskKg, a.RiskKg)
		fast := s
		fast.R = make([]float64, len(s.R))
		for i, r := range s.R {
			fast.R[i] = 1.2 * r
		}
		atMost("growth on risk", a.RiskKg, Advise(fast, rules).RiskKg)
		atMost("growth on the cap", a.CapKg, Advise(fast, rules).CapKg)
	})
}

// In another unit of weight the advice is the same: 1024 kg, so that dividing is exact and every count agrees.
func TestAdviceInAnotherUnit(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s, rules := anyStand(t)
		tonnes := s
		tonnes.K, tonnes.B = make([]float64, len(s.K)), make([]float64, len(s.B))
		for i := range s.K {
			tonnes.K[i], tonnes.B[i] = s.K[i]/1024, s.B[i]/1024
		}
		a, b := Advise(s, rules), Advise(tonnes, rules)
		for name, x := range map[string][2]float64{"cap": {a.CapKg, b.CapKg}, "risk": {a.RiskKg, b.RiskKg},
			"replacement": {a.ReplacementKg, b.ReplacementKg}, "quantile": {a.ExploitableQ, b.ExploitableQ}} {
			if math.Abs(x[0]/1024-x[1]) > 1e-12*x[0] {
				t.Fatalf("%s: %g kg, %g units of 1024 kg", name, x[0], x[1])
			}
		}
		if a.LimitedBy != b.LimitedBy || a.LowStock != b.LowStock {
			t.Fatalf("%s at %g, %s at %g", a.LimitedBy, a.LowStock, b.LimitedBy, b.LowStock)
		}
	})
}

// However much the draws hold, what was measured bounds the cap and the advice.
func TestSurveyBoundsTheAdvice(t *testing.T) {
	s, rules := someStand(2000), DefaultRules()
	free := Advise(s, rules)
	s.SurveyQ = free.ExploitableQ / s.Exploitable / 4
	a := Advise(s, rules)
	approx(t, "a quarter of the cap", a.CapKg, free.CapKg/4, 1e-12, 0)
	assert.LessOrEqual(t, a.AdvisedKg, free.CapKg/4)
	s.SurveyQ = 10 * free.ExploitableQ / s.Exploitable
	assert.Equal(t, free, Advise(s, rules), "a survey above the draws changes nothing")
}
