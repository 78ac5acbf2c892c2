package model

import (
	"fmt"
	"slices"
	"strings"

	"bedstock/model/growth"
	"bedstock/survey"
)

// FitPlots fits every regrowth plot of the folder.
func FitPlots(f *survey.Folder, level float64) []growth.PlotFit {
	series := plotSeries(f)
	return plotwise(len(series), func(i int) growth.PlotFit {
		var prior growth.PlotPrior
		if k := slices.IndexFunc(f.Species, func(s survey.Species) bool { return s.Name == series[i].Species }); k >= 0 {
			row := &f.Species[k]
			season := seasonOf(row)
			prior = growth.PlotPrior{K: row.K.Or(0), KCV: row.KCV.Or(0), Amplitude: season.Amplitude, Peak: season.Peak}
		}
		return growth.FitPlot(series[i], prior, level)
	})
}

// RankedPlots are the regrowth plots with all their growth curves, the best first, and the warnings that follow. An
// assessment works them out once, when they are first asked for.
func (a *Assessment) RankedPlots() []growth.PlotFit {
	if a.ranked == nil { // not made by Assess
		return a.rankPlots()
	}
	return a.ranked()
}

func (a *Assessment) rankPlots() []growth.PlotFit {
	return plotwise(len(a.Plots), func(i int) growth.PlotFit { return a.Plots[i].Ranked() })
}

// plotwise is something of each of n plots, worked out on all cores.
func plotwise(n int, of func(i int) growth.PlotFit) []growth.PlotFit {
	out := make([]growth.PlotFit, n)
	eachOf(n, func(i int) { out[i] = of(i) })
	return out
}

// plotSeries gathers the rows of regrowth.csv by plot and species, each in the order of time; on one day a measure
// comes before a cut.
func plotSeries(f *survey.Folder) []growth.PlotSeries {
	rows := slices.Clone(f.Regrowth)
	slices.SortStableFunc(rows, func(a, b survey.PlotRow) int {
		if c := strings.Compare(a.Plot+"\x00"+a.Species, b.Plot+"\x00"+b.Species); c != 0 {
			return c
		}
		if a.Day != b.Day {
			return int(a.Day) - int(b.Day)
		}
		return rank(a) - rank(b)
	})
	var out []growth.PlotSeries
	for _, r := range rows {
		if n := len(out); n == 0 || out[n-1].Plot != r.Plot || out[n-1].Species != r.Species {
			out = append(out, growth.PlotSeries{Plot: r.Plot, Species: r.Species, Bed: r.Bed, M2: r.M2})
		}
		p := &out[len(out)-1]
		p.Events = append(p.Events, growth.PlotEvent{T: r.Day.Years(), Cut: r.Cut, Kg: r.Biomass / 1000})
	}
	return out
}

func rank(r survey.PlotRow) int {
	if r.Cut {
		return 1
	}
	return 0
}

// Evidence says in words what the unit's r rests on.
func (u *Unit) Evidence(a *Assessment) string {
	if u.Row == nil || !u.Row.InTable {
		return ""
	}
	parts := []string{"species table: " + orElse(u.Row.Source, "no source given")}
	if n := a.PlotsUsed(u); n > 0 {
		parts = append(parts, fmt.Sprintf("%d regrowth plots", n))
	}
	if n := len(u.Times); n > 1 && u.Series.TellsGrowth() {
		parts = append(parts, fmt.Sprintf("%d surveys with what was cut between them", n))
	}
	return strings.Join(parts, "; ")
}
