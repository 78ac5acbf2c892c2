package offtake

import "math"

// NotAssessed is the advice where none can be given: nothing in it is a number.
func NotAssessed(reason string) Advice {
	nan := math.NaN()
	return Advice{AdvisedKg: nan, LimitedBy: ByNotAssessed, CapKg: nan, CapFraction: nan, ReplacementKg: nan,
		RiskKg: nan, RiskFraction: nan, LowStock: nan, ExploitableQ: nan, Risk: nan, RiskSE: nan, RiskEver: nan, RiskNow: nan,
		Fraction: nan, NextMedian: nan, NextLo: nan, NextHi: nan, YieldPerYear: nan, Warnings: []string{reason}}
}

// NoCut is the advice for a bed that is not to be cut at all, such as one that is closed or rests: 0 kg, limited by
// what is given, with the other limits beside it and the outlook of the uncut stand. A reason, if any, comes first
// among the warnings. It panics on a stand or rules that cannot be worked with.
func NoCut(s Stand, rules Rules, by Limit, reason string) Advice {
	mustFit(s, rules)
	a, p := assess(s, rules)
	defer p.free()
	a.AdvisedKg, a.LimitedBy = 0, by
	if reason != "" {
		a.Warnings = append([]string{reason}, a.Warnings...)
	}
	a.look(s, p)
	return a
}
