package main

import (
	"slices"

	"bedstock/cmd/bedstock/internal/report"
	"bedstock/cmd/bedstock/internal/table"
	"bedstock/survey"
)

// lengths shows how long the fronds are.
func (c stockCmd) lengths(o *opened) view {
	all := slices.DeleteFunc(survey.Lengths(o.folder, o.rules.Survey), func(l survey.LengthSummary) bool { return !c.keep(l.Bed, l.Species) })
	t := table.Table{Title: "Length of the fronds, cm, and shares of the stock by length, %", Columns: []table.Column{
		col("bed"), col("species"), col("survey"), col("fronds"), col("mean lengths"), col("mean", "cm"), col("median", "cm"), col("5 to 95 %", "cm"),
		col("recruits", "% of fronds"), col("long enough", "% of stock"), col("may be cut", "% of stock"), col("note")}}
	var notes noter
	without := 0
	for _, l := range all {
		if l.Source == "" && len(c.Bed)+len(c.Species) == 0 {
			without++
			continue
		}
		median := report.Percentile(l, 0.5)
		t.Add(table.Text(l.Bed), table.Text(l.Species), table.Text(l.Survey), table.Int(l.Fronds), table.Int(l.Means), valueRange(l.Mean, 1),
			wholeCm(median), between(l), percentRange(l.Recruits), percentRange(l.LongEnough), percentRange(l.Exploitable),
			short(string(l.Status)))
		name := l.Bed + " " + l.Species + " " + l.Survey
		notes.addReason(name, l.Reason)
		notes.add(name, l.Warnings...)
	}
	t.Notes = notes.alike()
	if without > 0 {
		t.Notes = append(t.Notes, plural(without, "stock")+" without any length: measure fronds in some quadrats of every transect (--format csv lists them)")
	}
	return view{machine: report.Lengths(all), people: t,
		empty: "the species was found in no survey of the bed, so no frond could be measured",
		hint:  "the shortest frond that may be cut and what is left of it stand in species.csv: bedstock rules %[1]s"}
}

// between is the range that holds nine of ten fronds.
func between(l survey.LengthSummary) table.Cell {
	lo, hi := report.Percentile(l, 0.05), report.Percentile(l, 0.95)
	if !lo.OK || !hi.OK {
		return table.Missing
	}
	return table.Text(table.Number(lo.Value, 2).String() + " to " + table.Number(hi.Value, 2).String())
}

// wholeCm is a length of two or three digits.
func wholeCm(e survey.Estimate) table.Cell {
	if !e.OK {
		return table.Missing
	}
	return table.Number(e.Value, 3)
}
