package report

import (
	"bedstock/cmd/bedstock/internal/table"
	"bedstock/model"
	"bedstock/survey"
)

// Ledger is ledger.csv: a row a bed, species and season, and one a permit.
func Ledger(l model.Ledger) table.Table {
	t := ledgerLayout.empty()
	for _, r := range l.Rows {
		last := table.Missing
		if r.LastReturn != survey.NoDay {
			last = day(r.LastReturn)
		}
		t.Add(table.Text(r.Bed), table.Text(r.Species), table.Text(r.Season), day(r.From), day(r.To), table.Text(r.Permit), table.Text(string(r.State)),
			num(r.AdvisedKg), num(r.DecidedKg), exact(r.ReturnsMg), num(r.CutKg), num(r.LeftKg), exact(r.CastMg), table.Int(r.Returns), table.Int(r.Nil),
			last, num(r.Projected.Median), num(r.Projected.Lo), num(r.Projected.Hi), num(r.Risk), table.Text(ifElse(r.Over(), "yes", "no")), joined(r.Notes))
	}
	return t
}

// exact is a weight in mg as kg with all its digits, so that sums agree with the file to the last gram.
func exact(mg int64) table.Cell { return table.Number(model.Kilos(mg), 15) }
