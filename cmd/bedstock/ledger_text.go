package main

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"bedstock/cmd/bedstock/internal/table"
	"bedstock/model"
	"bedstock/survey"
)

// text is the ledger for people: a table a season, the running ones first, then those that are over, the last of them
// first, then the coming ones; below them what should not be.
func (c ledgerCmd) text(a *model.Assessment, l model.Ledger) []table.Table {
	var out []table.Table
	for _, state := range []model.LedgerState{model.SeasonRunning, model.SeasonOver, model.SeasonComing} {
		seasons := seasonsOf(l.Rows, state)
		if state == model.SeasonOver {
			slices.Reverse(seasons)
		}
		for _, rows := range seasons {
			out = append(out, c.season(l, rows))
		}
	}
	if len(out) == 0 {
		out = append(out, table.Table{Columns: []table.Column{col("bed")}, Notes: []string{"nothing was advised, decided or cut"}})
	}
	out[0].Title = fmt.Sprintf("Ledger on %s, kg wet (seed %d, %d draws). ", l.On, a.Seed, a.Draws) + out[0].Title
	last := &out[len(out)-1]
	last.Notes = append(last.Notes, c.closing(a, l)...)
	return out
}

// seasonsOf parts the rows of a state by season, in their order.
func seasonsOf(rows []model.LedgerRow, state model.LedgerState) [][]model.LedgerRow {
	var out [][]model.LedgerRow
	for _, r := range rows {
		if r.State != state {
			continue
		}
		if n := len(out); n > 0 && out[n-1][0].Season == r.Season && out[n-1][0].From == r.From && out[n-1][0].To == r.To {
			out[n-1] = append(out[n-1], r)
		} else {
			out = append(out, []model.LedgerRow{r})
		}
	}
	return out
}

// season is the table of one season with its totals in words.
func (c ledgerCmd) season(l model.Ledger, rows []model.LedgerRow) table.Table {
	first := rows[0]
	t := table.Table{Title: seasonTitle(l.On, first), Columns: []table.Column{col("bed"), col("species"), col("permit"), col("advised", "kg"), col("decided", "kg"),
		col("cut", "kg"), col("left", "kg"), col("returns"), col("last")}}
	if first.State == model.SeasonRunning {
		t.Columns = append(t.Columns, col("end", "kg, at this pace"))
	}
	t.Columns = append(t.Columns, col("note"))
	unused := 0
	for i := range rows {
		r := &rows[i]
		switch {
		case c.All || r.Issued() || r.Returns > 0 || r.CastMg > 0 || len(c.Permit) > 0:
		case r.Permit == "" && r.State == model.SeasonComing && r.AdvisedKg > 0:
		default:
			if r.Permit == "" {
				unused++
			}
			continue
		}
		t.Add(ledgerCells(r)...)
	}
	if unused > 0 {
		t.Notes = append(t.Notes, fmt.Sprintf("%s without decision and return left out", plural(unused, "stand")))
	}
	for i := range l.Totals {
		total := &l.Totals[i]
		if total.Season == first.Season && total.From == first.From && total.To == first.To {
			if s := total.Sentence(l.On, model.Kg); s != "" {
				t.Notes = append(t.Notes, shoreName(total)+": "+s)
			}
		}
	}
	return t
}

func shoreName(t *model.LedgerTotal) string {
	switch {
	case t.Shore != "":
		return t.Shore
	case t.All:
		return "all together"
	}
	return "no shore named"
}

// seasonTitle says which season it is and how it stands in time.
func seasonTitle(on survey.Day, r model.LedgerRow) string {
	s := fmt.Sprintf("%s %d, %s to %s: ", r.Season, r.From.Year(), r.From, r.To)
	switch r.State {
	case model.SeasonOver:
		return s + "over"
	case model.SeasonComing:
		return s + fmt.Sprintf("begins in %s", plural(int(r.From-on), "day"))
	}
	return s + fmt.Sprintf("running, %s to go", plural(int(r.To-on), "day"))
}

func ledgerCells(r *model.LedgerRow) []table.Cell {
	permit, decided, last, returns := "all", table.Text("not issued"), table.Missing, fmt.Sprint(r.Returns)
	if r.Permit != "" {
		permit = r.Permit
	}
	if r.Issued() {
		decided = grams(r.DecidedKg)
	}
	if r.LastReturn != survey.NoDay {
		last = table.Text(r.LastReturn.String())
	}
	if r.Nil > 0 {
		returns = fmt.Sprintf("%d, %d nil", r.Returns, r.Nil)
	}
	out := []table.Cell{table.Text(r.Bed), table.Text(r.Species), table.Text(permit), kg(r.AdvisedKg), decided, grams(r.CutKg), grams(r.LeftKg), table.Text(returns), last}
	notes := slices.Clone(r.Notes)
	if r.State == model.SeasonRunning {
		end := table.Missing
		if r.Projected.Median >= 0 {
			end = table.Text(fmt.Sprintf("%s (%s to %s)", model.Kg(r.Projected.Median), model.Kg(r.Projected.Lo), model.Kg(r.Projected.Hi)))
		}
		out = append(out, end)
		if r.Permit == "" && r.OverChance >= 0.05 && !r.Over() {
			notes = append(notes, fmt.Sprintf("%.0f %% chance to go over at this pace", 100*r.OverChance))
		}
		if r.Permit == "" && r.Returns > r.Nil && r.PaceNote != "" {
			notes = append(notes, r.PaceNote)
		}
	}
	if r.CastMg > 0 {
		notes = append(notes, fmt.Sprintf("%s kg cast weed beside it", model.Kg(model.Kilos(r.CastMg))))
	}
	if r.Status == model.NotAssessed && r.Permit == "" && math.IsNaN(r.AdvisedKg) && !slices.ContainsFunc(notes, func(n string) bool { return strings.HasSuffix(n, r.Reason) }) {
		notes = append(notes, "not assessed: "+r.Reason)
	}
	return append(out, table.Text(strings.Join(notes, "; ")))
}

// grams is a weight to the gram where it is one of the returns or decisions; where it is worked out, with the digits that
// [model.Kg] gives it.
func grams(v float64) table.Cell {
	if r := math.Round(v*1000) / 1000; math.Abs(r-v) < 1e-9*math.Max(math.Abs(v), 1) {
		return table.Estimate(r, 0)
	}
	return kg(v)
}

// closing is what stands below all seasons: rows of harvest.csv that should not be, and how to read the columns.
func (c ledgerCmd) closing(a *model.Assessment, l model.Ledger) []string {
	var out []string
	for _, s := range l.Strays {
		who := ""
		if s.Permit != "" {
			who = " by " + s.Permit
		}
		out = append(out, fmt.Sprintf("harvest.csv:%d: %s kg of %s on %s on %s%s: %s", s.Line, model.Kg(s.Kg), s.Pair.Species, s.Pair.Bed, s.Day, who, s.Why))
	}
	if share := a.Rules.ReportedShare; share != 1 {
		out = append(out, fmt.Sprintf("cut of all together and of each permit: what the returns say over the reported share of %g", share))
	}
	return append(out, "decided, else advised, is what may be cut; not issued: nothing was decided, the advice stands",
		"this is advice: the local authority, codes and licensed people decide")
}
