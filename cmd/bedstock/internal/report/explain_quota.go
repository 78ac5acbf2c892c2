package report

import (
	"fmt"
	"math"
	"strings"

	"bedstock/cmd/bedstock/internal/table"
	"bedstock/model"
	"bedstock/model/offtake"
)

// Step is one number that an offtake is made of: the formula in words and with the numbers as they are printed.
type Step struct {
	Step, Item string
	Value      float64
	Unit       string
	How        string
}

// ShownDigits are the significant digits of a step as people read it; what is worked out again from them agrees to a
// thousandth.
const ShownDigits = 5

func shownStep(v float64) string {
	text := table.Number(v, ShownDigits).String()
	if strings.Contains(text, ".") {
		text = strings.TrimRight(strings.TrimRight(text, "0"), ".")
	}
	return text
}

// stepper gathers the steps of one stand; numbers that play no part are left out.
type stepper struct {
	steps []Step
	step  string
}

func (x *stepper) add(item string, v float64, unit, how string, numbers ...any) {
	if math.IsNaN(v) || math.IsInf(v, 0) {
		return
	}
	for i, n := range numbers {
		if f, ok := n.(float64); ok {
			numbers[i] = shownStep(f)
		}
	}
	x.steps = append(x.steps, Step{x.step, item, v, unit, fmt.Sprintf(how, numbers...)})
}

// StepsOf are the steps of the advice of a stand, in the order in which they are taken; nil with the reason where it has
// none.
func StepsOf(a *model.Assessment, u *model.Unit) ([]Step, string) {
	if u.Basis == nil || u.Status == model.NotAssessed {
		return nil, u.Reason
	}
	r := a.Rules.OfftakeOf(u.Pair)
	e := offtake.Explain(u.Basis.Stand, r)
	x := &stepper{}
	x.stock(u, e, r)
	x.cap(e, r)
	x.replacement(e, r)
	x.risk(e, r)
	x.year(e, r)
	if y := u.Basis.Year; y.LimitedBy == offtake.ByOldSurvey {
		x.add("held at", y.AdvisedKg, "kg a year", "what the survey of %s advised when it was new: an old survey never advises more", u.Basis.Stock.Date)
	}
	x.seasons(u)
	return x.steps, ""
}

func (x *stepper) stock(u *model.Unit, e offtake.Steps, r offtake.Rules) {
	x.step = "stock"
	k := u.Basis.Stock.Kg
	x.add("surveyed", k.Value, "kg", "survey of %s, standard error %v kg", u.Basis.Stock.Date, k.SE)
	x.add("expected", e.B, "kg", "median of %v draws, as the season of %s opens", e.Draws, u.Basis.Open)
	x.add("lower figure, model", e.DrawsQ, "kg", "the %v quantile of these draws (stock_quantile)", r.StockQuantile)
	x.add("lower figure, survey", e.SurveyQ, "kg", "the %v quantile of the survey alone, as the season opens", r.StockQuantile)
	x.add("long enough", e.Exploitable, "share", "of the stock, by min_length_cm and leave_cm")
	low := e.DrawsQ
	if e.SurveyQ < low {
		low = e.SurveyQ
	}
	x.add("to be shared out", e.ExploitableQ, "kg", "the smaller lower figure times the share: %v x %v", low, e.Exploitable)
}

func (x *stepper) cap(e offtake.Steps, r offtake.Rules) {
	x.step = "cap"
	x.add("of the rules", e.RuleFraction, "fraction", "max_fraction")
	x.add("of the species", e.SpeciesFraction, "fraction", "max_fraction in species.csv")
	from := r.WeakSpread - r.WeakRamp
	what := "at most %v, weak_spread - weak_ramp: the surveys say enough of r"
	switch {
	case e.Weakness == 1:
		what, from = "above weak_spread %v, or an annual: the weak cap holds", r.WeakSpread
	case e.Weakness > 0:
		what = "above %v, weak_spread - weak_ramp: the weak cap comes in"
	}
	x.add("how little is known", e.Shrink, "ratio", "spread of log r after the surveys over before; "+what, from)
	x.add("slow r (r10)", e.R10, "per year", "the 0.1 quantile of r")
	x.add("best of a slow stand", e.SlowFraction, "fraction", "1 - e^(-r10/2), r10 = %v", e.R10)
	x.add("weak cap", e.WeakFraction, "fraction", "weak_fraction")
	if e.Weakness > 0 && e.Weakness < 1 {
		x.add("weight of the weak cap", e.Weakness, "share", "(%v - %v)/weak_ramp %v", e.Shrink, from, r.WeakRamp)
		x.add("fraction", e.CapFraction, "fraction", "from the smallest of the fractions without the weak cap that share of the way to the smallest of all")
	} else {
		x.add("fraction", e.CapFraction, "fraction", "the smallest of these fractions")
	}
	x.add("cap", e.CapKg, "kg a year", "%v x %v", e.CapFraction, e.ExploitableQ)
}

