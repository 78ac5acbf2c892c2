package main

import (
	"fmt"

	"bedstock/cmd/bedstock/internal/report"
	"bedstock/cmd/bedstock/internal/table"
	"bedstock/model"
	"bedstock/model/offtake"
)

// shows tells whether a unit passes the filter.
func (c quotaCmd) shows(u *model.Unit) bool { return c.keep(u.Bed, u.Species) }

// choices shows what each share of what is long enough to cut would lead to, a table a bed and species.
func (c quotaCmd) choices(a *model.Assessment) screen {
	r := a.Rules.Offtake
	v := screen{machine: report.Choices(a, c.shows), hint: fmt.Sprintf("bedstock quota %s --years shows the coming years one by one", typed(c.Survey))}
	unknown := notAssessed()
	for i := range a.Units {
		u := &a.Units[i]
		if !c.shows(u) {
			continue
		}
		rows, reason := report.ChoicesOf(a, u)
		if len(rows) == 0 {
			unknown.Add(table.Text(u.Bed), table.Text(u.Species), table.Text(reason))
			continue
		}
		t := table.Table{Title: fmt.Sprintf("Choices, kg wet: %s, %s, for the year from %s", u.Bed, u.Species, u.Basis.Open), Columns: []table.Column{
			col("share cut", "%"), col("this year", "kg"), col("next year", "kg"), col("interval", "kg"), col("risk", "%"), col("ever", "%"),
			col("yield", "kg a year"), col("remark")}}
		for _, x := range rows {
			t.Add(table.Number(100*x.Fraction, 3), kg(x.Kg), kg(x.NextMedian), table.Text(fromToKg(x.NextLo, x.NextHi)), riskCell(x.Risk),
				riskCell(x.RiskEver), kg(x.YieldPerYear), table.Text(report.Remark(u, x, r.Risk)))
		}
		t.Notes = append(t.Notes, c.lowToday(a, u.Basis.Year))
		if s := u.YearSentence(model.Kg, model.KgDown); s != "" {
			t.Notes = append(t.Notes, s)
		}
		if u.Status != model.Assessed {
			t.Notes = append(t.Notes, fmt.Sprintf("%s: %s; it would hold if the bed were open", u.Status, u.Reason))
		}
		v.people = append(v.people, t)
	}
	v.end(unknown, append([]string{"share cut: of what is long enough to cut, this year and at every later cut; this year of the lower figure of the stock that the rules take",
		riskNote(r)}, c.closing(a)...))
	return v
}

// end sets the stands that are not assessed and the last notes under the tables.
func (v *screen) end(unknown table.Table, notes []string) {
	if len(unknown.Rows) > 0 || len(v.people) == 0 {
		v.people = append(v.people, unknown)
	}
	last := &v.people[len(v.people)-1]
	last.Notes = append(last.Notes, notes...)
}

// notAssessed is the table of the stands about which nothing can be said.
func notAssessed() table.Table {
	return table.Table{Title: "Not assessed", Columns: []table.Column{col("bed"), col("species"), col("reason")}}
}

// years shows the coming years under no cut, the advice and a third, a table a bed and species.
func (c quotaCmd) years(a *model.Assessment) screen {
	v := screen{machine: report.Prospects(a, c.shows), hint: fmt.Sprintf("bedstock quota %s --take BED/SPECIES=KG tries another amount", typed(c.Survey))}
	unknown := notAssessed()
	for i := range a.Units {
		u := &a.Units[i]
		if !c.shows(u) {
			continue
		}
		plans, reason := a.Prospects(u)
		if len(plans) == 0 {
			unknown.Add(table.Text(u.Bed), table.Text(u.Species), table.Text(reason))
			continue
		}
		v.people = append(v.people, c.yearTable(u, plans))
	}
	r := a.Rules.Offtake
	v.end(unknown, append([]string{fmt.Sprintf("stock: just before the cut, median and %g %% interval; risk: chance of being below %g of a full bed just before the cut",
		100*a.Rules.Survey.Confidence, r.LimitOfK)}, c.closing(a)...))
	return v
}

// yearTable are the coming years of one stand.
func (c quotaCmd) yearTable(u *model.Unit, plans []model.Prospect) table.Table {
	t := table.Table{Title: fmt.Sprintf("The coming years, kg wet: %s, %s", u.Bed, u.Species), Columns: []table.Column{col("year")}}
	for _, p := range plans {
		t.Columns = append(t.Columns, col(p.Plan+": stock", "kg"))
		if note := p.Spared(); note != "" {
			t.Notes = append(t.Notes, note)
		}
		if p.Plan != model.NoCut {
			t.Columns = append(t.Columns, col(p.Plan+": cut", "kg"))
			t.Notes = append(t.Notes, fmt.Sprintf("%s: %s %% of what is long enough to cut, %s kg a year over the years", p.Plan,
				table.Number(100*p.Fraction, 3), model.Kg(p.Yearly)))
		}
		t.Columns = append(t.Columns, col(p.Plan+": risk", "%"))
	}
	for y := range plans[0].Years {
		row := []table.Cell{table.Int(u.Basis.Open.Year() + y)}
		for _, p := range plans {
			x := p.Years[y]
			row = append(row, kgSpan(x.Stock))
			if p.Plan != model.NoCut {
				row = append(row, kgSpan(x.Cut))
			}
			row = append(row, riskCell(x.Below))
		}
		t.Add(row...)
	}
	if s := u.YearSentence(model.Kg, model.KgDown); s != "" {
		t.Notes = append(t.Notes, s)
	}
	if u.Status != model.Assessed {
		t.Notes = append(t.Notes, fmt.Sprintf("%s: %s", u.Status, u.Reason))
	}
	return t
}

// kgSpan is a weight with its interval, where they differ.
func kgSpan(s offtake.Span) table.Cell {
	switch {
	case s.Median != s.Median:
		return table.Missing
	case s.Lo == s.Hi:
		return table.Text(model.Kg(s.Median))
	}
	return table.Text(model.Kg(s.Median) + " (" + fromToKg(s.Lo, s.Hi) + ")")
}
