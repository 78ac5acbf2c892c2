package main

import (
	"fmt"
	"slices"

	"bedstock/cmd/bedstock/internal/report"
	"bedstock/cmd/bedstock/internal/table"
	"bedstock/survey"
)

// changes shows the change from each survey to the next.
func (c stockCmd) changes(stocks []survey.Stock, o *opened) view {
	all := slices.DeleteFunc(survey.Changes(o.folder, stocks, o.rules.Survey), func(x survey.Change) bool { return !c.keep(x.Bed, x.Species) })
	return view{machine: report.Changes(all), people: c.changesText(all, o),
		empty: "a change needs two surveys of a bed that looked for the species; survey it again at the same season",
		hint:  "--trend fits all surveys at once, --detect tells how small a change the next survey would find"}
}

// changesText is what people read of changes.
func (c stockCmd) changesText(all []survey.Change, o *opened) table.Table {
	t := table.Table{Title: "Change of the standing stock from survey to survey, kg wet", Columns: []table.Column{
		col("bed"), col("species"), col("from"), col("to"), col("change", "kg"), col(levelOf(o), "kg"), col("of the stock", "%"), col("cut between", "kg"),
		col("change + cut", "kg"), col("it holds"), col("note")}}
	var notes noter
	absent := 0
	for _, x := range all {
		if len(c.Species) == 0 && x.Kg.OK && x.FromKg == 0 && x.ToKg == 0 {
			absent++
			continue
		}
		who := x.Bed + " " + x.Species + " " + x.To
		net := valueRange(x.Net, 1)
		if !x.Net.OK && x.Kg.OK {
			notes.add(who, x.ReasonNoNet)
		}
		t.Add(table.Text(x.Bed), table.Text(x.Species), table.Text(x.From), table.Text(x.To), changeCell(x.Kg), rangeCell(x.Kg, 1),
			valueRange(x.Relative, 100), kgOrNone(x.Cut), net, table.Text(x.Verdict()), table.Text(reasoned(x.Status, x.Reason, x.Next)))
		notes.add(who, x.Warnings...)
	}
	if absent > 0 {
		notes.notes = append(notes.notes, fmt.Sprintf("%s of a species found in neither survey; --format csv lists them", plural(absent, "change")))
	}
	t.Notes = notes.lines()
	return t
}

// changeCell is a change in kg.
func changeCell(e survey.Estimate) table.Cell {
	if !e.OK {
		return table.Missing
	}
	se := e.SE
	if !(se > 0) && e.Hi > e.Lo {
		se = (e.Hi - e.Lo) / 4
	}
	return table.Estimate(e.Value, se)
}

// kgOrNone is a weight that may not be known.
func kgOrNone(n survey.Num) table.Cell {
	if !n.OK {
		return table.Missing
	}
	return table.Number(n.V, 3)
}

// reasoned is a status that is not ok, or the reason why something is missing, and what to measure next time.
func reasoned(status survey.Status, reason, next string) string {
	note := noteOf(status, reason)
	if note == "" {
		note = reason
	}
	if next != "" {
		if note != "" {
			note += ". "
		}
		note += "Next time: " + next
	}
	return note
}

// trends shows the trend over all surveys.
func (c stockCmd) trends(stocks []survey.Stock, o *opened) view {
	all := slices.DeleteFunc(survey.Trends(stocks, o.rules.Survey), func(x survey.Trend) bool { return !c.keep(x.Bed, x.Species) })
	t := table.Table{Title: "Trend of the standing stock, a year", Columns: []table.Column{
		col("bed"), col("species"), col("surveys"), col("from"), col("to"), col("a year", "%"), col(levelOf(o), "%"), col("it is"), col("fitted"), col("note")}}
	var notes noter
	for _, x := range all {
		value, from, to := table.Missing, table.Missing, table.Missing
		if x.PerYear.OK {
			value = table.Estimate(100*x.PerYear.Value, 100*x.PerYear.SE)
			from, to = table.Text(x.FromDate.String()), table.Text(x.ToDate.String())
		}
		t.Add(table.Text(x.Bed), table.Text(x.Species), table.Int(len(x.Surveys)), from, to, value, rangeCell(x.PerYear, 100),
			table.Text(x.Verdict()), table.Text(x.Method), table.Text(reasoned(x.Status, x.Reason, x.Next)))
		notes.add(x.Bed+" "+x.Species, x.Warnings...)
	}
	t.Notes = notes.lines()
	return view{machine: report.Trends(all), people: t, empty: c.unsought(),
		hint: "the trend is that of the stock with its cuts; bedstock growth %[1]s takes them apart"}
}

// detectable shows how small a change the next survey would find.
func (c stockCmd) detectable(stocks []survey.Stock, o *opened) view {
	opt := o.rules.Survey
	stocks = slices.DeleteFunc(stocks, func(s survey.Stock) bool { return !c.keep(s.Bed, s.Species) })
	all := survey.LeastDetectable(stocks, survey.Changes(o.folder, stocks, opt), opt, c.More...)
	t := table.Table{Title: fmt.Sprintf("The smallest change since the last survey that the next would find, with a chance of %g %%", 100*survey.DetectPower),
		Columns: []table.Column{col("bed"), col("species"), col("last survey"), col("transects or quadrats"), col("more"), col("fall", "%"), col("rise", "%"),
			col("fall", "kg"), col("rise", "kg"), col("note")}}
	t.Columns[7].Name, t.Columns[7].Head, t.Columns[8].Name, t.Columns[8].Head = "fall_kg", "fall", "rise_kg", "rise"
	for _, d := range all {
		t.Add(table.Text(d.Bed), table.Text(d.Species), table.Text(d.Survey), table.Int(d.Units), table.Int(d.More), percentCell(d.Fall), percentCell(d.Rise),
			table.Number(d.FallKg, 2), table.Number(d.RiseKg, 2), table.Text(reasoned(d.Status, d.Reason, d.Next)))
	}
	hint := ""
	if len(c.More) == 0 {
		hint = "--more 5 --more 10 tell what five and ten transects (or quadrats) more would find"
	}
	return view{machine: report.Detectables(all), people: t, empty: c.unsought(), hint: hint}
}
