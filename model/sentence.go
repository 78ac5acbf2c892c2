package model

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"bedstock/model/offtake"
)

// Words says what limits an advice, as it stands in a sentence.
func Words(l offtake.Limit) string {
	switch l {
	case offtake.ByCap:
		return "the cap on the share of the stock"
	case offtake.ByReplacement:
		return "what grows back until the next year"
	case offtake.ByRisk:
		return "the risk of falling too low"
	case offtake.ByLowStock:
		return "the low stock"
	case offtake.ByCutBefore:
		return "what was cut beyond the advice before"
	case offtake.ByOldSurvey:
		return "what the survey, now old, advised when it was new"
	case offtake.ByClosed:
		return "the closure"
	case offtake.ByRest:
		return "the rest after the last cut"
	}
	return "too little is known"
}

// Sentence is the advice for the unit in one sentence; kg writes a weight, as [Kg] does.
func (u Unit) Sentence(kg func(float64) string) string {
	switch u.Status {
	case Closed:
		return fmt.Sprintf("Closed (%s): nothing may be cut.", u.Reason)
	case Resting:
		return fmt.Sprintf("Resting (%s): nothing may be cut.", u.Reason)
	case NotAssessed:
		return fmt.Sprintf("Not assessed: %s.", orElse(u.Reason, "no season in the rules"))
	}
	if u.nothing() {
		return fmt.Sprintf("Nothing should be cut: %s.", u.forbids())
	}
	var over, amounts, others []string
	var by []Season // those in which something may be cut
	for _, s := range u.Seasons {
		switch {
		case s.Status == Assessed && s.Over():
			over = append(over, fmt.Sprintf("no more in the %s season (%s kg is cut, %s kg is advised)", s.Name, kg(s.CutKg), kg(s.AdvisedKg)))
		case s.Status == Assessed && s.AdvisedKg == 0:
			others = append(others, fmt.Sprintf("nothing in the %s season (%s)", s.Name, s.forbids()))
		case s.Status == Assessed:
			amounts = append(amounts, fmt.Sprintf("%s kg in the %s season (%s to %s)", kg(s.AdvisedKg), s.Name, s.From, s.To))
			by = append(by, s)
		case s.Status == NotAssessed:
			others = append(others, fmt.Sprintf("no advice for the %s season", s.Name))
		default:
			others = append(others, fmt.Sprintf("nothing in the %s season (%s)", s.Name, s.Reason))
		}
	}
	if len(amounts) > 0 {
		over = append(over, "at most "+strings.Join(amounts, " and "))
		others = append(others, setters(by))
	}
	all := strings.Join(append(over, others...), "; ")
	return strings.ToUpper(all[:1]) + all[1:] + "."
}

// mayBeLow is the chance of standing below the limit today from which it is told with the reason.
const mayBeLow = 0.05

// forbids is what forbids any cut of a stand that is assessed.
func (u Unit) forbids() string {
	for _, s := range u.Seasons {
		if s.Status == Assessed {
			return s.forbids()
		}
	}
	return Words(offtake.ByNotAssessed)
}

// forbids is what forbids any cut in a season that is assessed.
func (s Season) forbids() string {
	low := ""
	if s.Year != nil && s.Year.RiskNow > mayBeLow {
		low = fmt.Sprintf(", and it %s fallen that low already (chance %.0f %%)", likely(s.Year.RiskNow), 100*s.Year.RiskNow)
	}
	if y := s.Year; y != nil && y.ExploitableQ == 0 {
		return "nothing of it is long enough"
	}
	switch s.LimitedBy {
	case offtake.ByCutBefore:
		return Words(s.LimitedBy) + " is taken off"
	case offtake.ByReplacement:
		return "even uncut it is not expected to grow back as it should"
	case offtake.ByRisk:
		return "even uncut the risk of falling too low is higher than the rules allow" + low
	case offtake.ByLowStock:
		return "the stock is too low"
	}
	return Words(s.LimitedBy) + " allows nothing"
}

// likely are the words for a chance of having happened.
func likely(chance float64) string {
	if chance > 0.5 {
		return "has probably"
	}
	return "may have"
}

