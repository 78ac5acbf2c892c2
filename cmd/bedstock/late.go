package main

import (
	"errors"
	"fmt"
	"io/fs"
	"slices"
	"strings"

	"bedstock/model"
	"bedstock/survey"
)

// lateText is how a date after the day of the assessment is told.
const lateText = ", the day the assessment is made for"

// foldLate puts one line in place of a line a row where --on names a day before the rows of the folder.
func (s source) foldLate(fsys fs.FS, table []survey.Species, opt model.LoadOptions, err error) error {
	var problems survey.Problems
	if s.On == "" || s.eachLate || !errors.As(err, &problems) {
		return err
	}
	late := func(p survey.Problem) bool {
		return p.Severity == survey.Fault && strings.Contains(p.Text, " is after ") && strings.Contains(p.Text, lateText)
	}
	if !slices.ContainsFunc(problems, late) {
		return err
	}
	kinds := map[[2]string]bool{} // file and column with late dates
	for _, p := range problems {
		if late(p) {
			kinds[kindOf(p)] = true
		}
	}
	rest := slices.DeleteFunc(slices.Clone(problems), func(p survey.Problem) bool {
		return late(p) || kinds[kindOf(p)] && strings.Contains(p.Text, ": ... and ")
	})
	one := survey.Problem{File: "rows", Text: "some are later than --on " + s.On, Hint: "to assess an earlier day, take them out"}
	opt.Change = nil // the folder as it stands tells how many
	if folder, rules, err := model.Load(fsys, table, opt); err == nil {
		if day, err := survey.ParseDay(s.On); err == nil && rules.Survey.AsOf > day {
			n := lateRows(folder, day)
			one.File, one.Text = "survey folder", fmt.Sprintf("%s %s later than --on %s", plural(n, "row"), ifOne(n, "is", "are"), s.On)
		}
	}
	told := append(survey.Problems{one}, rest...)
	var how *survey.Refusal
	if errors.As(err, &how) {
		return &survey.Refusal{Problems: told, Dialects: how.Dialects, Mapped: how.Mapped}
	}
	return told
}

func ifOne(n int, one, many string) string {
	if n == 1 {
		return one
	}
	return many
}

// kindOf is the file of a problem and the column that its text begins with.
func kindOf(p survey.Problem) [2]string {
	column, _, _ := strings.Cut(p.Text, ":")
	return [2]string{p.File, column}
}

// lateRows counts the rows of a folder that are dated after a day.
func lateRows(f *survey.Folder, day survey.Day) (n int) {
	count := func(late bool) {
		if late {
			n++
		}
	}
	for _, d := range f.Quadrats.Day {
		count(d > day)
	}
	for _, d := range f.Fronds.Day {
		count(d > day)
	}
	for _, c := range f.Landings() {
		count(max(c.From, c.To) > day)
	}
	for _, r := range f.Regrowth {
		count(r.Day > day)
	}
	for _, e := range f.Events {
		count(e.Day > day)
	}
	for _, d := range f.Decisions {
		count(d.DecidedOn > day)
	}
	return n
}
