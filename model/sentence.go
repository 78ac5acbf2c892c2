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
	case offtake.ByClosed:
		return "the closure"
	case offtake.ByRest:
		return "the rest after the last cut"
	}
	return "too little is known"
}

// Sentence is the advice for the unit in one sentence.
func (u Unit) Sentence() string {
	switch u.Status {
	case Closed:
		return fmt.Sprintf("Closed (%s): nothing may be cut.", u.Reason)
	case Resting:
		return fmt.Sprintf("Resting (%s): nothing may be cut.", u.Reason)
	case NotAssessed:
		return fmt.Sprintf("Not assessed: %s.", orElse(u.Reason, "no season in the rules"))
	}
	var parts []string
	by := offtake.ByNotAssessed
	for _, s := range u.Seasons {
		switch s.Status {
		case Assessed:
			parts = append(parts, fmt.Sprintf("%s kg in the %s season (%s to %s)", Kg(s.AdvisedKg), s.Name, s.From, s.To))
			by = s.LimitedBy
		case NotAssessed:
			parts = append(parts, fmt.Sprintf("not assessed for the %s season", s.Name))
		default:
			parts = append(parts, fmt.Sprintf("nothing in the %s season (%s)", s.Name, s.Reason))
		}
	}
	return fmt.Sprintf("At most %s; %s sets the limit.", strings.Join(parts, " and "), Words(by))
}

// VerdictSentence says how the last cut stood against what grew, in one sentence; empty where there is no verdict.
func (u Unit) VerdictSentence() string {
	if u.Last == nil {
		return ""
	}
	p := u.Last
	span := fmt.Sprintf("Between %s and %s", p.From, p.To)
	grew := fmt.Sprintf("%s kg (%s to %s)", Kg(p.Recovery.Median), Kg(p.Recovery.Lo), Kg(p.Recovery.Hi))
	var s string
	switch p.Verdict {
	case "no cut":
		return fmt.Sprintf("%s nothing was cut; the stock changed by %s.", span, grew)
	case "above recovery":
		s = fmt.Sprintf("%s more was cut (%s kg) than grew back, %s", span, Kg(p.CutKg), grew)
	case "below recovery":
		s = fmt.Sprintf("%s less was cut (%s kg) than grew back, %s", span, Kg(p.CutKg), grew)
	default:
		s = fmt.Sprintf("%s %s kg was cut and %s grew back: the surveys cannot tell which is more", span, Kg(p.CutKg), grew)
	}
	if p.AboveBest && p.Verdict == "above recovery" {
		s += "; the stock is still above the best level"
	}
	return s + "."
}

// Kg writes a weight with three significant digits at most, "-" where there is none.
func Kg(v float64) string {
	if math.IsNaN(v) || math.IsInf(v, 0) {
		return "-"
	}
	if v == 0 {
		return "0"
	}
	digits := 2 - int(math.Floor(math.Log10(math.Abs(v))))
	scale := math.Pow(10, float64(digits))
	return strconv.FormatFloat(math.Round(v*scale)/scale, 'f', max(0, digits), 64)
}
