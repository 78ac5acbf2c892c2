package offtake

import (
	"cmp"
	"fmt"
	"math"
)

// AuditResult says what cutting the usual fraction of a bed every year would do to it.
type AuditResult struct {
	OfExploitable float64 // fraction of the exploitable stock that is audited
	OfStock       float64 // the same as a fraction of the whole stock
	PRunsOut      float64 // probability that the stand dies out under it
	PAboveBest    float64 // probability that less would yield more
	Sentence      string  // both in plain words, and what they do not tell
}

// Audit asks what cutting max_fraction of the exploitable stock every year would do, over the draws of r:
//
//	G = s e^r,  s = storm_survival^storm_chance,  f = max_fraction * exploitable share
//	P(runs out) = P(f >= 1 - 1/G),  P(above best) = P(f > 1 - 1/sqrt(G))
//
// For an annual, whose next year does not follow from what is left, both are NaN. It panics on a stand or rules that
// cannot be worked with.
func Audit(s Stand, rules Rules) AuditResult {
	mustFit(s, rules)
	a := AuditResult{OfExploitable: rules.MaxFraction, OfStock: rules.MaxFraction * s.Exploitable}
	if s.Annual {
		a.PRunsOut, a.PAboveBest = math.NaN(), math.NaN()
		a.Sentence = "Not assessed: an annual comes back from spores, not from what is left standing."
		return a
	}
	storms := math.Log(StormFactor(rules.StormChance, rules.StormSurvival, 1))
	edge := -math.Log1p(-a.OfStock)
	last, best := against{a.OfStock, edge, lastFraction}, against{a.OfStock, 2 * edge, bestFraction}
	out, above := 0, 0
	for _, r := range s.R {
		logG := storms + r
		if last.compare(logG) >= 0 {
			out++
		}
		if best.compare(logG) > 0 {
			above++
		}
	}
	a.PRunsOut, _ = probability(out, len(s.R))
	a.PAboveBest, _ = probability(above, len(s.R))
	a.Sentence = a.sentence()
	return a
}

// against sets a fraction against one that rises with log G, from 0 where that is 0 and storms outrun the stand.
type against struct {
	fraction float64
	edge     float64 // the log G at which they are equal
	of       func(logG float64) float64
}

// compare is below 0 where the fraction is the smaller one, and above where it is the larger. Only near the edge, or where
// it is so far away that rounding hides on which side of it a stand is, is the other one worked out.
func (a against) compare(logG float64) int {
	switch {
	case !(logG > 0):
		return cmp.Compare(a.fraction, 0)
	case a.edge < 10 && math.Abs(a.edge-logG) > 1e-9:
		return cmp.Compare(a.edge, logG)
	}
	return cmp.Compare(a.fraction, a.of(logG))
}

func (a AuditResult) sentence() string {
	what := fmt.Sprintf("Set against regrowth alone, cutting %s of what may be cut every year", percent(a.OfExploitable))
	if a.OfStock != a.OfExploitable {
		what += fmt.Sprintf(" (%s of the whole stock)", percent(a.OfStock))
	}
	return fmt.Sprintf("%s would %s run the bed out (%s), and would %s be more than gives the most over the years (%s). How low it may fall from what stands now is another question.",
		what, likely(a.PRunsOut), chance(a.PRunsOut), likely(a.PAboveBest), chance(a.PAboveBest))
}

func percent(x float64) string { return fmt.Sprintf("%.0f %%", 100*x) }

// chance in plain numbers, never a bare 0 or 100.
func chance(p float64) string {
	switch {
	case p < 0.01:
		return "less than 1 chance in 100"
	case p > 0.99:
		return "more than 99 chances in 100"
	}
	n := math.Round(100 * p)
	if n == 1 {
		return "about 1 chance in 100"
	}
	return fmt.Sprintf("about %.0f chances in 100", n)
}

// likely puts a probability in words.
//
// References:
//   - Mastrandrea, M. D. et al.: Guidance Note for Lead Authors of the IPCC Fifth Assessment Report on Consistent
//     Treatment of Uncertainties. IPCC (2010), table 1
func likely(p float64) string {
	switch {
	case p > 0.99:
		return "almost certainly"
	case p > 0.9:
		return "very likely"
	case p > 0.66:
		return "likely"
	case p >= 0.33:
		return "as likely as not"
	case p >= 0.1:
		return "probably not"
	case p >= 0.01:
		return "very probably not"
	}
	return "almost certainly not"
}
