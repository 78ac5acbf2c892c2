package main

import (
	"fmt"

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
}

// Run works out and prints the offtake per bed, species and season.
func (c quotaCmd) Run(e *env) error {
	_, a, err := c.assess(e, c.Survey, c.filter, c.shown)
	if err != nil {
		return err
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

func (c quotaCmd) text(a *model.Assessment) table.Table {
	t := table.Table{Title: fmt.Sprintf("Advised offtake, kg wet, on %s (seed %d, %d draws)", a.Folder.AsOf, a.Seed, a.Draws),
		Columns: []table.Column{col("bed"), col("species"), col("season"), col("from"), col("to"), col("offtake", "kg"),
			col("limited by"), col("cap", "kg a year"), col("replacement", "kg a year"), col("risk limit", "kg a year"),
			col("low stock", "factor"), col("risk", "%"), col("note")}}
	var notes noter
	silent := map[string]int{}
	var order []string
	for i := range a.Units {
		u := &a.Units[i]
		if !c.keep(u.Bed, u.Species) {
			continue
		}
		if u.Status == model.NotAssessed && len(a.Units) > 40 {
			if key := fmt.Sprintf("%s: not assessed: %s", u.Bed, u.Reason); silent[key] == 0 {
				order = append(order, key)
			}
			silent[fmt.Sprintf("%s: not assessed: %s", u.Bed, u.Reason)]++
			continue
		}
		for _, s := range u.Seasons {
			t.Add(seasonRow(u, s)...)
			notes.add(u.Bed+" "+u.Species, s.Warnings...)
		}
		notes.add(u.Bed+" "+u.Species, u.Warnings...)
	}
	t.Notes = notes.lines()
	for _, key := range order {
		t.Notes = append(t.Notes, fmt.Sprintf("%s (%s)", key, plural(silent[key], "species")))
	}
	t.Notes = append(t.Notes, "this is advice: the local authority, codes and licensed people decide")
	return t
}

func seasonRow(u *model.Unit, s model.Season) []table.Cell {
	year := make([]table.Cell, 5)
	if y := s.Year; y != nil {
		year = []table.Cell{kg(y.CapKg), kg(y.ReplacementKg), kg(y.RiskKg), table.Number(y.LowStock, 2), table.Number(100*y.Risk, 2)}
		if s.Status != model.Assessed {
			year[4] = table.Missing
		}
	}
	row := []table.Cell{table.Text(u.Bed), table.Text(u.Species), table.Text(s.Name), table.Text(s.From.String()), table.Text(s.To.String()),
		kg(s.AdvisedKg), table.Text(string(s.LimitedBy))}
	return append(append(row, year...), table.Text(s.Reason))
}

func kg(v float64) table.Cell { return table.Number(v, 3) }
