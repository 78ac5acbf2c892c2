package main

import (
	"bedstock/cmd/bedstock/internal/sheets"
	"bedstock/cmd/bedstock/internal/table"
	"bedstock/model"
	"bedstock/model/plan"
	"bedstock/survey"
)

// daysCSV is days.csv: a row a bed and low water, and one for each bed without days.
func daysCSV(l model.Laid, rules model.Rules) table.Table {
	t := table.Table{Columns: []table.Column{col("day"), col("low_water"), col("height_m"), col("bed"), col("visit"), col("visits"), col("minutes_on_bed"),
		col("shore_from"), col("leave_by"), col("outing_hours"), col("needs_at_m"), col("needs_from"), col("status"), col("reason")}}
	for _, o := range l.Outings {
		start, leave, minutes := l.Hours(o)
		for _, p := range o.Parts {
			n := needOf(l, p.Bed)
			t.Add(table.Text(survey.Day(o.Day).String()), table.Text(survey.Clock(o.Minute)), table.Number(o.Height, 0), table.Text(p.Bed), table.Int(p.Number), table.Int(p.Of),
				table.Number(p.Work, 6), table.Text(clockOf(start)), table.Text(clockOf(leave)), table.Number(minutes/60, 6), table.Number(n.At, 6), table.Text(n.Why),
				table.Text("ok"), closedCell(l, p.Bed, o.Day))
		}
	}
	for _, w := range l.Without {
		n := needOf(l, w.Bed)
		row := make([]table.Cell, len(t.Columns))
		row[3], row[5], row[10], row[11] = table.Text(w.Bed), table.Int(w.Takes), table.Number(n.At, 6), table.Text(n.Why)
		row[12], row[13] = table.Text("no day"), table.Text(whyWithout(w, l, rules))
		t.Add(row...)
	}
	return t
}

// closedCell says that a bed is closed to cutting on its day.
func closedCell(l model.Laid, bed string, day int) table.Cell {
	if reason := l.ClosedOn(bed, survey.Day(day)); reason != "" {
		return table.Text("closed to cutting: " + reason)
	}
	return table.Missing
}

// visitsOf are the planned visits of a bed for its sheet.
func visitsOf(l model.Laid, bed string) []sheets.Visit {
	var out []sheets.Visit
	for _, o := range l.Outings {
		for _, p := range o.Parts {
			if p.Bed == bed {
				out = append(out, visitOf(l, o, bed))
			}
		}
	}
	return out
}

func visitOf(l model.Laid, o plan.Outing, bed string) sheets.Visit {
	start, leave, _ := l.Hours(o)
	v := sheets.Visit{Day: survey.Day(o.Day).String(), LowWater: survey.Clock(o.Minute) + ", " + metres(o.Height), From: clockOf(start), LeaveBy: clockOf(leave)}
	v.Closed = l.ClosedOn(bed, survey.Day(o.Day))
	for _, p := range o.Parts {
		if p.Bed != bed {
			v.With = append(v.With, p.Bed)
		}
	}
	return v
}
