package offtake

import (
	"fmt"
	"math"
)

// Validate tells what is wrong with rules, or nil.
func (r Rules) Validate() error {
	for _, c := range []struct {
		ok  bool
		say string
	}{
		{r.Horizon >= 1 && r.Horizon <= 200, "horizon_years must be from 1 to 200"},
		{r.LimitOfK > 0 && r.LimitOfK < 1, "limit_of_k must be between 0 and 1"},
		{r.TriggerOfK >= r.LimitOfK && r.TriggerOfK <= 1, "trigger_of_k must be from limit_of_k to 1"},
		{r.Risk > 0 && r.Risk < 1, "risk must be between 0 and 1"},
		{r.MaxFraction >= 0 && r.MaxFraction <= 1, "max_fraction must be from 0 to 1"},
		{r.StockQuantile > 0 && r.StockQuantile < 1, "stock_quantile must be between 0 and 1"},
		{r.ReplacementProbability > 0 && r.ReplacementProbability < 1,
			"replacement_probability must be between 0 and 1"},
		{r.RebuildYears >= 0 && !math.IsInf(r.RebuildYears, 0), "rebuild_years must be 0 or more"},
		{r.WeakFraction >= 0 && r.WeakFraction <= 1, "weak_fraction must be from 0 to 1"},
		{r.WeakSpread >= 0 && r.WeakSpread <= 1, "weak_spread must be from 0 to 1"},
		{r.WeakRamp >= 0 && r.WeakRamp <= 1, "weak_ramp must be from 0 to 1"},
		{r.Level > 0 && r.Level < 1, "the level of intervals must be between 0 and 1"},
		{r.RestYears >= 0, "rest_years must be 0 or more"},
		{r.RestYears < r.Horizon, "rest_years must be less than horizon_years"},
		{r.StormChance >= 0 && r.StormChance <= 1, "storm_chance must be from 0 to 1"},
		{r.StormSurvival > 0 && r.StormSurvival <= 1, "storm_survival must be above 0 and at most 1"},
	} {
		if !c.ok {
			return fmt.Errorf("%s", c.say)
		}
	}
	return nil
}

// mustFit panics unless stand and rules can be worked with: the draws of a stand come from a fit that has been looked
// at, and rules have been validated, so that anything else is a bug of the caller.
func mustFit(s Stand, rules Rules) {
	if err := rules.Validate(); err != nil {
		panic("offtake: " + err.Error())
	}
	n := len(s.B)
	if n == 0 || len(s.R) != n || len(s.K) != n || len(s.Sigma) != n {
		panic(fmt.Sprintf("offtake: %d, %d, %d and %d draws of R, K, B and Sigma: they must be as many, and not none",
			len(s.R), len(s.K), n, len(s.Sigma)))
	}
	for i := range n {
		if !(natural(s.R[i]) && natural(s.K[i]) && s.K[i] > 0 && natural(s.B[i]) && natural(s.Sigma[i])) {
			panic(fmt.Sprintf("offtake: draw %d is r %g, K %g, B %g, sigma %g", i, s.R[i], s.K[i], s.B[i], s.Sigma[i]))
		}
	}
	if !(s.Exploitable >= 0 && s.Exploitable <= 1 && natural(s.SurveyCV) && s.MaxFraction >= 0 && s.MaxFraction <= 1) {
		panic(fmt.Sprintf("offtake: share %g, survey CV %g, fraction %g", s.Exploitable, s.SurveyCV, s.MaxFraction))
	}
}

// natural is a finite number from 0 on.
func natural(x float64) bool { return x >= 0 && !math.IsInf(x, 1) }
