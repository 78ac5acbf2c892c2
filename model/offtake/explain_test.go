package offtake

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"pgregory.net/rapid"
)

// The steps lead to the advice: each is the one before it worked out again.
func TestStepsLeadToTheAdvice(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s, rules := anyStand(t)
		s.Annual = rapid.Bool().Draw(t, "annual")
		s.SurveyQ = rapid.SampledFrom([]float64{0, 100, 1e6}).Draw(t, "survey")
		x, a := Explain(s, rules), Advise(s, rules)
		same := func(what string, got, want float64) {
			if math.Abs(got-want) > 1e-12*math.Abs(want) {
				t.Fatalf("%s: %g, advice has %g", what, got, want)
			}
		}
		q := x.DrawsQ
		if !math.IsNaN(x.SurveyQ) {
			q = min(q, x.SurveyQ)
		}
		same("quantile", q*x.Exploitable, a.ExploitableQ)
		f := x.RuleFraction
		if !math.IsNaN(x.SpeciesFraction) {
			f = math.Min(f, x.SpeciesFraction)
		}
		if x.Weakness > 0 {
			f = (1-x.Weakness)*f + x.Weakness*math.Min(f, math.Min(x.SlowFraction, x.WeakFraction))
		}
		same("fraction", f, a.CapFraction)
		least := f * x.ExploitableQ
		if !s.Annual {
			same("risk limit", x.RiskFraction*x.ExploitableQ, a.RiskKg)
			least = min(least, x.ReplacementKg, x.RiskKg)
			if x.RiskFraction > 0 && !(x.RiskFound <= rules.Risk) || x.RiskAbove <= rules.Risk {
				t.Fatalf("risk %g at %g, %g above it", x.RiskFound, x.RiskFraction, x.RiskAbove)
			}
		}
		same("smallest", x.Smallest, least)
		same("rounded", roundDown(least*x.LowStock, x.Digits), a.AdvisedKg)
	})
}

// What nothing is uncertain about is what the formulas say.
func TestStepsOfASureStand(t *testing.T) {
	s, rules := sureStand(5, 0.5, 1000, 300)
	x := Explain(s, rules)
	ref := Pulse(0.5, 1000, 1, 1)
	approx(t, "B*", x.Best, ref.Best, 1e-12, 0)
	approx(t, "of medians", x.BestAtMedians, ref.Best, 1e-12, 0)
	approx(t, "mark", x.Mark, 300+(ref.Best-300)/10, 1e-12, 0)
	approx(t, "stock over K", x.OfK, 0.3, 1e-12, 0)
	assert.Zero(t, x.PAtBest)
	assert.Zero(t, x.PBelow)
	assert.Zero(t, x.PTrigger)
	assert.True(t, math.IsNaN(x.R10), "no part in it")
}
