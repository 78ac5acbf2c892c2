package offtake

import (
	"fmt"
	"math"
	"slices"
	"strconv"
)

// Advise is the largest offtake of the year that every limit of the rules allows.
//
//	advised = min(cap, replacement, risk) * low stock, rounded down
//
// cap is a fraction of the stock_quantile of the exploitable stock. Replacement is the largest cut after which the
// stand, when it is next to be cut, is with replacement_probability at its stock for most yield, or on the way to it.
// Risk is the largest fraction, cut every time over the horizon, with which in no year more than the share risk of the
// draws is below limit_of_k of their own K, times that quantile; the first cut takes these kg whatever the draw holds,
// later ones that fraction of what a survey with its error finds. Low stock falls from 1 at the trigger to 0 at the
// limit.
//
// An annual's stock next year does not follow from what is left, so that only cap and low stock hold for it. A number
// that is not to be had is NaN. Same stand, rules and seed give the same advice. Advise panics on a stand or rules that
// cannot be worked with; see [Rules.Validate].
//
// References:
//   - Wade, P. R.: Calculating limits to the allowable human-caused mortality of cetaceans and pinnipeds. Marine
//     Mammal Science 14 (1998), for the quantile
//   - ICES Advice 2022, special request on harvest control rules, 10.17895/ices.advice.18686924, for the yearly risk
func Advise(s Stand, rules Rules) Advice {
	a, f := AdviseFrom(s, rules)
	f.Free()
	return a
}

// AdviseFrom is [Advise] with the futures that the advice was made from, of which more may be asked.
func AdviseFrom(s Stand, rules Rules) (Advice, *Futures) {
	mustFit(s, rules)
	a, p := assess(s, rules)
	a.look(s, p)
	return a, &Futures{s: s, rules: rules, p: p}
}

// WhatIf is the advice with another take in place of the advised one: the limits are those of [Advise], risk and next
// stock those of cutting kg this year and the same fraction at every later cut. LimitedBy is empty; what of the limits
// the take is above is among the warnings. It panics also on a negative or infinite take.
func WhatIf(s Stand, rules Rules, kg float64) Advice {
	mustFit(s, rules)
	if !natural(kg) {
		panic(fmt.Sprintf("offtake: a take of %g kg", kg))
	}
	a, p := assess(s, rules)
	defer p.free()
	a.AdvisedKg, a.LimitedBy = kg, ""
	for _, l := range a.limits() {
		if kg > l.kg {
			a.warn("%s kg are more than the limit by %s, %s kg", plain(kg), l.name, plain(l.kg))
		}
	}
	if low := a.LowStock; low < lowStockBinds {
		a.warn("the stock is low: the limits hold at %.0f %% of what stands here", 100*low)
	}
	a.look(s, p)
	return a
}

// RiskOf is the Risk of [WhatIf] alone: the limits are not worked out for it. NaN for an annual.
func RiskOf(s Stand, rules Rules, kg float64) float64 {
	mustFit(s, rules)
	if !natural(kg) {
		panic(fmt.Sprintf("offtake: a take of %g kg", kg))
	}
	if s.Annual {
		return math.NaN()
	}
	a := Advice{AdvisedKg: kg, ExploitableQ: s.exploitableQ(rules)}
	p := newPaths(s, rules)
	defer p.free()
	risk, _ := probability(slices.Max(p.below(kg, a.TakenFraction())), p.n)
	return risk
}

// plain writes a weight with three digits and without powers of ten.
func plain(kg float64) string {
	if kg >= 100 {
		return strconv.FormatFloat(kg, 'f', 0, 64)
	}
	return strconv.FormatFloat(kg, 'g', 3, 64)
}

// assess works out the limits and the advised take; the paths are nil for an annual.
func assess(s Stand, rules Rules) (Advice, *paths) {
	nan := math.NaN()
	a := Advice{ReplacementKg: nan, RiskKg: nan, RiskFraction: nan, Risk: nan, RiskSE: nan, RiskEver: nan,
		NextMedian: nan, NextLo: nan, NextHi: nan, YieldPerYear: nan}
	a.CapFraction, a.Weakness = capFraction(s, rules)
	a.ExploitableQ = s.exploitableQ(rules)
	a.CapKg = a.CapFraction * a.ExploitableQ
	a.LowStock, a.RiskNow = lowStock(s, rules), belowNow(s, rules)
	a.warnOfStand(s)
	stockSE := ofCopy(s.B, func(x []float64) float64 { return quantileSE(x, rules.StockQuantile) })
	rel := [...]float64{s.wider() * s.Exploitable * stockSE / a.ExploitableQ, 0, 0}
	if se := capFractionSE(s, rules); se > 0 {
		rel[0] = math.Hypot(rel[0], se/a.CapFraction)
	}
	var p *paths
	if !s.Annual {
		p = newPaths(s, rules)
		rel[1] = a.replacement(s, rules, p)
		rel[2] = a.risk(rules, p)
	}
	least, which := a.CapKg, 0
	a.LimitedBy = ByCap
	for j, l := range a.limits() {
		if l.kg < least {
			least, which, a.LimitedBy = l.kg, j, l.name
		}
	}
	if a.LowStock < lowStockBinds && least > 0 {
		a.LimitedBy = ByLowStock
	}
	a.Digits = digits(rel[which])
	a.AdvisedKg = roundDown(least*a.LowStock, a.Digits)
	if a.AdvisedKg > 0 && rel[which] > roughly {
		a.warn("the number of draws leaves the offtake uncertain by %.0f %%: ask for more with --draws", 100*rel[which])
	}
	return a, p
}

