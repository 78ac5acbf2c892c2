package report

import (
	"fmt"
	"slices"
	"strings"

	"bedstock/model"
	"bedstock/model/growth"
	"bedstock/survey"
)

// methods is the part for the scientist.
type methods struct {
	Seed    uint64
	Draws   int
	Rules   []ruleRow
	Growth  growthPart
	Plots   []plotRow
	Stocks  []sampleRow
	Unsized int // surveyed stocks that could not be estimated
	Species []speciesRow
	Doubts  []string // warnings in the language of this part
	Inputs  []survey.Input
	Written []writtenRow // tables that are not plain text of commas; empty: none
	Mapped  []string     // what was read by a mapping

	MostPooled, ReachBeds, ReachPlots int
}

// writtenRow says how a table was found to be written.
type writtenRow struct{ File, How string }

type ruleRow struct{ Name, Value, From, Meaning string }

type plotRow struct{ Plot, Species, Bed, N, Years, R, RRange, K, RSD, Status string }

type sampleRow struct{ Bed, Species, Survey, Stock, SE, DF, Quadrats, Units, Weighed, Conversion, Domain, Effect, Warnings string }

type speciesRow struct{ Name, Common, Life, R, K, Grade, Source string }

func methodsOf(a *model.Assessment, figs []Figure) *methods {
	m := methods{Seed: a.Seed, Draws: a.Draws, MostPooled: model.MostPooled, ReachBeds: model.ReachBeds, ReachPlots: model.ReachPlots, Inputs: a.Folder.Inputs, Species: speciesRows(a), Growth: growthOf(a),
		Written: writtenRows(a.Folder), Mapped: a.Folder.Mapped}
	for _, s := range a.Rules.Settings {
		m.Rules = append(m.Rules, ruleRow{strings.Replace(s.Name, "season.", "season ", 1), cell(s.Value), s.From, model.Meaning(s.Name)})
	}
	for i := range a.Units {
		u := &a.Units[i]
		for _, w := range append(u.Warnings[:len(u.Warnings):len(u.Warnings)], u.Growth.Warnings...) {
			if forMethods(w) || slices.Contains(u.Growth.Warnings, w) {
				m.Doubts = append(m.Doubts, fmt.Sprintf("%s, %s: %s", bedName(u), u.Species, w))
			}
		}
	}
	for _, w := range a.Warnings {
		if forMethods(w) {
			m.Doubts = append(m.Doubts, w)
		}
	}
	for _, p := range a.RankedPlots() {
		m.Plots = append(m.Plots, plotRowOf(p))
	}
	for i := range a.Units {
		for _, s := range a.Units[i].Stocks {
			if s.Kg.OK {
				m.Stocks = append(m.Stocks, sampleRowOf(&a.Units[i], s))
			} else {
				m.Unsized++
			}
		}
	}
	for _, f := range figs {
		if f.Kind == KindRegrowth {
			m.Growth.Plots = append(m.Growth.Plots, shown(f))
		}
	}
	return &m
}

// writtenRows lists the tables that are not written as most are.
func writtenRows(f *survey.Folder) []writtenRow {
	var out []writtenRow
	for _, d := range f.Dialects {
		if !d.Plain() {
			out = append(out, writtenRow{d.File, d.Words()})
		}
	}
	return out
}

func cell(s string) string { return ifElse(s == "", "blank", s) }

func interval(i growth.Interval) string { return spanOf(i.Median, i.Lo, i.Hi).String() }

func plotRowOf(p growth.PlotFit) plotRow {
	r := plotRow{Plot: p.Plot, Species: p.Species, Bed: cell(p.Bed), N: fmt.Sprint(p.N), Years: number(p.Years, 2), R: "not estimable",
		K: "not estimable", RSD: none, Status: p.Status}
	if isNumber(p.R) {
		s := spanOf(p.R, p.RLo, p.RHi)
		r.R, r.RRange = s.Value, s.Range
	}
	if isNumber(p.K) {
		r.K = number(p.K, 3)
		if isNumber(p.KLo) && isNumber(p.KHi) {
			r.K = spanOf(p.K, p.KLo, p.KHi).String()
		}
	}
	if isNumber(p.RSD) {
		r.RSD = number(p.RSD, 2)
	}
	if p.Reason != "" {
		r.Status += ": " + p.Reason
	}
	if p.InSeason {
		r.Status += "; r is the rate of that season, not of a year"
	}
	for _, w := range p.Warnings {
		r.Status += "; " + w
	}
	return r
}

func sampleRowOf(u *model.Unit, s survey.Stock) sampleRow {
	return sampleRow{Bed: bedName(u), Species: u.Species, Survey: s.Survey, Stock: spanOf(s.Kg.Value, s.Kg.Lo, s.Kg.Hi).Value,
		SE: number(s.Kg.SE, 2), DF: number(s.Kg.DF, 3), Quadrats: fmt.Sprintf("%d of %d", s.QuadratsWith, s.Quadrats),
		Units: fmt.Sprintf("%d of %d", s.PSUWith, s.PSU), Weighed: fmt.Sprint(s.Weighed), Conversion: s.Conversion,
		Domain: s.Domain, Effect: number(s.DesignEffect, 2), Warnings: strings.Join(s.Warnings, "; ")}
}

// speciesRows lists the species that were found, with what the table holds of them.
func speciesRows(a *model.Assessment) []speciesRow {
	var out []speciesRow
	seen := map[string]bool{}
	for i := range a.Units {
		seen[a.Units[i].Species] = true
	}
	for _, s := range a.Folder.Species {
		if !seen[s.Name] || !s.InTable {
			continue
		}
		r := speciesRow{Name: s.Name, Common: s.CommonName, Life: s.Life, R: withCV(s.R, s.RCV), K: withCV(s.K, s.KCV),
			Grade: s.Confidence, Source: s.Source}
		if from := s.From["r_per_year"]; from != "" && from != "table" {
			r.Source = strings.TrimPrefix(r.Source+"; r from "+from, "; ")
		}
		out = append(out, r)
	}
	return out
}

func withCV(v, cv survey.Num) string {
	switch {
	case !v.OK:
		return none
	case !cv.OK:
		return number(v.V, 3)
	}
	return fmt.Sprintf("%s (CV %s)", number(v.V, 3), percent(cv.V))
}
