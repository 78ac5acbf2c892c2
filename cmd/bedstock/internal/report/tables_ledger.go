package report

import (
	"slices"

	"bedstock/cmd/bedstock/internal/table"
	"bedstock/model"
	"bedstock/survey"
)

// Ledger is ledger.csv: a row a bed, species and season, one a permit where permits are to be shown, and below them what was
// landed without a bed or species.
func Ledger(l model.Ledger, permits bool) table.Table {
	t := ledgerLayout.empty()
	for _, r := range l.Rows {
		if r.Permit != "" && !permits {
			continue
		}
		last := table.Missing
		if r.LastReturn != survey.NoDay {
			last = day(r.LastReturn)
		}
		t.Add(table.Text(r.Bed), table.Text(r.Species), table.Text(r.Season), day(r.From), day(r.To), table.Text(r.Permit), table.Text(string(r.State)),
			num(r.AdvisedKg), num(r.DecidedKg), exact(r.ReturnsMg), num(r.CutKg), num(r.LeftKg), exact(r.CastMg), table.Int(r.Returns), table.Int(r.Nil),
			last, num(r.Projected.Median), num(r.Projected.Lo), num(r.Projected.Hi), num(r.Risk), yesNo(r.Over()), joined(r.Notes),
			table.Text(r.Shore), table.Text(string(r.LimitedBy)), table.Text(string(r.Status)), table.Text(r.Reason), yesNo(r.Issued()), exact(r.ShutMg),
			num(r.OverChance), yesNo(r.Missing), table.Text(r.PaceNote))
	}
	for i := range l.Unallocated {
		t.Add(unallocatedCells(&l.Unallocated[i])...)
	}
	return t
}

// ledgerRows is how many rows of the ledger are in memory at once on their way to ledger.csv.
const ledgerRows = 20_000

// ledgerCSV is ledger.csv with permits.
func ledgerCSV(l model.Ledger) []byte {
	part := l
	part.Rows, part.Unallocated = nil, nil
	out := Ledger(part, true).CSVBytes()
	header := len(out)
	add := func() { out = append(out, Ledger(part, true).CSVBytes()[header:]...) }
	for rows := range slices.Chunk(l.Rows, ledgerRows) {
		part.Rows = rows
		add()
	}
	part.Rows, part.Unallocated = nil, l.Unallocated
	add()
	return out
}

// unallocatedCells are the cells of what was landed in a season without a bed or species.
func unallocatedCells(r *model.LedgerUnallocated) []table.Cell {
	last, none := table.Missing, table.Missing
	if r.LastReturn != survey.NoDay {
		last = day(r.LastReturn)
	}
	return []table.Cell{table.Text(""), table.Text(""), table.Text(r.Season), day(r.From), day(r.To), table.Text(""), table.Text(string(r.State)),
		none, none, exact(r.ReturnsMg), num(r.CutKg), none, exact(r.CastMg), table.Int(r.Returns), table.Int(r.Nil), last, none, none, none, none,
		yesNo(false), table.Text("unallocated: " + r.Words()), table.Text(r.Shore), table.Text(""), table.Text(""), table.Text(""), yesNo(false),
		exact(0), none, yesNo(false), table.Text("")}
}

func yesNo(yes bool) table.Cell { return table.Text(ifElse(yes, "yes", "no")) }

// exact is a weight in mg as kg with all its digits, so that sums agree with the file to the last gram.
func exact(mg int64) table.Cell { return table.Estimate(model.Kilos(mg), 0) }