// lowStockBinds is the factor from which low stock is no longer named: where it takes less than a tenth off, the limit
// that it takes it off is what limits the offtake. The factor itself always holds.
const lowStockBinds = 0.9

// roughly is the relative Monte Carlo standard error from which it is said.
const roughly = 0.1

// digits that a relative standard error allows.
func digits(rel float64) int {
	if rel <= 0.05 {
		return 3
	}
	return 2
}

type namedLimit struct {
	name Limit
	kg   float64
}

// limits in the order in which they are named when equal.
func (a *Advice) limits() []namedLimit {
	return []namedLimit{{ByCap, a.CapKg}, {ByReplacement, a.ReplacementKg}, {ByRisk, a.RiskKg}}
}

// replacement sets the limit by replacement and gives its relative Monte Carlo standard error.
func (a *Advice) replacement(s Stand, rules Rules, p *paths) (rel float64) {
	cuts := p.spare(s, rules)
	kg := atLeast(cuts, rules.ReplacementProbability)
	if kg > 0 {
		a.ReplacementKg = kg
		return p.wider * quantileSE(cuts, 1-rules.ReplacementProbability) / kg
	}
	a.ReplacementKg = 0
	a.warn("even if nothing is cut, the stock is not where it should be at the next cut with probability %g",
		rules.ReplacementProbability)
	return 0
}

// risk sets the limit by risk and gives its relative Monte Carlo standard error.
func (a *Advice) risk(rules Rules, p *paths) (rel float64) {
	h, ok := p.largestFraction(a.ExploitableQ, rules.Risk)
	a.RiskFraction = h
	a.RiskKg = h * a.ExploitableQ
	if !ok {
		a.warn("even if nothing is cut, the risk of being below %g of K is above %g in some year, so nothing should be cut",
			rules.LimitOfK, rules.Risk)
		return 0
	}
	if h == 1 || a.RiskKg == 0 {
		return 0
	}
	return p.fractionSE(a.ExploitableQ, h, rules.Risk)
}

// look sets what follows from the take.
func (a *Advice) look(s Stand, p *paths) {
	if median := Quantile(s.B, 0.5); median > 0 {
		a.Fraction = a.AdvisedKg / median
	}
	if p == nil {
		return
	}
	o := p.look(a.AdvisedKg, a.TakenFraction())
	a.Risk, a.RiskSE, a.RiskEver = o.risk, o.se, o.ever
	a.NextMedian, a.NextLo, a.NextHi = o.stockNext(p.level)
	a.YieldPerYear = o.yield()
}

// TakenFraction is the fraction of the exploitable stock that the take amounts to, at most 1: what the later cuts are
// supposed to take when its risk is told. NaN where there is no advice.
func (a *Advice) TakenFraction() float64 {
	if a.AdvisedKg == 0 {
		return 0
	}
	return min(a.AdvisedKg/a.ExploitableQ, 1)
}

func (a *Advice) warn(format string, args ...any) {
	a.Warnings = append(a.Warnings, fmt.Sprintf(format, args...))
}

// Weak tells whether the data say so little of r, or the species is annual, that the cap is lower for it.
func (a *Advice) Weak() bool { return a.Weakness > 0 }

// fewDraws is the number of draws under which a risk of 5 % is known to no better than 0.7 %.
const fewDraws = 1000

func (a *Advice) warnOfStand(s Stand) {
	switch {
	case s.Annual:
		a.warn("annual species: next year's stock does not follow from what is left, so that replacement and risk are " +
			"not assessed and the cap for little known species holds")
	case a.Weakness == 1:
		a.warn("the data say little of how fast this species regrows here: the cap for little known species holds")
	case a.Weak():
		a.warn("the data say not much of how fast this species regrows here: the cap lies %.0f %% of the way down to that for little known species", 100*a.Weakness)
	}
	if s.Exploitable == 0 {
		a.warn("nothing of the stock is long enough to be cut")
	}
	if len(s.B) < fewDraws {
		a.warn("only %d draws: the risk is roughly known; 4000 are enough", len(s.B))
	}
}
