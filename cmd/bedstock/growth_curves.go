package main

import (
	"fmt"
	"slices"

	"bedstock/cmd/bedstock/internal/report"
	"bedstock/cmd/bedstock/internal/table"
	"bedstock/model"
	"bedstock/model/growth"
)

// curves shows the curves of the regrowth plots, and the plots of a species together.
func (c growthCmd) curves(a *model.Assessment) screen {
	machine := report.CurveRows(a, c.Curve)
	machine.Rows = slices.DeleteFunc(machine.Rows, func(row []table.Cell) bool {
		return !among(c.Species, row[1].String()) || row[2].String() != "" && !among(c.Bed, row[2].String())
	})
	v := screen{machine: machine, people: []table.Table{c.curveTable(a)},
		hint: fmt.Sprintf("bedstock growth %s --evidence sets the plots beside the surveys and the species table", typed(c.Survey))}
	if c.Curve == "" {
		v.people = append(v.people, c.trust(a), c.together(a))
	}
	return v
}

// noPlots says why there is no regrowth plot to show.
func (c growthCmd) noPlots(a *model.Assessment) string {
	if len(a.RankedPlots()) == 0 {
		return "the folder has no regrowth plots: regrowth.csv holds what was cut and measured on them"
	}
	return "no regrowth plot of these beds and species"
}

func (c growthCmd) curveTable(a *model.Assessment) table.Table {
	title := "Regrowth plots: every curve, the best first"
	if c.Curve != "" {
		title = "Regrowth plots by the curve " + c.Curve
	}
	t := table.Table{Title: title, Columns: []table.Column{col("plot"), col("species"), col("curve"), col("measures"), col("r", "per year"),
		col("K", "kg/m2"), col("theta"), col("recovery", "years"), col("residual SD"), col("AICc above the best"), col("weight"), col("status")}}
	var notes noter
	for _, p := range a.RankedPlots() {
		if !c.shows(p) {
			continue
		}
		notes.add(p.Plot, p.Warnings...)
		if p.Status == growth.PlotNot {
			t.Add(table.Text(p.Plot), table.Text(p.Species), table.Text("-"), table.Int(p.N), table.Text("-"), table.Text("-"), table.Text("-"), table.Missing,
				table.Missing, table.Missing, table.Missing, table.Text(statusText(p.Status, p.Reason)))
			continue
		}
		p.LimitCurves()
		for _, k := range p.Curves {
			if c.Curve != "" && k.Shape != c.Curve {
				continue
			}
			t.Add(table.Text(p.Plot), table.Text(p.Species), table.Text(k.Shape), table.Int(k.N), limited(k.R), limited(k.K), limited(k.Theta),
				table.Number(k.Recovery, 2), table.Number(k.RSD, 2), table.Number(k.Delta, 3), weight(k.Weight), table.Text(statusText(k.Status, k.Reason)))
		}
	}
	t.Notes = append(notes.lines(), "recovery: from a tenth of the ceiling to nine tenths; the r of different curves are not the same quantity, this can be compared",
		"weight: Akaike's, of the curves of one plot; what counts as evidence is the r of the logistic, seasonal where peak_month and amplitude of the species are known")
	return t
}

// limited is a value with its limits, of which one may not exist.
func limited(i growth.Interval) table.Cell {
	if !(i.Median > 0) {
		return table.Text("-")
	}
	switch {
	case i.Lo > 0 && i.Hi > 0:
		return told(i)
	case !(i.Lo > 0) && !(i.Hi > 0):
		return table.Text(table.Number(i.Median, 3).String())
	}
	side := func(v float64) string {
		if v > 0 {
			return table.Number(v, 2).String()
		}
		return "?"
	}
	return table.Text(fmt.Sprintf("%s (%s to %s)", table.Number(i.Median, 3).String(), side(i.Lo), side(i.Hi)))
}

// weight is a weight in a cell, one that is as good as none not as a power of ten.
func weight(v float64) table.Cell {
	if v < 0.001 {
		return table.Text("< 0.001")
	}
	return table.Number(v, 2)
}

// trust is how far the fit of each plot can be trusted.
func (c growthCmd) trust(a *model.Assessment) table.Table {
	t := table.Table{Title: "How far to trust each plot", Columns: []table.Column{col("plot"), col("species"), col("correlation", "of r and K"),
		col("largest leverage"), col("largest residual", "in SDs"), col("runs", "P of so few"), col("lack of fit", "P")}}
	for _, p := range a.Plots {
		if !c.shows(p) || p.Status == growth.PlotNot {
			continue
		}
		d := p.Diagnostics
		t.Add(table.Text(p.Plot), table.Text(p.Species), table.Number(d.CorrRK, 2), largest(d.Leverage), largest(d.Standardized),
			probability(d.Runs.PFew), probability(d.LackOfFit.P))
	}
	t.Notes = []string{"leverage near 1: one measure alone sets the curve; few runs or lack of fit under 0.05: its shape does not fit"}
	return t
}

// largest is the value farthest from 0.
func largest(list []float64) table.Cell {
	far := table.Missing
	most := -1.0
	for _, v := range list {
		if v > most || -v > most {
			most = max(v, -v)
			far = table.Number(v, 2)
		}
	}
	return far
}

// together is what the plots of each species say together.
func (c growthCmd) together(a *model.Assessment) table.Table {
	t := table.Table{Title: "The plots of a species together", Columns: []table.Column{col("species"), col("plots"), col("r", "per year"),
		col("one more plot", "per year"), col("spread of log r"), col("its interval"), col("Q"), col("P"), col("I2", "%"), col("far from the others"), col("status")}}
	var notes noter
	for _, p := range growth.TogetherBySpecies(a.Plots, a.Rules.Survey.Confidence) {
		if !among(c.Species, p.Species) {
			continue
		}
		spread := table.Text("-")
		if p.PhiHi > 0 {
			spread = table.Text(fmt.Sprintf("%s to %s", table.Number(p.PhiLo, 2).String(), table.Number(p.PhiHi, 2).String()))
		}
		far := "-"
		for i, name := range p.Outliers {
			if far = name; i > 0 {
				far = p.Outliers[0] + ", …"
			}
		}
		t.Add(table.Text(p.Species), table.Int(p.N), told(p.R), told(p.RNext), table.Number(p.Phi, 2), spread, table.Number(p.Q, 3), probability(p.QP),
			table.Number(100*p.I2, 2), table.Text(far), table.Text(statusText(p.Status, p.Reason)))
		notes.add(p.Species, p.Warnings...)
		notes.add(p.Species, p.LeftOut...)
	}
	t.Notes = append(notes.lines(), "mean by restricted maximum likelihood, its interval by Knapp and Hartung; Q: are the plots alike? plots far from the others are named, never dropped")
	return t
}
