package report

import (
	"fmt"
	"math"

	"bedstock/model"
	"bedstock/survey"
)

// seasonParts says what each season gets of the year's offtake, and why it is less than its share where it is.
func seasonParts(a *model.Assessment, u *model.Unit) []string {
	var out []string
	for _, s := range u.Seasons {
		if s.Status != model.Assessed {
			out = append(out, fmt.Sprintf("%s: %s", seasonHead(s), ifElse(s.Status == model.NotAssessed, "no advice", "nothing, "+string(s.Status))))
			continue
		}
		t := fmt.Sprintf("%s: %s kg", seasonHead(s), kilos(s.AdvisedKg))
		if part := shareOf(a, s.Name); s.AdvisedKg < 0.99*part*u.Basis.Year.AdvisedKg {
			t += fmt.Sprintf(" (less than its %s: ", percent(part))
			switch {
			case s.OffKg > 0:
				t += fmt.Sprintf("%s kg was cut beyond the advice before it", kilos(s.OffKg))
			case s.Survey != u.Basis.Stock.Date:
				t += fmt.Sprintf("it rests on the survey of %s", s.Survey)
			default:
				t += "less is expected to stand then"
			}
			t += ")"
		} else if s.Survey != u.Basis.Stock.Date {
			t += fmt.Sprintf(" (it rests on the survey of %s)", s.Survey)
		}
		out = append(out, t)
	}
	return out
}

// shareOf is the share of the year that the rules give a season.
func shareOf(a *model.Assessment, name string) float64 {
	for _, s := range a.Rules.Seasons {
		if s.Name == name {
			return s.Share
		}
	}
	return math.NaN()
}

// lengthsWanted says how the officer can fill the lengths that the notice lacks.
func lengthsWanted(row *survey.Species) string {
	var names []string
	if row == nil || !row.MinLength.OK {
		names = append(names, "min_length_cm")
	}
	if row == nil || !row.Leave.OK {
		names = append(names, "leave_cm")
	}
	if len(names) == 0 {
		return ""
	}
	return capital(missingLengths(row)) + ": set " + listed(names) + " in species.csv."
}
