package model

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"bedstock/model/plan"
	"bedstock/survey"
)

// Due is the day before which a bed is to be surveyed again: the first day of a season that would begin more than a year
// after the last whole survey of a species, as the quota asks for it.
type Due struct {
	Bed, Species, Season string
	Before               survey.Day
	Running              bool // on the day of the assessment: any day is late for it
}

// order ranks the beds of a plan for the case that not all can be laid on days, those that matter more first: beds open to
// cutting before closed ones, then by the year of their last whole survey, the oldest of their species first, beds without one
// before all.
func (l *Laid) order(whole map[Pair]survey.Day, tasks []plan.Task) {
	year := map[string]int{}
	for p, date := range whole {
		if y := date.Year(); year[p.Bed] == 0 || y < year[p.Bed] {
			year[p.Bed] = y
		}
	}
	const shut = 1 << 20 // behind every year
	for i := range tasks {
		t := &tasks[i]
		t.Rank = year[t.Bed]
		if l.ClosedOn(t.Bed, l.From) != "" && l.ClosedOn(t.Bed, l.To) != "" {
			t.Rank += shut
		}
	}
	l.Ranked = slices.ContainsFunc(tasks, func(t plan.Task) bool { return t.Rank != tasks[0].Rank })
}

// ClosedOn is why a bed is closed to cutting, to all species, on a day; empty: it is not.
func (l Laid) ClosedOn(bed string, day survey.Day) string {
	open, reasons := opens(l.closures[bed], day)
	if open == day {
		return ""
	}
	return orElse(strings.Join(reasons, "; then "), "no reason given")
}

// closuresOf are the closures of whole beds, those of closures.csv, of beds.csv and by spills.
func closuresOf(f *survey.Folder, rules Rules) map[string][]survey.Closure {
	a := &assessor{out: &Assessment{Config: Config{Rules: rules}, Folder: f}}
	out := map[string][]survey.Closure{}
	for _, b := range f.Beds {
		out[b.ID] = a.closures(&Unit{Pair: Pair{Bed: b.ID}, periods: b.Periods})
	}
	return out
}

// wholeSurveys are the days of the last whole surveys of each bed and species, of those that found it.
func wholeSurveys(f *survey.Folder, rules Rules) map[Pair]survey.Day {
	out := map[Pair]survey.Day{}
	for _, s := range survey.Stocks(f, rules.Survey) { // by date
		switch p := (Pair{s.Bed, s.Species}); {
		case !s.Kg.OK || s.Status == survey.SurveyedPart:
		case s.QuadratsWith == 0:
			delete(out, p)
		default:
			out[p] = s.Date
		}
	}
	return out
}

// late are the beds whose last day comes on or after the day before which they are due, by bed, each for the season that
// runs and for that which comes first.
func (l Laid) late(f *survey.Folder, rules Rules, whole map[Pair]survey.Day) []Due {
	end := map[string]survey.Day{}
	for _, o := range l.Outings {
		for _, p := range o.Parts {
			end[p.Bed] = survey.Day(o.Day)
		}
	}
	var out []Due
	for p, date := range whole {
		day, laid := end[p.Bed]
		if !laid {
			continue
		}
		for _, rule := range rules.SeasonsOf(p.Species) {
			if from, _ := current(rule, f.AsOf); from <= f.AsOf && float64(from-date) > survey.DaysPerYear && l.ClosedOn(p.Bed, f.AsOf) == "" {
				out = append(out, Due{p.Bed, p.Species, rule.Name, from, true})
			}
			from, _ := after(rule, f.AsOf)
			if float64(from-date) > survey.DaysPerYear && day >= from && l.ClosedOn(p.Bed, from) == "" {
				out = append(out, Due{p.Bed, p.Species, rule.Name, from, false})
			}
		}
	}
	slices.SortFunc(out, func(x, y Due) int {
		return cmp.Or(strings.Compare(x.Bed, y.Bed), int(x.Before-y.Before), strings.Compare(x.Species, y.Species))
	})
	return slices.CompactFunc(out, func(x, y Due) bool { return x.Bed == y.Bed && x.Running == y.Running })
}

// Words says that a bed is laid too late.
func (d Due) Words() string {
	if d.Running {
		return fmt.Sprintf("the %s season from %s is running and began over a year after the last whole survey of %s: any day is late for it, and it rests on an old survey",
			d.Season, d.Before, d.Species)
	}
	return fmt.Sprintf("its day is not before the %s season from %s, which begins over a year after the last whole survey of %s: survey it before then (--to %s), or that season rests on an old survey",
		d.Season, d.Before, d.Species, d.Before-1)
}
