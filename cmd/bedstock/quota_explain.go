package main

import (
	"fmt"

	"bedstock/cmd/bedstock/internal/report"
	"bedstock/cmd/bedstock/internal/table"
	"bedstock/model"
	"bedstock/survey"
)

// explained reads what --explain asks for.
func (c quotaCmd) explained(f *survey.Folder) ([]model.Pair, error) {
	var out []model.Pair
	for _, what := range c.Explain {
		bed, species, label, err := asked("--explain", what, f)
		if err != nil {
			return nil, err
		}
		if label != "" {
			return nil, usageError(fmt.Sprintf("--explain %q: %q follows the species; the offtake rests on the last survey before each season", what, label))
		}
		out = append(out, model.Pair{Bed: bed, Species: species})
	}
	return out, nil
}

// explain shows how offtakes came about, so that they can be worked out again from what is printed.
func (c quotaCmd) explain(a *model.Assessment, pairs []model.Pair) screen {
	v := screen{hint: fmt.Sprintf("bedstock stock %s --explain shows how the stock itself came about", c.Survey)}
	var units []*model.Unit
	unknown := notAssessed()
	for _, p := range pairs {
		u := unitFor(a, p)
		units = append(units, u)
		steps, reason := report.StepsOf(a, u)
		if len(steps) == 0 {
			unknown.Add(table.Text(u.Bed), table.Text(u.Species), table.Text(reason))
			continue
		}
		t := table.Table{Title: fmt.Sprintf("How the offtake came about: %s, %s, on %s (seed %d, %d draws)", u.Bed, u.Species, a.Folder.AsOf, a.Seed, a.Draws),
			Columns: []table.Column{col("step"), col("number"), col("value"), col("unit"), col("how")}}
		last := ""
		for _, s := range steps {
			step := ""
			if s.Step != last {
				step, last = s.Step, s.Step
			}
			t.Add(table.Text(step), table.Text(s.Item), table.Number(s.Value, report.ShownDigits), table.Text(s.Unit), table.Text(s.How))
		}
		v.people = append(v.people, t)
	}
	v.machine = report.QuotaSteps(a, units)
	v.end(unknown, c.closing(a))
	return v
}
