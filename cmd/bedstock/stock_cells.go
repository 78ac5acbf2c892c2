package main

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"bedstock/cmd/bedstock/internal/table"
	"bedstock/survey"
)

// levelOf names the interval in a heading.
func levelOf(o *opened) string { return fmt.Sprintf("%g %% interval", 100*o.rules.Survey.Confidence) }

// kgCells are an estimate, its CV in percent and its interval.
func kgCells(e survey.Estimate) (value, cv, interval table.Cell) {
	if !e.OK {
		return table.Missing, table.Missing, table.Missing
	}
	if e.Value != 0 {
		cv = percentCell(e.CV())
	}
	return table.Estimate(e.Value, e.SE), cv, rangeCell(e, 1)
}

// rangeCell is the interval of an estimate times a factor, with the digits its standard error allows.
func rangeCell(e survey.Estimate, by float64) table.Cell {
	if !e.OK || math.IsNaN(e.Lo) || math.IsNaN(e.Hi) {
		return table.Missing
	}
	se := e.SE * by
	if !(se > 0) {
		se = (e.Hi - e.Lo) / 4 * by
	}
	return table.Text(table.Significant(e.Lo*by, se) + " to " + table.Significant(e.Hi*by, se))
}

// valueRange is an estimate with its interval in one cell, times a factor.
func valueRange(e survey.Estimate, by float64) table.Cell {
	if !e.OK {
		return table.Missing
	}
	se := e.SE * by
	if !(se > 0) && e.Hi > e.Lo {
		se = (e.Hi - e.Lo) / 4 * by
	}
	text := table.Significant(e.Value*by, se)
	if r := rangeCell(e, by); !r.IsMissing() {
		text += " (" + r.String() + ")"
	}
	return table.Text(text)
}

// coverCell is a cover in percent; a dash where it could not be had.
func coverCell(e survey.Estimate) table.Cell {
	if !e.OK {
		return table.Missing
	}
	return table.Estimate(e.Value, e.SE)
}

// percentCell is a fraction in percent, of two significant digits.
func percentCell(v float64) table.Cell {
	if math.IsNaN(v) || math.IsInf(v, 0) {
		return table.Missing
	}
	return table.Number(100*v, 2)
}

// noteOf is a status that is not ok with its reason.
func noteOf(status survey.Status, reason ...string) string {
	if status == survey.OK {
		return ""
	}
	given := slices.DeleteFunc(slices.Clone(reason), func(r string) bool { return r == "" })
	if len(given) == 0 {
		return string(status)
	}
	return string(status) + ": " + strings.Join(given, "; ")
}

// eight is a number of a formula as it is written out: eight significant digits, no more than it has.
func eight(v float64) table.Cell { return table.Number(table.Number(v, 8).Value(), 0) }

// six is a number as the CSV tables have it.
func six(v float64) string { return table.Number(table.Number(v, 6).Value(), 0).String() }

// percentRange is a fraction with its interval, in percent of one digit behind the point at most.
func percentRange(e survey.Estimate) table.Cell { return valueRange(coarse(e), 100) }

// coarse is a fraction whose standard error counts as 1 % at least, so that no more than 0.1 % is shown.
func coarse(e survey.Estimate) survey.Estimate {
	if e.SE < 0.01 {
		e.SE = 0.01
	}
	return e
}
