package main

import (
	"fmt"

	"bedstock/cmd/bedstock/internal/report"
	"bedstock/cmd/bedstock/internal/table"
	"bedstock/model"
	"bedstock/survey"
)

// explained reads what --explain asks for; what may not follow the species says why.
func explained(asks []string, f *survey.Folder, why string) ([]model.Pair, error) {
	var out []model.Pair
	for _, what := range asks {
		bed, species, label, err := asked("--explain", what, f)
		if err != nil {
			return nil, err
		}
		if label != "" {
			return nil, usageError(fmt.Sprintf("--explain %q: %q follows the species; %s", what, label, why))
		}
		out = append(out, model.Pair{Bed: bed, Species: species})
	}
	return out, nil
}

func (c quotaCmd) explained(f *survey.Folder) ([]model.Pair, error) {
	return explained(c.Explain, f, "the offtake rests on the last survey before each season")
}

// explain shows how offtakes came about, so that they can be worked out again from what is printed.
func (c quotaCmd) explain(a *model.Assessment, pairs []model.Pair) screen {
	v := screen{hint: fmt.Sprintf("bedstock stock %s --explain shows how the stock itself came about", typed(c.Survey))}
	v.steps(a, pairs, "How the offtake came about", report.StepsOf, c.closing(a))
	return v
}

// steps shows the steps to something of some stands, a table each.
func (v *screen) steps(a *model.Assessment, pairs []model.Pair, title string, of report.StepsBy, closing []string) {
	var units []*model.Unit
	unknown := notAssessed()
	for _, p := range pairs {
		u := unitFor(a, p)
		units = append(units, u)
		steps, reason := of(a, u)
		if len(steps) == 0 {
			unknown.Add(table.Text(u.Bed), table.Text(u.Species), table.Text(reason))
			continue
		}
		v.people = append(v.people, stepTable(fmt.Sprintf("%s: %s, %s, on %s (seed %d, %d draws)", title, u.Bed, u.Species, a.Folder.AsOf, a.Seed, a.Draws), steps))
	}
	v.machine = report.StepTable(a, units, of)
	v.end(unknown, closing)
}

func stepTable(title string, steps []report.Step) table.Table {
	t := table.Table{Title: title, Columns: []table.Column{col("step"), col("number"), col("value"), col("unit"), col("how")}}
	last := ""
	for _, s := range steps {
		step := ""
		if s.Step != last {
			step, last = s.Step, s.Step
		}
		t.Add(table.Text(step), table.Text(s.Item), table.Number(s.Value, report.ShownDigits), table.Text(s.Unit), table.Text(s.How))
	}
	return t
}
