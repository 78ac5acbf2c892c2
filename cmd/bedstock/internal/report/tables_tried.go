package report

import (
	"strings"

	"bedstock/cmd/bedstock/internal/table"
	"bedstock/model"
	"bedstock/model/offtake"
)

// Tried is a row for each take that is tried, and for the advice it stands beside.
func Tried(all []model.Tried) table.Table {
	t := table.Table{Columns: columns("bed", "species", "what", "asked", "kg", "fraction", "cap_kg", "replacement_kg", "risk_kg", "low_stock",
		"above", "risk", "risk_se", "risk_ever", "stock_kg", "next_kg", "next_lo", "next_hi", "yield_kg_per_year", "status", "reason", "warnings", "risk_now")}
	for _, x := range all {
		y := x.Year
		t.Add(table.Text(x.Bed), table.Text(x.Species), table.Text(x.What), num(x.Value), num(y.AdvisedKg), num(x.Share), num(y.CapKg),
			num(y.ReplacementKg), num(y.RiskKg), num(y.LowStock), table.Text(Above(x)), num(y.Risk), num(y.RiskSE), num(y.RiskEver),
			num(x.StockKg), num(y.NextMedian), num(y.NextLo), num(y.NextHi), num(y.YieldPerYear), table.Text(string(x.Status)),
			table.Text(x.Reason), joined(y.Warnings), num(y.RiskNow))
	}
	return t
}

// Above names the limits that a take is above.
func Above(x model.Tried) string {
	var names []string
	for _, l := range x.Above {
		names = append(names, string(l))
	}
	if x.Low {
		names = append(names, string(offtake.ByLowStock))
	}
	return strings.Join(names, ", ")
}

// Choices is a row a bed, species and fraction: what cutting it at this and every later cut comes to.
func Choices(a *model.Assessment, keep func(*model.Unit) bool) table.Table {
	t := table.Table{Columns: columns("bed", "species", "fraction", "advised", "kg", "risk", "risk_se", "risk_ever", "next_kg", "next_lo", "next_hi",
		"yield_kg_per_year", "status", "reason", "cut_already_kg", "advised_yet_kg")}
	for i := range a.Units {
		u := &a.Units[i]
		if !keep(u) {
			continue
		}
		who := []table.Cell{table.Text(u.Bed), table.Text(u.Species)}
		rows, reason := ChoicesOf(a, u)
		if len(rows) == 0 {
			t.Add(append(append(who, make([]table.Cell, 10)...), table.Text(string(model.NotAssessed)), table.Text(reason), table.Missing, table.Missing)...)
		}
		for _, c := range rows {
			t.Add(append(who[:2:2], num(c.Fraction), table.Bool(c.Fraction == u.AdvisedShare()), num(c.Kg), num(c.Risk), num(c.RiskSE), num(c.RiskEver),
				num(c.NextMedian), num(c.NextLo), num(c.NextHi), num(c.YieldPerYear), table.Text(string(u.Status)), table.Text(u.Reason), num(u.YearCutKg), num(u.YearAheadKg))...)
		}
	}
	return t
}

// ChoicesOf are the fractions of a stand from which people choose, with what they lead to; nil with the reason where
// there is nothing to choose from.
func ChoicesOf(a *model.Assessment, u *model.Unit) ([]offtake.Choice, string) {
	switch {
	case u.Basis == nil || u.Status == model.NotAssessed:
		return nil, u.Reason
	case !(u.Basis.Year.ExploitableQ > gram):
		return nil, "nothing of the stock is sure to stand or long enough to be cut"
	}
	return offtake.Choices(u.Basis.Stand, a.Rules.OfftakeOf(u.Pair), model.Shares(u.AdvisedShare())), ""
}

// Prospects is a row a bed, species, way of cutting and coming year.
func Prospects(a *model.Assessment, keep func(*model.Unit) bool) table.Table {
	t := table.Table{Columns: columns("bed", "species", "plan", "fraction", "year", "stock_kg", "stock_lo", "stock_hi", "cut_kg", "cut_lo", "cut_hi",
		"risk", "risk_se", "status", "reason")}
	for i := range a.Units {
		u := &a.Units[i]
		if !keep(u) {
			continue
		}
		who := []table.Cell{table.Text(u.Bed), table.Text(u.Species)}
		plans, reason := a.Prospects(u)
		if len(plans) == 0 {
			t.Add(append(append(who, make([]table.Cell, 11)...), table.Text(string(model.NotAssessed)), table.Text(reason))...)
		}
		for _, p := range plans {
			for _, y := range p.Years {
				t.Add(append(who[:2:2], table.Text(p.Plan), num(p.Fraction), table.Int(u.Basis.Open.Year()+y.Year), num(y.Stock.Median), num(y.Stock.Lo),
					num(y.Stock.Hi), num(y.Cut.Median), num(y.Cut.Lo), num(y.Cut.Hi), num(y.Below), num(y.BelowSE), table.Text(string(u.Status)),
					table.Text(u.Reason))...)
			}
		}
	}
	return t
}
