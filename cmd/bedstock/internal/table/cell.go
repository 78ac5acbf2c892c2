package table

import (
	"math"
	"strconv"
)

// Missing is the cell of a value that is not to be had. It is also the zero Cell.
var Missing = Cell{}

// Cell is one value of a table: a text, a number or missing.
type Cell struct {
	kind  kind
	text  string
	value float64
	place int // decimal exponent of the last digit to show, for numbers
	whole bool
}

type kind uint8

const (
	missing kind = iota
	text
	number
)

// allDigits as the place of a number means that it is written in full.
const allDigits = math.MinInt

// Text is a cell of text. The empty text is [Missing].
func Text(s string) Cell {
	if s == "" {
		return Missing
	}
	return Cell{kind: text, text: s}
}

// Number is a cell of a number rounded to so many significant digits; with digits 0 or less the number is written in
// full, with the fewest digits that read back as the same number. NaN and the infinities are [Missing].
func Number(v float64, digits int) Cell {
	if math.IsNaN(v) || math.IsInf(v, 0) {
		return Missing
	}
	if digits <= 0 || v == 0 {
		return Cell{kind: number, value: v + 0, place: allDigits}
	}
	place := exponent(v, digits) - digits + 1
	return Cell{kind: number, value: roundAt(v, place), place: place}
}

// Int is a cell of a whole number, written in full.
func Int(n int) Cell { return Cell{kind: number, value: float64(n), place: 0, whole: true} }

// Bool is a cell of text, "yes" or "no".
func Bool(b bool) Cell {
	if b {
		return Text("yes")
	}
	return Text("no")
}

// Estimate is a cell of a number with the standard error se, rounded as [Round] does.
func Estimate(v, se float64) Cell {
	if math.IsNaN(v) || math.IsInf(v, 0) {
		return Missing
	}
	place := placeOf(v, se)
	return Cell{kind: number, value: roundAt(v, place), place: place}
}

// IsMissing tells whether the cell has no value.
func (c Cell) IsMissing() bool { return c.kind == missing }

// IsNumber tells whether the cell is a number.
func (c Cell) IsNumber() bool { return c.kind == number }

// Value is the number of the cell as it is written, that is rounded; NaN if it is none.
func (c Cell) Value() float64 {
	if c.kind != number {
		return math.NaN()
	}
	return c.value
}

// String is the cell as people read it: the text, the number with its digits, or "-".
func (c Cell) String() string { return c.display(Auto) }

// display writes the cell for people, numbers with so many digits after the point, or with their own for Auto.
func (c Cell) display(decimals int) string {
	switch c.kind {
	case text:
		return printable(c.text)
	case number:
		switch {
		case c.whole && decimals != Auto, decimals == Auto && c.place == 0:
			decimals = 0
		case decimals == Auto && c.place < -mostDecimals:
			return c.literal()
		case decimals == Auto:
			decimals = max(0, -c.place)
		}
		return noMinusZero(strconv.FormatFloat(c.value, 'f', decimals, 64))
	}
	return dash
}

// literal writes the number for machines: a decimal that reads back as the same number, in CSV and in JSON.
func (c Cell) literal() string {
	format := byte('f')
	if size := math.Abs(c.value); size != 0 && (size < 1e-6 || size >= 1e15) {
		format = 'e'
	}
	return noMinusZero(strconv.FormatFloat(c.value, format, -1, 64))
}

// mostDecimals is how many digits after the point people are shown at most before a number is written in full.
const mostDecimals = 12

// dash stands for a missing value in texts.
const dash = "-"
