package report

import (
	"fmt"
	"math"
	"strings"

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
		if part := shareOf(a, u.Species, s.Name); s.AdvisedKg < 0.99*part*u.Basis.Year.AdvisedKg {
			t += fmt.Sprintf(" (less than its %s: ", percent(part))
			switch {
			case s.OffKg > 0:
				t += fmt.Sprintf("%s kg was cut beyond the advice before it", kilos(s.OffKg))
			case s.Survey != u.Basis.Stock.Date:
				t += fmt.Sprintf("it rests on the survey of %s", s.Survey)
			case s.Year != nil && s.CapKg >= s.Year.AdvisedKg:
				t += "rounded down"
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

// shareOf is the share of the year that the rules give a season of a species.
func shareOf(a *model.Assessment, species, name string) float64 {
	for _, s := range a.Rules.SeasonsOf(species) {
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

// howToCut is what may be cut by length and what must be left, as far as the species table says so.
func howToCut(row *survey.Species) string {
	if row == nil {
		return ""
	}
	var parts []string
	if row.MinLength.OK {
		parts = append(parts, fmt.Sprintf("only what is %s cm or longer", number(row.MinLength.V, 3)))
	}
	if row.Leave.OK {
		parts = append(parts, fmt.Sprintf("leave %s cm standing", number(row.Leave.V, 3)))
	}
	if len(parts) == 1 {
		parts = append(parts, missingLengths(row))
	}
	return strings.Join(parts, "; ")
}

// missingLengths says which length of a species is not set; empty: none.
func missingLengths(row *survey.Species) string {
	switch {
	case row == nil || !row.MinLength.OK && !row.Leave.OK:
		return "no shortest length or cutting height is set"
	case !row.MinLength.OK:
		return "no shortest length is set"
	case !row.Leave.OK:
		return "no cutting height is set"
	}
	return ""
}
