package main

import (
	"fmt"
	"slices"

	"bedstock/cmd/bedstock/internal/report"
	"bedstock/cmd/bedstock/internal/table"
	"bedstock/survey"
)

// stockCmd shows the standing stock.
type stockCmd struct {
	Survey string `arg:"" help:"The survey folder."`
	source
	filter
	shown
}

// Run estimates and prints the stocks.
func (c stockCmd) Run(e *env) error {
	o, err := c.open(c.Survey)
	if err != nil {
		return err
	}
	if err := c.strictly(o); err != nil {
		return err
	}
	if err := c.check(o.folder); err != nil {
		return err
	}
	c.doubts(e, o)
	opt := o.rules.Survey
	opt.Seed = c.Seed
	stocks := survey.Stocks(o.folder, opt)
	if c.Format != table.FormatText {
		return c.narrow(report.Stock(stocks)).Write(e.stdout, c.Format)
	}
	if err := c.text(stocks, o).Text(e.stdout); err != nil {
		return err
	}
	c.hint(e, "bedstock growth %s shows how fast it comes back, --format csv all columns", c.Survey)
	return nil
}

func (c stockCmd) text(stocks []survey.Stock, o *opened) table.Table {
	level := fmt.Sprintf("%g %% interval", 100*o.rules.Survey.Confidence)
	t := table.Table{Title: fmt.Sprintf("Standing stock, kg wet, on %s", o.folder.AsOf), Columns: []table.Column{
		col("bed"), col("species"), col("survey"), col("date"), col("cover", "%"), col("stock", "kg"),
		col(level, "kg"), col("quadrats"), col("weighed"), col("conversion"), col("note")}}
	var notes noter
	absent := 0
	silent := c.silent(stocks)
	for _, s := range stocks {
		if !c.keep(s.Bed, s.Species) {
			continue
		}
		if s.QuadratsWith == 0 && s.Status != survey.NotEstimable && s.Cover.Value == 0 {
			absent++
			continue
		}
		if len(silent) > 0 && s.Status == survey.NotEstimable {
			continue
		}
		interval, stock := "-", table.Missing
		if s.Kg.OK {
			stock = table.Estimate(s.Kg.Value, s.Kg.SE)
			if s.Kg.SE == s.Kg.SE {
				interval = fmt.Sprintf("%s to %s", table.Significant(s.Kg.Lo, s.Kg.SE), table.Significant(s.Kg.Hi, s.Kg.SE))
			}
		}
		note := ""
		if s.Status != survey.OK {
			note = string(s.Status)
			if s.Reason != "" {
				note += ": " + s.Reason
			}
		}
		t.Add(table.Text(s.Bed), table.Text(s.Species), table.Text(s.Survey), table.Text(s.Date.String()),
			table.Estimate(s.Cover.Value, s.Cover.SE), stock, table.Text(interval), table.Int(s.Quadrats), table.Int(s.Weighed),
			table.Text(s.Conversion), table.Text(note))
		notes.add(s.Bed+" "+s.Species+" "+s.Survey, s.Warnings...)
	}
	if absent > 0 {
		notes.notes = append(notes.notes, fmt.Sprintf("%d surveys looked for a species and found none; --format csv lists them", absent))
	}
	t.Notes = append(notes.lines(), silent...)
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
	return append(order, "--format csv lists them with their cover, and so do --bed and --species that leave few")
}

func distinct(names []string) int {
	slices.Sort(names)
	return len(slices.Compact(names))
}
