package model

import (
	"fmt"
	"math"
	"slices"

	"bedstock/model/offtake"
)

// Tried is what cutting a stand in some way, every year, comes to.
type Tried struct {
	Pair
	What    string         // [TriedAdvice], [TriedTake] or [TriedFraction]
	Value   float64        // what was asked for: kg a year or a fraction of the exploitable stock; NaN for the advice
	Year    offtake.Advice // limits and outlook; its AdvisedKg is what is cut
	Share   float64        // of the stock_quantile of the exploitable stock that the take is
	StockKg float64        // median stock as the season opens
	Above   []offtake.Limit
	Low     bool // more than low stock leaves of the smallest limit
	Status  Status
	Reason  string
}

// What is tried.
const (
	TriedAdvice   = "advice"
	TriedTake     = "take"
	TriedFraction = "fraction"
)

// TryAdvice is what following the advice of a stand comes to; where it is closed or rests, what no cut does.
func (a *Assessment) TryAdvice(u *Unit) Tried {
	t, ok := a.tried(u, TriedAdvice, math.NaN())
	if !ok {
		return t
	}
	t.Year = u.Basis.Year
	switch u.Status {
	case Closed:
		t.Year = offtake.NoCut(u.Basis.Stand, a.Rules.OfftakeOf(u.Pair), offtake.ByClosed, u.Reason)
	case Resting:
		t.Year = offtake.NoCut(u.Basis.Stand, a.Rules.OfftakeOf(u.Pair), offtake.ByRest, u.Reason)
	}
	t.compare()
	return t
}

// TryKg is what cutting so many kg this year, and the same share of what a survey finds at every later cut, comes to.
func (a *Assessment) TryKg(u *Unit, kg float64) Tried {
	t, ok := a.tried(u, TriedTake, kg)
	if ok {
		t.Year = offtake.WhatIf(u.Basis.Stand, a.Rules.OfftakeOf(u.Pair), kg)
		t.compare()
	}
	return t
}

// TryFraction is what cutting a fraction, 0-1, of the exploitable stock at this and every later cut comes to; this year
// it is that of the lower figure of the stock that the rules take.
func (a *Assessment) TryFraction(u *Unit, fraction float64) Tried {
	t, ok := a.tried(u, TriedFraction, fraction)
	if ok {
		t.Year = offtake.WhatIf(u.Basis.Stand, a.Rules.OfftakeOf(u.Pair), fraction*u.Basis.Year.ExploitableQ)
		t.compare()
	}
	return t
}

// tried begins a try; ok is false where the stand is not assessed.
func (a *Assessment) tried(u *Unit, what string, value float64) (t Tried, ok bool) {
	t = Tried{Pair: u.Pair, What: what, Value: value, Share: math.NaN(), StockKg: math.NaN(), Status: u.Status, Reason: u.Reason}
	if u.Basis == nil || u.Status == NotAssessed {
		t.Status, t.Year = NotAssessed, offtake.NotAssessed(u.Reason)
		return t, false
	}
	t.StockKg = offtake.Quantile(u.Basis.Stand.B, 0.5)
	return t, true
}

// compare sets the take against the limits.
func (t *Tried) compare() {
	y := t.Year
	t.Share = y.AdvisedKg / y.ExploitableQ
	if y.AdvisedKg == 0 {
		t.Share = 0
	}
	least := math.Inf(1)
	for _, l := range []struct {
		name offtake.Limit
		kg   float64
	}{{offtake.ByCap, y.CapKg}, {offtake.ByReplacement, y.ReplacementKg}, {offtake.ByRisk, y.RiskKg}} {
		if math.IsNaN(l.kg) {
			continue
		}
		least = math.Min(least, l.kg)
		if y.AdvisedKg > l.kg*(1+1e-9) {
			t.Above = append(t.Above, l.name)
		}
	}
	t.Low = len(t.Above) == 0 && y.AdvisedKg > least*y.LowStock*(1+1e-9)
}