// setters says what sets the limit in each season, at once where it is the same in all.
func setters(seasons []Season) string {
	same := true
	for _, s := range seasons {
		same = same && s.LimitedBy == seasons[0].LimitedBy
	}
	if same {
		return seasons[0].setter() + " sets the limit"
	}
	var parts []string
	for _, s := range seasons {
		parts = append(parts, fmt.Sprintf("%s in the %s season", s.setter(), s.Name))
	}
	return "the limit is set by " + strings.Join(parts, " and by ")
}

// setter is what sets the limit of a season, as it stands in a sentence.
func (s Season) setter() string {
	if s.LimitedBy == offtake.ByCutBefore {
		return Words(s.yearLimit()) + " less " + Words(s.LimitedBy)
	}
	return Words(s.LimitedBy)
}

// nothing tells whether every season that is assessed has an advice of 0.
func (u Unit) nothing() bool {
	for _, s := range u.Seasons {
		if s.AdvisedKg > 0 {
			return false
		}
	}
	return true
}

// VerdictSentence says how the last cut stood against what grew, in one sentence; empty where there is no verdict.
func (u Unit) VerdictSentence(kg func(float64) string) string {
	if u.Last == nil {
		return ""
	}
	p := u.Last
	span := fmt.Sprintf("Between %s and %s", p.From, p.To)
	grew := fmt.Sprintf("%s kg (%s to %s)", kg(p.Recovery.Median), kg(p.Recovery.Lo), kg(p.Recovery.Hi))
	cut := kg(p.CutKg)
	if p.UnallocatedKg > 0 {
		cut += " to " + kg(p.CutKg+p.UnallocatedKg)
	}
	var s string
	switch p.Verdict {
	case offtake.NothingCut:
		return fmt.Sprintf("%s nothing was cut; the stock changed by %s.", span, grew)
	case offtake.AboveRecovery:
		s = fmt.Sprintf("%s more was cut (%s kg) than grew back, %s", span, cut, grew)
	case offtake.BelowRecovery:
		s = fmt.Sprintf("%s less was cut (%s kg) than grew back, %s", span, cut, grew)
	default:
		s = fmt.Sprintf("%s %s kg was cut and %s grew back: the surveys cannot tell which is more", span, cut, grew)
	}
	if p.Note != "" {
		s += " (" + p.Note + ")"
	}
	if p.AboveBest && p.Verdict == offtake.AboveRecovery {
		s += "; the stock is " + offtake.StillAboveBest
	}
	return s + "."
}

// Kg writes a weight with three significant digits at most and no digits that say nothing, "-" where there is none.
func Kg(v float64) string {
	if math.IsNaN(v) || math.IsInf(v, 0) {
		return "-"
	}
	if math.Abs(v) < gram/2 {
		return "0"
	}
	digits := 2 - math.Floor(math.Log10(math.Abs(v)))
	if digits < 0 { // a power of ten that is whole, so that millions end in zeros
		unit := math.Pow(10, -digits)
		return strconv.FormatFloat(math.Round(v/unit)*unit, 'f', -1, 64)
	}
	scale := math.Pow(10, digits)
	return strconv.FormatFloat(math.Round(v*scale)/scale, 'f', -1, 64)
}

// KgDown writes a weight as [Kg] does, rounded down: what is "at most" is never more.
func KgDown(v float64) string {
	if !(v > 0) || math.IsInf(v, 0) {
		return Kg(v)
	}
	unit := math.Pow(10, math.Floor(math.Log10(v))-2)
	return Kg(math.Floor(v/unit*(1+1e-12)) * unit)
}

// AllWarnings is every warning of the assessment with what it concerns, each once, in a fixed order.
func (a *Assessment) AllWarnings() []string {
	out := append([]string(nil), a.Warnings...)
	seen := map[string]bool{}
	add := func(who string, list []string) {
		for _, w := range list {
			if !seen[who+w] {
				seen[who+w] = true
				out = append(out, who+w)
			}
		}
	}
	for i := range a.Units {
		u := &a.Units[i]
		who := u.Bed + ", " + u.Species + ": "
		add(who, u.Warnings)
		add(who, u.Growth.Warnings)
		if u.Basis != nil {
			add(who, u.Basis.Year.Warnings)
		}
		for _, s := range u.Seasons {
			add(who, s.Warnings)
		}
	}
	return out
}
