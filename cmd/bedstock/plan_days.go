package main

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"bedstock/cmd/bedstock/internal/table"
	"bedstock/model"
	"bedstock/model/plan"
	"bedstock/survey"
)

// noTides is said where beds cannot be laid on days.
const noTides = "low waters are counted, not dated: put those of your own tide table into tides.csv of the survey folder (time, height_m), and the beds are laid on days"

// daysTable is the calendar for people.
func daysTable(l model.Laid, rules model.Rules) table.Table {
	span := fmt.Sprintf("%s to %s", l.From, l.To)
	if l.BySeason {
		span += ", the season of the last surveys give or take four weeks"
	}
	t := table.Table{Title: "Days, " + span, Columns: []table.Column{col("day"), col("low water"), {Name: "height", Unit: "m", Digits: 2}, col("on the shore"), col("leave by"), col("hours"), col("beds")}}
	for _, o := range l.Outings {
		start, leave, minutes := l.Hours(o)
		t.Add(table.Text(weekday(o.Day)), table.Text(survey.Clock(o.Minute)), table.Number(o.Height, 0), table.Text(clockOf(start)), table.Text(clockOf(leave)),
			table.Number(minutes/60, 2), table.Text(markedWords(l, o)))
	}
	t.Notes = slices.Concat(closedBeds(l), lateBeds(l), withoutDays(l, rules), needsOfBeds(l), spareDays(l), boundsOfDays(l), []string{
		fmt.Sprintf("only low waters between %s and %s ([plan] in rules.toml), one a day: look up sunrise and sunset; times are as in tides.csv: make sure that they are what the clock shows, summer time where it holds",
			rules.Plan.DayFrom, rules.Plan.DayTo),
		"be there before low water and leave by the time given, finished or not; the local tide table and the weather decide: wind and low pressure can hold the water up and bring it back sooner",
	})
	return t
}

// closedBeds says which beds are laid on a day on which they are closed to cutting.
func closedBeds(l model.Laid) []string {
	var notes noter
	for _, o := range l.Outings {
		for _, p := range o.Parts {
			if reason := l.ClosedOn(p.Bed, survey.Day(o.Day)); reason != "" {
				notes.add(p.Bed, "closed to cutting: "+reason+"; a survey that clips and weighs is a removal too: ask first")
			}
		}
	}
	return notes.lines()
}

// lateBeds says which beds are laid later than the quota asks for.
func lateBeds(l model.Laid) []string {
	var notes noter
	for _, d := range l.Late {
		notes.add(d.Bed, d.Words())
	}
	return notes.lines()
}

func partOf(p plan.Part) string {
	if p.Of == 1 {
		return ""
	}
	return fmt.Sprintf(" (%d of %d)", p.Number, p.Of)
}

func weekday(day int) string { return survey.Day(day).Time().Format("Mon 2006-01-02") }

// clockOf is a time of day that may lie before or after midnight.
func clockOf(minute int) string { return survey.Clock((minute%1440 + 1440) % 1440) }

// metres is a height as it is told.
func metres(v float64) string { return fmt.Sprintf("%g m", math.Round(v*100)/100) }

// withoutDays says why beds have no day, and what may help.
func withoutDays(l model.Laid, rules model.Rules) []string {
	var notes noter
	for _, w := range l.Without {
		notes.add(w.Bed, "no day: "+whyWithout(w, l, rules))
	}
	return notes.lines()
}

func whyWithout(w plan.Without, l model.Laid, rules model.Rules) string {
	n := needOf(l, w.Bed)
	below := fmt.Sprintf("at or below %s from %s to %s", metres(n.At), l.From, l.To)
	wider := "give other dates (--from, --to)"
	higher := fmt.Sprintf("or set %s_at_m of [plan] where the bed can be worked at a higher one", n.Zone)
	switch {
	case len(l.Days) == 0 && (l.To < l.First || l.From > l.End):
		return fmt.Sprintf("tides.csv goes from %s to %s and has no low water from %s to %s: add these to it, or %s", l.First, l.End, l.From, l.To, wider)
	case len(l.Days) == 0:
		return fmt.Sprintf("tides.csv has no low water between %s and %s from %s to %s: %s, or day_from and day_to of [plan]", rules.Plan.DayFrom, rules.Plan.DayTo, l.From, l.To, wider)
	}
	switch w.Cause {
	case plan.TooHigh:
		low := slices.MinFunc(l.Days, func(a, b plan.Low) int { return compareHeight(a, b) })
		return fmt.Sprintf("no low water by day %s; the lowest is %s on %s: %s, %s", below, metres(low.Height), survey.Day(low.Day), wider, higher)
	case plan.TooFew:
		return fmt.Sprintf("it takes %s, and only %s one %s: %s, plan for less (--cv, --tides), %s", plural(w.Takes, "low water"),
			plural(w.There, "day")+ifOne(w.There, " has", " have"), below, wider, higher)
	case plan.Apart:
		return fmt.Sprintf("its %s %s lie more than %d days apart, which would make two surveys (survey_window_days): %s, plan for less (--cv, --tides), %s",
			plural(w.Takes, "low water"), below, rules.Survey.WindowDays, wider, higher)
	}
	taken := 0
	for _, o := range l.Outings {
		if o.Height <= n.At {
			taken++
		}
	}
	return fmt.Sprintf("it takes %s; of %s with one %s other beds have %d: %s, plan for less (--cv, --tides), or leave beds out (--bed)", plural(w.Takes, "low water"),
		plural(w.There, "day"), below, taken, wider)
}

