package main

import (
	"fmt"
	"slices"
	"strings"

	"bedstock/cmd/bedstock/internal/table"
	"bedstock/survey"
)

// text is the table of stocks as people read it.
func (c stockCmd) text(stocks []survey.Stock, o *opened) table.Table {
	level := fmt.Sprintf("%g %% interval", 100*o.rules.Survey.Confidence)
	t := table.Table{Title: fmt.Sprintf("Standing stock, kg wet, on %s", o.folder.AsOf), Columns: []table.Column{
		col("bed"), col("species"), col("survey"), col("date"), col("cover", "%"), col("stock", "kg"),
		col("CV", "%"), col(level, "kg"), col("quadrats"), col("weighed"), col("conversion"), col("note")}}
	var notes noter
	absent := 0
	silent := c.silent(stocks)
	for _, s := range stocks {
		if !c.keep(s.Bed, s.Species) {
			continue
		}
		if len(c.Species) == 0 && s.QuadratsWith == 0 && s.Status != survey.NotEstimable && s.Cover.Value == 0 {
			absent++
			continue
		}
		if len(silent) > 0 && s.Status == survey.NotEstimable {
			continue
		}
		stock, cv, interval := kgCells(s.Kg)
		note := noteOf(s.Status, s.Reason)
		if note == "" && s.QuadratsWith == 0 {
			note = "none found"
		}
		t.Add(table.Text(s.Bed), table.Text(s.Species), table.Text(s.Survey), table.Text(s.Date.String()),
			coverCell(s.Cover), stock, cv, interval, table.Int(s.Quadrats), table.Int(s.Weighed), table.Text(s.Conversion), table.Text(note))
		notes.add(s.Bed+" "+s.Species+" "+s.Survey, outside(s.Warnings)...)
	}
	t.Notes = notes.alike()
	if absent > 0 {
		t.Notes = append(t.Notes, fmt.Sprintf("%s of a species that a survey looked for and did not find; --format csv lists them", plural(absent, "row")))
	}
	t.Notes = append(t.Notes, silent...)
	return t
}

// manySilent is how many stocks that are not estimable are still listed one by one.
const manySilent = 40

// silent folds the stocks that are not estimable, where there are many, into one line a bed and reason.
func (c stockCmd) silent(stocks []survey.Stock) []string {
	n := 0
	var order []string
	species := map[string][]string{}
	surveys := map[string][]string{}
	for _, s := range stocks {
		if s.Status != survey.NotEstimable || !c.keep(s.Bed, s.Species) {
			continue
		}
		n++
		key := fmt.Sprintf("%s: %s: %s", s.Bed, s.Status, s.Reason)
		if species[key] == nil {
			order = append(order, key)
		}
		species[key] = append(species[key], s.Species)
		surveys[key] = append(surveys[key], s.Survey)
	}
	if n <= manySilent {
		return nil
	}
	for i, key := range order {
		order[i] = fmt.Sprintf("%s (%d species, %s)", key, distinct(species[key]), plural(distinct(surveys[key]), "survey"))
	}
	if strings.Contains(strings.Join(order, " "), "weighed") {
		order = append(order, "weigh at least 10 quadrats that hold a species, thin and thick ones, and its stock can be told")
	}
	return append(order, "--format csv lists them with their cover, and so do --bed and --species that leave few")
}

func distinct(names []string) int {
	slices.Sort(names)
	return len(slices.Compact(names))
}
