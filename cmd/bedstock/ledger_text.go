package main

import (
	"fmt"
	"strings"

	"bedstock/cmd/bedstock/internal/report"
	"bedstock/cmd/bedstock/internal/table"
	"bedstock/model"
	"bedstock/survey"
)

// text is the ledger for people: a table a season, and below them what should not be.
func (c ledgerCmd) text(a *model.Assessment, l model.Ledger) []table.Table {
	var out []table.Table
	for _, s := range report.LedgerSeasons(l) {
		out = append(out, c.season(s))
	}
	if len(out) == 0 {
		out = append(out, table.Table{Columns: []table.Column{col("bed")}, Notes: []string{"nothing was advised, decided or cut"}})
	}
	out[0].Title = fmt.Sprintf("Ledger on %s, kg wet (seed %d, %d draws). ", l.On, a.Seed, a.Draws) + out[0].Title
	last := &out[len(out)-1]
	last.Notes = append(last.Notes, c.closing(a, l)...)
	return out
}

// season is the table of one season with its totals in words.
func (c ledgerCmd) season(s report.LedgerSeason) table.Table {
	t := table.Table{Title: s.Title, Columns: []table.Column{col("bed"), col("species"), col("permit"), col("advised", "kg"), col("decided", "kg"),
		col("cut", "kg"), col("decided less cut", "kg"), col("returns"), col("last")}}
	if s.State == model.SeasonRunning {
		t.Columns = append(t.Columns, col("end", "kg, at this pace"))
	}
	t.Columns = append(t.Columns, col("note"))
	unused := 0
	for _, r := range s.Rows {
		switch {
		case c.All || report.Used(r) || len(c.Permit) > 0:
			t.Add(ledgerCells(r)...)
		case r.Permit == "":
			unused++
		}
	}
	for i := range s.Unallocated {
		t.Add(unallocatedCells(&s.Unallocated[i])...)
	}
	if unused > 0 {
		t.Notes = append(t.Notes, fmt.Sprintf("%s without decision and return left out", plural(unused, "stand")))
	}
	t.Notes = append(t.Notes, s.Totals...)
	return t
}

func ledgerCells(r *model.LedgerRow) []table.Cell {
	permit, decided, last, returns := "all", table.Text("not issued"), table.Missing, fmt.Sprint(r.Returns)
	if r.Permit != "" {
		permit = r.Permit
	}
	if r.Issued() {
		decided = report.Grams(r.DecidedKg)
	}
	if r.LastReturn != survey.NoDay {
		last = table.Text(r.LastReturn.String())
	}
	if r.Nil > 0 {
		returns = fmt.Sprintf("%d, %d nil", r.Returns, r.Nil)
	}
	out := []table.Cell{table.Text(r.Bed), table.Text(r.Species), table.Text(permit), kg(r.AdvisedKg), decided, report.Grams(r.CutKg), report.Grams(r.LeftKg), table.Text(returns), last}
	if r.State == model.SeasonRunning {
		end := table.Missing
		if r.Projected.Median >= 0 {
			end = table.Text(fmt.Sprintf("%s (%s to %s)", model.Kg(r.Projected.Median), model.Kg(r.Projected.Lo), model.Kg(r.Projected.Hi)))
		}
		out = append(out, end)
	}
	return append(out, table.Text(strings.Join(report.LedgerNotes(r), "; ")))
}

// unallocatedCells is what was landed in a season without a bed or species.
func unallocatedCells(r *model.LedgerUnallocated) []table.Cell {
	last, none, returns := table.Missing, table.Missing, fmt.Sprint(r.Returns)
	if r.LastReturn != survey.NoDay {
		last = table.Text(r.LastReturn.String())
	}
	if r.Nil > 0 {
		returns = fmt.Sprintf("%d, %d nil", r.Returns, r.Nil)
	}
	out := []table.Cell{table.Text(report.UnallocatedName(r)), none, table.Text("all"), none, none, report.Grams(r.CutKg), none, table.Text(returns), last}
	if r.State == model.SeasonRunning {
		out = append(out, none)
	}
	return append(out, table.Text(r.Words()))
}

// closing is what stands below all seasons: rows of harvest.csv that should not be, and how to read the columns.
func (c ledgerCmd) closing(a *model.Assessment, l model.Ledger) []string {
	out := report.StraySentences(l)
	if share := a.Rules.ReportedShare; share != 1 {
		out = append(out, fmt.Sprintf("cut of all together and of each permit: what the returns say over the reported share of %g", share))
	}
	return append(out, "decided, else advised, is what may be cut; not issued: nothing was decided, the advice stands",
		"decided less cut is 0 where nothing more may be cut, however much was cut beyond it",
		"this is advice: the local authority, codes and licensed people decide")
}
