package main

import (
	"fmt"

	"bedstock/cmd/bedstock/internal/report"
	"bedstock/cmd/bedstock/internal/table"
	"bedstock/model"
)

// growthCmd shows how fast it comes back and which evidence says so.
type growthCmd struct {
	Survey string `arg:"" help:"The survey folder."`
	source
	filter
	shown
}

// Run fits and prints regrowth plots and the r and K of each bed and species.
func (c growthCmd) Run(e *env) error {
	_, a, err := c.assess(e, c.Survey, c.filter, c.shown)
	if err != nil {
		return err
	}
	if c.Format != table.FormatText {
		return c.narrow(report.Growth(a)).Write(e.stdout, c.Format)
	}
	if len(a.Plots) > 0 {
		if err := c.plots(a).Text(e.stdout); err != nil {
			return err
		}
		fmt.Fprintln(e.stdout)
	}
	if err := c.beds(a).Text(e.stdout); err != nil {
		return err
	}
	c.hint(e, "bedstock quota %s turns this into an offtake", c.Survey)
	return nil
}

func (c growthCmd) plots(a *model.Assessment) table.Table {
	t := table.Table{Title: "Regrowth plots: logistic fit", Columns: []table.Column{col("plot"), col("species"), col("measures"),
		col("r", "per year"), col("interval", "per year"), col("K", "kg/m2"), col("status")}}
	var notes noter
	for _, p := range a.Plots {
		if !among(c.Species, p.Species) || !among(c.Bed, p.Bed) {
			continue
		}
		status := p.Status
		if p.Reason != "" {
			status += ": " + p.Reason
		}
		r, interval, k := table.Missing, "-", table.Missing
		if p.SELogR > 0 {
			r = table.Estimate(p.R, p.R*p.SELogR)
			interval = fmt.Sprintf("%s to %s", table.Significant(p.RLo, p.R*p.SELogR), table.Significant(p.RHi, p.R*p.SELogR))
			k = table.Number(p.K, 3)
		}
		t.Add(table.Text(p.Plot), table.Text(p.Species), table.Int(p.N), r, table.Text(interval), k, table.Text(status))
		notes.add(p.Plot, p.Warnings...)
	}
	t.Notes = notes.lines()
	return t
}

func (c growthCmd) beds(a *model.Assessment) table.Table {
	level := fmt.Sprintf("%g %%", 100*a.Rules.Survey.Confidence)
	t := table.Table{Title: fmt.Sprintf("Growth per bed and species (seed %d, %d draws)", a.Seed, a.Draws), Columns: []table.Column{
		col("bed"), col("species"), col("r before"), col("r", "per year, "+level), col("K before"),
		col("K", "kg, "+level), col("surveys"), col("plots"), col("R-hat"), col("ESS"), col("status")}}
	var notes noter
	for i := range a.Units {
		u := &a.Units[i]
		if !c.keep(u.Bed, u.Species) {
			continue
		}
		g := u.Growth
		status := g.Status
		if g.Reason != "" {
			status += ": " + g.Reason
		}
		r, k, rBefore, kBefore := "-", "-", "-", "-"
		rhat, ess := table.Missing, table.Missing
		if g.Status == "ok" {
			r, k = report.Interval(g.R.Median, g.R.Lo, g.R.Hi), report.Interval(g.K.Median, g.K.Lo, g.K.Hi)
			rBefore, kBefore = report.Interval(g.PriorR.Median, g.PriorR.Lo, g.PriorR.Hi), report.Interval(g.PriorK.Median, g.PriorK.Lo, g.PriorK.Hi)
		}
		if g.ESS > 0 {
			rhat, ess = table.Number(g.RHat, 4), table.Number(g.ESS, 3)
		}
		t.Add(table.Text(u.Bed), table.Text(u.Species), table.Text(rBefore), table.Text(r), table.Text(kBefore), table.Text(k),
			table.Int(len(u.Times)), table.Int(a.PlotsUsed(u.Species)), rhat, ess, table.Text(status))
		notes.add(u.Bed+" "+u.Species, g.Warnings...)
	}
	t.Notes = append(append(notes.lines(), a.AbsentNotes()...), "before: from the species table and the regrowth plots, before the surveys of the bed spoke")
	return t
}
