package offtake

import (
	"math"
	"slices"

	"bedstock/model/internal/quantile"
)

// Steps are the numbers an advice is made of, for a reader who wants to work it out again. A number that plays no part is
// NaN.
type Steps struct {
	Draws int

	DrawsQ       float64 // stock_quantile of the draws of the stock, kg
	SurveyQ      float64 // that of the survey itself, kg; NaN: the survey has no standard error
	Exploitable  float64 // share long enough to cut
	ExploitableQ float64 // the smaller of the two, times that share, kg

	RuleFraction    float64
	SpeciesFraction float64 // NaN: the species has none
	Shrink          float64 // sd of log r over that of the species table; NaN: not known
	Weakness        float64 // how far the weak cap holds, 0 to 1
	R10             float64 // 10 % quantile of r; NaN unless Weakness is above 0
	SlowFraction    float64 // 1 - e^(-r10/2); NaN unless Weakness is above 0
	WeakFraction    float64 // NaN unless Weakness is above 0
	CapFraction     float64
	CapKg           float64

	R, K, B       float64 // medians: per year, kg, kg
	Period        float64 // years from a cut to the next
	Storms        float64 // s, the share that storms leave over the period on average
	Best          float64 // B*, median over the draws, kg
	BestAtMedians float64 // B* of the median r and K, kg
	PAtBest       float64 // share of the draws at or above their B*
	Mark          float64 // m, where the stand should be at the next cut, median over the draws, kg
	ReplacementKg float64

	RiskFraction float64
	RiskKg       float64
	RiskFound    float64 // highest yearly probability of being below the limit at RiskFraction
	RiskAbove    float64 // and at the next larger fraction that is tried
	RiskStep     float64 // between the fractions that are tried

	OfK      float64 // stock over K, median
	PBelow   float64 // share of the draws below the limit today
	PTrigger float64 // share at or above the trigger
	LowStock float64 // factor

	Smallest  float64 // of the limits, kg
	Reduced   float64 // times low stock, kg
	Digits    int
	AdvisedKg float64
	LimitedBy Limit
}

// Explain gives the steps of [Advise] for the same stand and rules; it panics as that does.
func Explain(s Stand, rules Rules) Steps {
	mustFit(s, rules)
	a, p := assess(s, rules)
	defer p.free()
	nan := math.NaN()
	x := Steps{Draws: len(s.B), SurveyQ: nan, Exploitable: s.Exploitable, ExploitableQ: a.ExploitableQ, RuleFraction: rules.MaxFraction,
		SpeciesFraction: nan, Shrink: s.LogRShrink, Weakness: a.Weakness, R10: nan, SlowFraction: nan, WeakFraction: nan, CapFraction: a.CapFraction,
		CapKg: a.CapKg, Period: float64(rules.RestYears + 1), ReplacementKg: a.ReplacementKg, RiskFraction: a.RiskFraction, RiskKg: a.RiskKg,
		Best: nan, BestAtMedians: nan, PAtBest: nan, Mark: nan, RiskFound: nan, RiskAbove: nan, RiskStep: 1. / steps,
		LowStock: a.LowStock, Digits: a.Digits, AdvisedKg: a.AdvisedKg, LimitedBy: a.LimitedBy}
	median := func(x []float64) float64 { return Quantile(x, 0.5) }
	x.R, x.K, x.B = median(s.R), median(s.K), median(s.B)
	x.DrawsQ = Quantile(s.B, rules.StockQuantile)
	if s.SurveyQ > 0 {
		x.SurveyQ = s.SurveyQ
	}
	if s.MaxFraction > 0 {
		x.SpeciesFraction = s.MaxFraction
	}
	if a.Weakness > 0 {
		x.R10 = Quantile(s.R, 0.1)
		x.SlowFraction, x.WeakFraction = -math.Expm1(-x.R10/2), rules.WeakFraction
	}
	x.Storms = StormFactor(rules.StormChance, rules.StormSurvival, x.Period)
	if p != nil {
		x.replacement(s, rules, p)
		x.risk(a, p)
	}
	x.lowStock(s, rules)
	x.Smallest = math.Inf(1)
	for _, l := range a.limits() {
		if l.kg < x.Smallest {
			x.Smallest = l.kg
		}
	}
	x.Reduced = x.Smallest * x.LowStock
	return x
}

func (x *Steps) replacement(s Stand, rules Rules, p *paths) {
	best, marks, at := make([]float64, p.n), make([]float64, p.n), 0
	for i, b := range s.B {
		best[i] = Pulse(s.R[i], s.K[i], x.Period, x.Storms).Best
		marks[i] = mark(b, best[i], x.Period, rules.RebuildYears)
		if b >= best[i] {
			at++
		}
	}
	x.PAtBest, _ = probability(at, p.n)
	x.Best, x.Mark = quantile.Of(best, 0.5), quantile.Of(marks, 0.5)
	x.BestAtMedians = Pulse(x.R, x.K, x.Period, x.Storms).Best
}

func (x *Steps) risk(a Advice, p *paths) {
	at := func(h float64) float64 {
		r, _ := probability(slices.Max(p.below(h*a.ExploitableQ, h)), p.n)
		return r
	}
	x.RiskFound = at(x.RiskFraction)
	if h := x.RiskFraction + x.RiskStep; h <= 1 {
		x.RiskAbove = at(h)
	}
}

func (x *Steps) lowStock(s Stand, rules Rules) {
	ofK, below, trigger := make([]float64, len(s.B)), 0, 0
	for i, b := range s.B {
		ofK[i] = b / s.K[i]
		if ofK[i] < rules.LimitOfK {
			below++
		}
		if ofK[i] >= rules.TriggerOfK {
			trigger++
		}
	}
	x.PBelow, _ = probability(below, len(s.B))
	x.PTrigger, _ = probability(trigger, len(s.B))
	x.OfK = quantile.Of(ofK, 0.5)
}