func compareHeight(a, b plan.Low) int {
	switch {
	case a.Height < b.Height:
		return -1
	case a.Height > b.Height:
		return 1
	}
	return 0
}

func needOf(l model.Laid, bed string) model.Need {
	return l.Needs[slices.IndexFunc(l.Needs, func(n model.Need) bool { return n.Bed == bed })]
}

// needsOfBeds tells the low water that each bed needs, and where that comes from.
func needsOfBeds(l model.Laid) []string {
	var notes noter
	for _, n := range l.Needs {
		notes.add(n.Bed, fmt.Sprintf("needs a low water at or below %s (%s %% of those in tides.csv): %s", metres(n.At), percentText(n.Served), n.Why))
		if n.Served > nearlyAll {
			notes.add(n.Bed, "nearly every low water of tides.csv is low enough: are its heights above the same datum as low_water_m of surveys.csv and the heights of [plan]?")
		}
	}
	out := notes.lines()
	if days := int(l.End-l.First) + 1; slices.ContainsFunc(l.Needs, func(n model.Need) bool { return n.ByShare }) && (days < halfMoon || 5*l.LowWaters < 4*days) {
		out = append(out, fmt.Sprintf("tides.csv has %s in %s, too few to take shares of: give it all low waters of a month or more, or set lower_at_m, mid_at_m and upper_at_m of [plan]",
			plural(l.LowWaters, "low water"), plural(days, "day")))
	}
	return out
}

// halfMoon is the days from springs to springs, which a share of low waters must hold.
const halfMoon = 15

// nearlyAll is the share of low waters above which a height is taken to be of another datum; judgement, no source.
const nearlyAll = 0.9

// shownSpare is how many spare days are named.
const shownSpare = 5

// spareDays names days that are left where the weather forbids.
func spareDays(l model.Laid) []string {
	highest := math.Inf(-1)
	used := map[int]bool{}
	for _, o := range l.Outings {
		used[o.Day] = true
		for _, p := range o.Parts {
			highest = max(highest, needOf(l, p.Bed).At)
		}
	}
	var days []string
	n := 0
	for _, d := range l.Days {
		if used[d.Day] || d.Height > highest {
			continue
		}
		if n++; n <= shownSpare {
			days = append(days, fmt.Sprintf("%s %s (%s)", survey.Day(d.Day), survey.Clock(d.Minute), metres(d.Height)))
		}
	}
	switch {
	case len(l.Outings) == 0:
		return nil
	case n == 0:
		return []string{"no spare day for when the weather forbids one; wider dates (--from, --to) give some"}
	case n > shownSpare:
		days = append(days, fmt.Sprintf("and %d more", n-shownSpare))
	}
	return []string{"spare days where the weather forbids: " + strings.Join(days, ", ") + "; see which beds each is low enough for"}
}

// boundsOfDays says where the calendar may not be the best there is.
func boundsOfDays(l model.Laid) []string {
	var out []string
	switch held := len(l.Needs) - len(l.Without); {
	case held < l.Most && l.Ranked:
		out = append(out, fmt.Sprintf("%s have days, of %d at most: those open to cutting and wholly surveyed longest ago come first, though more might fit without them", plural(held, "bed"), l.Most))
	case held < l.Most:
		out = append(out, fmt.Sprintf("%s have days; whether %d could, is not known, more cannot", plural(held, "bed"), l.Most))
	}
	if n := len(l.Outings); n > l.Least {
		out = append(out, fmt.Sprintf("%s; whether %d would do is not known, fewer cannot", plural(n, "day"), l.Least))
	}
	return out
}
