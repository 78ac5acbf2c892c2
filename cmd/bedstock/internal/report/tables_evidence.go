package report

import (
	"bedstock/cmd/bedstock/internal/table"
	"bedstock/model"
	"bedstock/model/growth"
)

// three are the median and the ends of an interval, empty where there is none.
func three(i growth.Interval) []table.Cell {
	if !(i.Median > 0) {
		return make([]table.Cell, 3)
	}
	return []table.Cell{num(i.Median), num(i.Lo), num(i.Hi)}
}

// EvidenceRows are the sources beside each other: a row a bed, species and source.
func EvidenceRows(a *model.Assessment) table.Table {
	t := table.Table{Columns: columns("bed", "species", "source", "n", "r_per_year", "r_lo", "r_hi", "k_kg", "k_lo", "k_hi", "status", "reason")}
	for _, r := range a.EvidenceTable() {
		cells := []table.Cell{table.Text(r.Bed), table.Text(r.Species), table.Text(string(r.Source)), table.Int(r.N)}
		cells = append(append(cells, three(r.R)...), three(r.K)...)
		t.Add(append(cells, table.Text(r.Status), table.Text(r.Note))...)
	}
	return t
}

// CheckRows are the surveys against their forecasts: a row a bed, species and survey.
func CheckRows(a *model.Assessment) table.Table {
	t := table.Table{Columns: columns("bed", "species", "date", "found_kg", "expected_kg", "expected_lo", "expected_hi", "p_none", "p_less", "unexpected", "status", "reason")}
	for i, c := range a.GrowthChecks() {
		u := &a.Units[i]
		for k, s := range c.Predictive.Surveys {
			cells := []table.Cell{table.Text(u.Bed), table.Text(u.Species), day(u.SurveyedOn(k)), num(s.Kg)}
			cells = append(cells, three(s.Expected)...)
			odd := ""
			if s.Status == "ok" {
				odd = ifElse(s.Unexpected, "yes", "no")
			}
			t.Add(append(cells, num(s.PNone), num(s.P), table.Text(odd), table.Text(s.Status), table.Text(s.Reason))...)
		}
	}
	return t
}

// SensitivityRows are what becomes of r, K and the offtake under other values of the table's r.
func SensitivityRows(a *model.Assessment) table.Table {
	t := table.Table{Columns: columns("bed", "species", "factor", "table_r", "r_per_year", "r_lo", "r_hi", "k_kg", "k_lo", "k_hi", "advised_kg", "limited_by", "status", "reason")}
	for _, s := range a.Sensitivity() {
		cells := []table.Cell{table.Text(s.Bed), table.Text(s.Species), num(s.Factor), num(s.TableR)}
		cells = append(append(cells, three(s.R)...), three(s.K)...)
		t.Add(append(cells, num(s.AdvisedKg), table.Text(string(s.LimitedBy)), table.Text(s.GrowthStatus), table.Text(s.Reason))...)
	}
	return t
}
