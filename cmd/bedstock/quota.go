package main

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"bedstock/cmd/bedstock/internal/report"
	"bedstock/cmd/bedstock/internal/table"
	"bedstock/model"
)

// quotaCmd shows the advised offtake.
type quotaCmd struct {
	Survey string `arg:"" help:"The survey folder."`
	source
	filter
	shown
	Calendar bool `help:"Show the years in which the beds of a rotation are cut."`
	Limits   bool `help:"Show the limits beside the offtake, as with --bed for one bed."`
}

// Run works out and prints the offtake per bed, species and season.
func (c quotaCmd) Run(e *env) error {
	_, a, err := c.assess(e, c.Survey, c.filter, c.shown)
	if err != nil {
		return err
	}
	if c.Calendar {
		return c.calendar(e, a)
	}
	if c.Format != table.FormatText {
		return c.narrow(report.Quota(a)).Write(e.stdout, c.Format)
	}
	if err := c.text(a).Text(e.stdout); err != nil {
		return err
	}
	c.hint(e, "bedstock report %s -o DIR writes this with figures and the basis", c.Survey)
	return nil
}

// limits tells whether the limits stand beside the offtake: where asked for, and where one bed leaves room for them.
func (c quotaCmd) limits() bool { return c.Limits || len(c.Bed) == 1 }

func (c quotaCmd) text(a *model.Assessment) table.Table {
	t := table.Table{Title: fmt.Sprintf("Advised offtake, kg wet, on %s (seed %d, %d draws)", a.Folder.AsOf, a.Seed, a.Draws),
		Columns: c.columns()}
	var notes noter
	silent := map[string]int{}
	var order []string
	for i := range a.Units {
		u := &a.Units[i]
		if !c.keep(u.Bed, u.Species) {
			continue
		}
		if manyUnknown(a, u) {
			key := fmt.Sprintf("%s: not assessed: %s", u.Bed, u.Reason)
			if silent[key] == 0 {
				order = append(order, key)
			}
			silent[key]++
			continue
		}
		for _, s := range u.Seasons {
			t.Add(c.row(u, s)...)
			notes.add(u.Bed+" "+u.Species, slices.DeleteFunc(slices.Clone(s.Warnings), inColumns)...)
		}
		notes.add(u.Bed+" "+u.Species, u.Warnings...)
	}
	t.Notes = append(c.inWords(a, func(u *model.Unit) bool { return !manyUnknown(a, u) }), notes.lines()...)
	for _, key := range order {
		t.Notes = append(t.Notes, fmt.Sprintf("%s (%d species)", key, silent[key]))
	}
	for _, use := range a.Uses() {
		if s := use.Sentence(model.Kg, model.KgDown); s != "" {
			t.Notes = append(t.Notes, s)
		}
	}
	if changed := a.Rules.ChangedSentence(); changed != "" {
		t.Notes = append(t.Notes, changed)
	}
	t.Notes = append(t.Notes, a.AbsentNotes()...)
	t.Notes = append(t.Notes, "this is advice: the local authority, codes and licensed people decide")
	return t
}

// manyUnknown tells whether a unit without an advice shares a line with others of its bed: where there are many units.
func manyUnknown(a *model.Assessment, u *model.Unit) bool {
	return u.Status == model.NotAssessed && len(a.Units) > 40
}

// inColumns tells whether a warning says what the columns granted and cut and the note beside them show already.
func inColumns(warning string) bool {
	return strings.HasPrefix(warning, "granted ") || strings.Contains(warning, " kg are cut already in the ")
}

func (c quotaCmd) columns() []table.Column {
	out := []table.Column{col("bed"), col("species"), col("season"), col("from, to"), col("offtake", "kg"), col("granted", "kg"),
		col("cut", "kg"), col("left", "kg"), col("limited by")}
	if c.limits() {
		out = append(out, col("cap", "kg a year"), col("replacement", "kg a year"), col("risk limit", "kg a year"), col("low stock", "factor"))
	}
	return append(out, col("risk", "%"), col("note"))
}

func (c quotaCmd) row(u *model.Unit, s model.Season) []table.Cell {
	row := []table.Cell{table.Text(u.Bed), table.Text(u.Species), table.Text(s.Name), table.Text(fromTo(s)), kg(s.AdvisedKg), kg(s.GrantedKg),
		kg(s.CutKg), kg(s.LeftKg()), table.Text(string(s.LimitedBy))}
	limits, risk := make([]table.Cell, 4), table.Missing
	if y := s.Year; y != nil {
		limits = []table.Cell{kg(y.CapKg), kg(y.ReplacementKg), kg(y.RiskKg), table.Number(y.LowStock, 2)}
		if s.Status == model.Assessed {
			risk = table.Number(100*y.Risk, 2)
		}
	}
	if c.limits() {
		row = append(row, limits...)
	}
	return append(row, risk, table.Text(note(s)))
}

// fromTo writes the days of a season, the second without its year where it is that of the first.
func fromTo(s model.Season) string {
	to := s.To.String()
	if s.From.Year() == s.To.Year() {
		to = to[len("2006-"):]
	}
	return s.From.String() + " to " + to
}

// note says what must be known of a season at once: that it is cut or granted beyond its advice, or why there is none.
func note(s model.Season) string {
	var parts []string
	if s.Over() {
		parts = append(parts, "STOP: cut beyond the advice")
	}
	if s.GrantOver() {
		parts = append(parts, "granted above the advice")
	}
	if s.Reason != "" {
		parts = append(parts, s.Reason)
	}
	return strings.Join(parts, "; ")
}

// kg is a weight with the digits that [model.Kg] gives it, so that the table and the sentences below it agree.
func kg(v float64) table.Cell {
	if r, err := strconv.ParseFloat(model.Kg(v), 64); err == nil {
		v = r
	}
	return table.Number(v, 3)
}
