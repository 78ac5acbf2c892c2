package main

import (
	"cmp"
	"fmt"
	"strings"

	"bedstock/cmd/bedstock/internal/report"
	"bedstock/cmd/bedstock/internal/table"
	"bedstock/model"
	"bedstock/model/growth"
)

// plots is one line a regrowth plot.
func (c growthCmd) plots(a *model.Assessment) table.Table {
	t := table.Table{Title: "Regrowth plots: the curve that counts as evidence", Columns: []table.Column{col("plot"), col("species"), col("curve"), col("measures"),
		col("r", "per year"), col("interval", "per year"), col("K", "kg/m2"), col("status")}}
	var notes noter
	for _, p := range a.RankedPlots() {
		if !c.shows(p) {
			continue
		}
		r, interval, k := table.Missing, "-", table.Missing
		if p.SELogR > 0 {
			r = table.Estimate(p.R, p.R*p.SELogR)
			interval = fmt.Sprintf("%s to %s", table.Significant(p.RLo, p.R*p.SELogR), table.Significant(p.RHi, p.R*p.SELogR))
			k = table.Number(p.K, 3)
		}
		t.Add(table.Text(p.Plot), table.Text(p.Species), table.Text(cmp.Or(p.Shape, "-")), table.Int(p.N), r, table.Text(interval), k, table.Text(statusText(p.Status, p.Reason)))
		notes.add(p.Plot, p.Warnings...)
	}
	t.Notes = notes.lines()
	return t
}

// shows tells whether a plot passes the filter; one without a bed stands for all of its species.
func (c growthCmd) shows(p growth.PlotFit) bool {
	return among(c.Species, p.Species) && (p.Bed == "" || among(c.Bed, p.Bed))
}

// statusText joins a status with its reason.
func statusText(status, reason string) string {
	switch {
	case reason == "":
		return status
	case strings.HasPrefix(reason, status):
		return reason
	}
	return status + ": " + reason
}

// species is what the beds of each species have in common.
func (c growthCmd) species(a *model.Assessment) table.Table {
	t := table.Table{Title: fmt.Sprintf("The beds of a species together (seed %d, %d draws)", a.Seed, a.Draws), Columns: []table.Column{
		col("species"), col("beds"), col("r", "per year"), col("spread of log r", "between beds"), col("K", "kg/m2 of its rock"),
		col("spread of log K", "between beds"), col("noise", "per root year"), col("R-hat"), col("ESS"), col("status")}}
	divided := false
	for _, s := range a.Species {
		p := s.Pool
		if !among(c.Species, s.Species) {
			continue
		}
		rhat, ess := diagnostics(p.RHat, p.ESS)
		t.Add(table.Text(s.Name()), table.Int(len(s.Beds)), told(p.R), told(p.Phi), told(p.K), told(p.Omega), told(p.Sigma), rhat, ess,
			table.Text(statusText(p.Status, p.Reason)))
		divided = divided || s.Reach != ""
	}
	if divided {
		t.Notes = append(t.Notes, fmt.Sprintf("of a species on more than %d beds those of one reach of the coast, about %d, are estimated together, with the plots on them, or near them where those are fewer than %d",
			model.MostPooled, model.ReachBeds, model.ReachPlots))
	}
	return t
}

// told is an interval, or that there is none.
func told(i growth.Interval) table.Cell {
	if !(i.Median > 0) {
		return table.Text("-")
	}
	return table.Text(report.Interval(i.Median, i.Lo, i.Hi))
}

func diagnostics(rhat, ess float64) (table.Cell, table.Cell) {
	if !(ess > 0) {
		return table.Missing, table.Missing
	}
	return table.Number(rhat, 4), table.Number(ess, 3)
}

// beds is one line a bed and species.
func (c growthCmd) beds(a *model.Assessment) table.Table {
	level := fmt.Sprintf("%g %%", 100*a.Rules.Survey.Confidence)
	t := table.Table{Title: "Growth per bed and species", Columns: []table.Column{
		col("bed"), col("species"), col("r before"), col("r", "per year, "+level), col("K before"),
		col("K", "kg, "+level), col("surveys"), col("plots"), col("as expected", "P of surveys"), col("R-hat"), col("ESS"), col("status")}}
	var notes noter
	checks := a.GrowthChecks()
	for i := range a.Units {
		u := &a.Units[i]
		if !c.keep(u.Bed, u.Species) {
			continue
		}
		g, none := u.Growth, growth.Interval{}
		r, k, rBefore, kBefore := none, none, none, none
		if g.Status == "ok" {
			r, k, rBefore, kBefore = g.R, g.K, g.PriorR, g.PriorK
		}
		rhat, ess := diagnostics(g.RHat, g.ESS)
		t.Add(table.Text(u.Bed), table.Text(u.Species), told(rBefore), told(r), told(kBefore), told(k), table.Int(len(u.Times)),
			table.Int(a.PlotsUsed(u)), probability(checks[i].Predictive.P), rhat, ess, table.Text(statusText(g.Status, g.Reason)))
		notes.add(u.Bed+" "+u.Species, g.Warnings...)
	}
	t.Notes = append(notes.lines(), a.AbsentNotes()...)
	t.Notes = append(t.Notes, "before: from the species table and the regrowth plots, before the surveys spoke",
		"as expected: the probability of surveys as odd as these, each foretold from those before; under 0.01 look at --check")
	return t
}

// probability is a probability in a cell; NaN: missing.
func probability(p float64) table.Cell { return table.Number(p, 2) }