// usualThird is the usual fraction that the advice is set against.
const usualThird = 1. / 3

// Prospect is the coming years of a stand under one way of cutting it.
type Prospect struct {
	Plan     string  // [NoCut], [AsAdvised] or [AThird]
	Kg       float64 // cut first
	Fraction float64 // of the exploitable stock, at every later cut
	Years    []offtake.AheadYear
	Yearly   float64 // kg a year over the horizon, median
}

// Spared says what is meant by no cut where some of the year's is cut already; empty for all else.
func (p Prospect) Spared() string {
	if p.Plan != NoCut || p.Kg == 0 {
		return ""
	}
	return fmt.Sprintf("no cut: none but the %s kg that is cut already", Kg(p.Kg))
}

// The ways of cutting whose coming years are compared.
const (
	NoCut     = "no cut"
	AsAdvised = "as advised"
	AThird    = "a third"
)

// Prospects are the coming years of a stand under no cut, under the advice and under a third of what is long enough to
// cut, all under the same chances. What is cut already of the year counts in the first year of each. Where it is closed or
// rests, the advice is left out: it is no cut. Nil with the reason where there is none.
func (a *Assessment) Prospects(u *Unit) ([]Prospect, string) {
	out, reason := a.Plans(u)
	if out == nil {
		return nil, reason
	}
	for i, c := range offtake.Ahead(u.Basis.Stand, a.Rules.OfftakeOf(u.Pair), Ways(out)...) {
		out[i].Years, out[i].Yearly = c.Years, c.Yearly.Median
	}
	return out, ""
}

// Plans are the ways of cutting of the [Assessment.Prospects], without what they lead to.
func (a *Assessment) Plans(u *Unit) ([]Prospect, string) {
	switch {
	case u.Basis == nil || u.Status == NotAssessed:
		return nil, u.Reason
	case u.Basis.Stand.Annual:
		return nil, "an annual comes back from spores, not from what is left standing"
	}
	y := u.Basis.Year
	plans := []Prospect{{Plan: NoCut, Kg: u.andCut(0)}}
	if u.Status == Assessed {
		plans = append(plans, Prospect{Plan: AsAdvised, Kg: u.FirstKg(), Fraction: y.TakenFraction()})
	}
	return append(plans, Prospect{Plan: AThird, Kg: u.andCut(usualThird * y.ExploitableQ), Fraction: usualThird}), ""
}

// Ways are what is cut under the plans.
func Ways(plans []Prospect) []offtake.Plan {
	var ways []offtake.Plan
	for _, p := range plans {
		ways = append(ways, offtake.Plan{Kg: p.Kg, Fraction: p.Fraction})
	}
	return ways
}

// Shares are the fractions from which people choose: 0, 5, ..., 60 %, and the advised one in its place among them, or in
// place of the one that it differs from by less than 0.1 %; NaN: none is advised.
func Shares(advised float64) []float64 {
	var out []float64
	for s := 0; s <= 60; s += 5 {
		out = append(out, float64(s)/100)
	}
	if !(advised >= 0) {
		return out
	}
	i, _ := slices.BinarySearch(out, advised)
	for _, k := range []int{i - 1, i} {
		if k >= 0 && k < len(out) && math.Abs(out[k]-advised) < 0.001 {
			out[k] = advised
			return out
		}
	}
	return slices.Insert(out, i, advised)
}

// AdvisedShare is the fraction of the exploitable stock that the year's advice is, at most 1; NaN where none is advised.
func (u *Unit) AdvisedShare() float64 {
	if u.Basis == nil || u.Status != Assessed || !(u.Basis.Year.AdvisedKg >= 0 && u.Basis.Year.ExploitableQ > 0) {
		return math.NaN()
	}
	return math.Min(u.Basis.Year.AdvisedKg/u.Basis.Year.ExploitableQ, 1)
}