func (x *stepper) replacement(e offtake.Steps, r offtake.Rules) {
	if math.IsNaN(e.ReplacementKg) {
		return
	}
	x.step = "replacement"
	x.add("r", e.R, "per year", "median")
	x.add("K", e.K, "kg", "median: what the bed holds when full")
	x.add("left by storms", e.Storms, "share", "s = storm_survival^(storm_chance T) = %v^(%v x %v), T = %v years from cut to cut", r.StormSurvival, r.StormChance, e.Period, e.Period)
	x.add("best stock of the medians", e.BestAtMedians, "kg", "K (sqrt(G) - 1)/(e^(rT) - 1) sqrt(G), G = s e^(rT), with r = %v, K = %v, s = %v", e.R, e.K, e.Storms)
	x.add("best stock", e.Best, "kg", "the same in every draw, then the median")
	x.add("at it or above", e.PAtBest, "share", "of the draws")
	x.add("mark", e.Mark, "kg", "where the stand should be at the next cut: the best stock if it is there, else %v of the way to it (T over rebuild_years), median",
		math.Min(e.Period/math.Max(r.RebuildYears, e.Period), 1))
	x.add("replacement", e.ReplacementKg, "kg a year", "the largest cut after which the share %v of the draws come to their mark", r.ReplacementProbability)
}

func (x *stepper) risk(e offtake.Steps, r offtake.Rules) {
	if math.IsNaN(e.RiskKg) {
		return
	}
	x.step = "risk"
	x.add("fraction", e.RiskFraction, "fraction", "the largest, in steps of 1/%v, that keeps the risk of every one of %v years within %v", math.Round(1/e.RiskStep), r.Horizon, r.Risk)
	x.add("risk at it", e.RiskFound, "probability", "share of %v draws below %v K in the worst year", e.Draws, r.LimitOfK)
	x.add("risk one step above", e.RiskAbove, "probability", "the same, at the next larger fraction")
	x.add("risk limit", e.RiskKg, "kg a year", "%v x %v", e.RiskFraction, e.ExploitableQ)
}

func (x *stepper) year(e offtake.Steps, r offtake.Rules) {
	x.step = "low stock"
	x.add("stock over K", e.OfK, "share", "median")
	x.add("below the limit", e.PBelow, "share", "of the draws, limit_of_k = %v", r.LimitOfK)
	x.add("at the trigger or above", e.PTrigger, "share", "of the draws, trigger_of_k = %v", r.TriggerOfK)
	x.add("factor", e.LowStock, "factor", "mean over the draws of (stock over K - %v)/(%v - %v), at least 0 and at most 1", r.LimitOfK, r.TriggerOfK, r.LimitOfK)
	x.step = "year"
	x.add("smallest limit", e.Smallest, "kg a year", "of cap, replacement and risk limit")
	x.add("reduced", e.Reduced, "kg a year", "%v x %v", e.Smallest, e.LowStock)
	x.add("advised", e.AdvisedKg, "kg a year", "rounded down to %v digits, those that the number of draws allows; limited by %v", e.Digits, e.LimitedBy)
}

func (x *stepper) seasons(u *model.Unit) {
	for _, s := range u.Seasons {
		x.step = "season " + s.Name
		if s.Year == nil {
			continue
		}
		if y := s.Year; y.AdvisedKg != u.Basis.Year.AdvisedKg {
			x.add("advised for its year", y.AdvisedKg, "kg a year", "from the survey of %s, worked out as above", s.Survey)
		}
		x.add("cap as it opens", s.CapKg, "kg a year", "%v x the lower figure of the exploitable stock expected on %s", s.Year.CapFraction, s.From)
		x.add("cut beyond before", s.OffKg, "kg", "what earlier seasons took beyond their part")
		part := math.Min(s.Year.AdvisedKg, s.CapKg)
		if s.Status != model.Assessed {
			x.add("advised", s.AdvisedKg, "kg", "%v: %v; the share %v of %v kg would hold if it were open; from %v to %v", s.Status, s.Reason, s.Share, part, s.From, s.To)
			continue
		}
		x.add("advised", s.AdvisedKg, "kg", "%v x %v - %v, rounded down to the year's %v digits; from %v to %v", s.Share, part, s.OffKg, s.Year.Digits, s.From, s.To)
	}
}

// StepsBy finds the steps to something of a stand, or the reason why there are none: [StepsOf], [GrowthStepsOf].
type StepsBy func(a *model.Assessment, u *model.Unit) ([]Step, string)

// StepTable is a row a number that something is made of, in full.
func StepTable(a *model.Assessment, units []*model.Unit, of StepsBy) table.Table {
	t := table.Table{Columns: columns("bed", "species", "step", "item", "value", "unit", "how")}
	for _, u := range units {
		steps, reason := of(a, u)
		if len(steps) == 0 {
			t.Add(table.Text(u.Bed), table.Text(u.Species), table.Text(string(model.NotAssessed)), table.Missing, table.Missing, table.Missing, table.Text(reason))
		}
		for _, s := range steps {
			t.Add(table.Text(u.Bed), table.Text(u.Species), table.Text(s.Step), table.Text(s.Item), table.Number(s.Value, 0), table.Text(s.Unit), table.Text(s.How))
		}
	}
	return t
}
