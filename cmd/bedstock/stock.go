package main

import (
	"fmt"

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
	stocks := survey.Stocks(o.folder, o.rules.Survey)
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
	for _, s := range stocks {
		if !c.keep(s.Bed, s.Species) {
			continue
		}
		if s.QuadratsWith == 0 && s.Status != survey.NotEstimable && s.Cover.Value == 0 {
			absent++
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
		notes.add(s.Bed+" "+s.Survey, s.Warnings...)
	}
	if absent > 0 {
		notes.notes = append(notes.notes, fmt.Sprintf("%d surveys looked for a species and found none; --format csv lists them", absent))
	}
	t.Notes = notes.lines()
	return t
}
