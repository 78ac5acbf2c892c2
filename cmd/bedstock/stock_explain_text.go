package main

import (
	"bytes"
	"fmt"
	"math"
	"strings"

	"bedstock/cmd/bedstock/internal/table"
	"bedstock/survey"
)

// explainer writes how one stock came about.
type explainer struct {
	w *bytes.Buffer
	x survey.Explanation
}

func (e explainer) line(format string, args ...any) { fmt.Fprintf(e.w, format+"\n", args...) }

// write writes all steps.
func (e explainer) write() {
	s := e.x.Stock
	e.line("%s", clean(fmt.Sprintf("%s, %s, survey %s (%s)", s.Bed, s.Species, s.Survey, days(s.From, s.To))))
	e.line("")
	e.line("1. What was visited")
	e.visited()
	e.line("")
	e.line("2. From what was read to weight")
	e.conversion()
	if s.Kg.OK {
		e.line("")
		e.line("3. The stock, B = sum of A y over the strata")
		e.sum()
		if s.QuadratsWith > 0 {
			e.line("")
			e.line("4. Its error")
			e.errors()
			e.line("")
			e.line("5. What may be cut by length")
			e.exploitable()
		}
	}
	e.line("")
	e.line("Result, as in stock.csv")
	e.result()
}

func days(from, to survey.Day) string {
	if from == to {
		return from.String()
	}
	return from.String() + " to " + to.String()
}

// clean keeps control characters of a name off the terminal.
func clean(s string) string { return table.Text(s).String() }

// table writes a table indented by two blanks.
func (e explainer) table(columns []table.Column, rows [][]table.Cell) {
	var b bytes.Buffer
	if err := (table.Table{Columns: columns, Rows: rows}).Text(&b); err != nil {
		panic("bedstock: " + err.Error()) // no buffer fails
	}
	for line := range strings.Lines(b.String()) {
		e.w.WriteString("  " + line)
	}
}

// stratumName is the label of a stratum, or of the bed as one.
func stratumName(label string) string {
	if label == "" {
		return "whole bed"
	}
	return label
}

// visited is the design.
func (e explainer) visited() {
	x := e.x
	columns := []table.Column{col("stratum"), col("A", "m2")}
	errors := false
	for _, h := range x.Strata {
		errors = errors || h.AreaSE > 0
	}
	if errors {
		columns = append(columns, col("SE of A", "m2"))
	}
	if x.Unit != "quadrat" {
		columns = append(columns, col(x.Unit+"s"))
	}
	columns = append(columns, col("quadrats"), col("sampled", "m2"), col("with it"), col("weighed"), col("cover", "%"))
	var rows [][]table.Cell
	for _, h := range x.Strata {
		row := []table.Cell{table.Text(stratumName(h.Label)), eight(h.Area)}
		if errors {
			row = append(row, eight(h.AreaSE))
		}
		if x.Unit != "quadrat" {
			row = append(row, table.Int(h.Units))
		}
		rows = append(rows, append(row, table.Int(h.Quadrats), eight(h.M2), table.Int(h.With), table.Int(h.Weighed), eight(h.Cover)))
	}
	e.table(columns, rows)
	for _, label := range x.Unvisited {
		e.line("  stratum %s was not visited: all that follows is of the other strata", clean(label))
	}
	s := x.Stock
	e.line("  sampling units: %s; %d of %d hold it", plural(s.PSU, x.Unit), s.PSUWith, s.PSU)
	if s.Cover.OK && s.QuadratsWith > 0 {
		e.line("  cover = sum(A cover) / sum(A) = %s %%, SE %s, df %s, %g %% interval %s", eight(s.Cover.Value), eight(s.Cover.SE), eight(s.Cover.DF),
			100*s.Cover.Level, rangeCell(s.Cover, 1))
	}
}

// sum is the sum over strata, term by term.
func (e explainer) sum() {
	x := e.x
	var rows [][]table.Cell
	var terms []string
	for _, h := range x.Strata {
		rows = append(rows, []table.Cell{table.Text(stratumName(h.Label)), eight(h.Area), eight(h.KgM2), eight(h.Area * h.KgM2)})
		terms = append(terms, eight(h.Area*h.KgM2).String())
	}
	e.table([]table.Column{col("stratum"), col("A", "m2"), col("y", "kg/m2"), col("A y", "kg")}, rows)
	e.line("  y is the mean over the quadrats of the stratum by their size, those without it counting as 0")
	if len(terms) > 1 {
		e.line("  B = %s = %s kg", strings.Join(terms, " + "), eight(x.Stock.Kg.Value))
		return
	}
	e.line("  B = %s kg", eight(x.Stock.Kg.Value))
}

// result is the row of stock.csv.
func (e explainer) result() {
	s := e.x.Stock
	if k := s.Kg; k.OK {
		e.line("  stock_kg = %s, se_kg = %s, lo_kg = %s, hi_kg = %s, df = %s", six(k.Value), six(k.SE), six(k.Lo), six(k.Hi), six(k.DF))
		e.line("  exploitable_kg = %s", six(k.Value*s.Exploitable))
		if s.QuadratsWith > 0 {
			e.line("  in words: %s", inWords(k))
		}
	}
	e.line("  status: %s%s", s.Status, clauses(s.Reason))
	if e.x.Next != "" {
		e.line("  next time: %s", clean(e.x.Next))
	}
	for _, w := range s.Warnings {
		e.line("  warning: %s", clean(w))
	}
}

func clauses(reason string) string {
	if reason == "" {
		return ""
	}
	return ": " + clean(reason)
}

// inWords is a stock as people say it.
func inWords(k survey.Estimate) string {
	if math.IsNaN(k.SE) {
		return table.Significant(k.Value, k.SE) + " kg (no standard error)"
	}
	if math.IsNaN(k.Lo) {
		return table.Significant(k.Value, k.SE) + " kg (no interval)"
	}
	return fmt.Sprintf("%s kg (%g %% interval %s, CV %s %%)", table.Significant(k.Value, k.SE), 100*k.Level, rangeCell(k, 1), percentCell(k.CV()))
}
