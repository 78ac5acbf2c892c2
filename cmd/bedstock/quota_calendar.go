package main

import (
	"fmt"

	"bedstock/cmd/bedstock/internal/report"
	"bedstock/cmd/bedstock/internal/table"
	"bedstock/model"
)

// calendar prints in which year which bed of a rotation is cut.
func (c quotaCmd) calendar(e *env, a *model.Assessment) error {
	if len(a.Rotations) == 0 {
		return usageError("--calendar: no bed that is asked for takes its turn in a rotation; [[rotation]] in rules.toml makes one")
	}
	if c.Format != table.FormatText {
		return report.Rotation(a).Write(e.stdout, c.Format)
	}
	t := table.Table{Title: fmt.Sprintf("Beds cut in turn, on %s (seed %d, %d draws)", a.Folder.AsOf, a.Seed, a.Draws),
		Columns: []table.Column{col("rotation"), col("bed"), col("turn"), col("then"), col("last cut"), col("expected", "kg"), col("interval", "kg"), col("note")}}
	for _, r := range a.Rotations {
		for _, turn := range r.Turns {
			last := table.Missing
			if turn.LastCut > 0 {
				last = table.Int(turn.LastCut)
			}
			interval := ""
			if k := turn.Kg; k.Lo == k.Lo {
				interval = model.Kg(k.Lo) + " to " + model.Kg(k.Hi)
			}
			t.Add(table.Text(r.Name), table.Text(turn.Bed), table.Int(turn.Year), table.Int(turn.Year+r.Period), last, kg(turn.Kg.Median),
				table.Text(interval), table.Text(turn.Note))
		}
		t.Notes = append(t.Notes, report.RotationSentence(r))
	}
	t.Notes = append(t.Notes, "what may be cut is decided by the last survey before a turn; until then a bed rests",
		"this is advice: the local authority, codes and licensed people decide")
	return t.Text(e.stdout)
}
