package table

import (
	"fmt"
	"io"
)

// Auto as the Digits of a column lets each number show the digits of its own cell.
const Auto = -1

// Table is a table to be written as text, CSV or JSON.
type Table struct {
	Title   string   // a line above the text table; may be empty
	Columns []Column // at least one; names differ
	Rows    [][]Cell // each as long as Columns
	Notes   []string // lines below the text table; CSV and JSON leave them out
}

// Column tells how a column is named and shown.
type Column struct {
	Name   string // name in CSV and JSON
	Head   string // heading in the text; empty: Name
	Unit   string // second line of the heading in the text; may be empty
	Digits int    // digits after the point in the text; [Auto]: those of each cell. CSV and JSON do not use it
}

// Format names one of the ways to write a table.
type Format string

// The formats of [Table.Write].
const (
	FormatText Format = "text"
	FormatCSV  Format = "csv"
	FormatJSON Format = "json"
)

// ParseFormat reads the name of a format.
func ParseFormat(s string) (Format, error) {
	switch f := Format(s); f {
	case FormatText, FormatCSV, FormatJSON:
		return f, nil
	}
	return "", fmt.Errorf("no format %q: there are text, csv and json", s)
}

// UnmarshalText reads the name of a format, for flags.
func (f *Format) UnmarshalText(b []byte) error {
	g, err := ParseFormat(string(b))
	if err != nil {
		return err
	}
	*f = g
	return nil
}

// Write writes the table in the format f. It panics if f is none of the formats.
func (t Table) Write(w io.Writer, f Format) error {
	switch f {
	case FormatText:
		return t.Text(w)
	case FormatCSV:
		return t.CSV(w)
	case FormatJSON:
		return t.JSON(w)
	}
	panic("table: no format " + string(f))
}

// CSV writes the table as [CSV] does.
func (t Table) CSV(w io.Writer) error {
	_, err := w.Write(t.CSVBytes())
	return err
}

// CSVBytes is the table as [CSV] has it.
func (t Table) CSVBytes() []byte { return CSV(t.names(), t.Rows) }

// JSON writes the table as [JSON] does.
func (t Table) JSON(w io.Writer) error {
	_, err := w.Write(JSON(t.names(), t.Rows))
	return err
}

// Add puts a row below the others.
func (t *Table) Add(cells ...Cell) { t.Rows = append(t.Rows, cells) }

func (t Table) names() []string {
	names := make([]string, len(t.Columns))
	for i, c := range t.Columns {
		names[i] = c.Name
	}
	return names
}

// mustFit panics unless the header has differing names and every row is as long as it.
func mustFit(header []string, rows [][]Cell) {
	if len(header) == 0 {
		panic("table: no columns")
	}
	seen := make(map[string]bool, len(header))
	for _, name := range header {
		if seen[name] {
			panic(fmt.Sprintf("table: two columns named %q", name))
		}
		seen[name] = true
	}
	for i, row := range rows {
		if len(row) != len(header) {
			panic(fmt.Sprintf("table: row %d has %d cells under %d columns", i+1, len(row), len(header)))
		}
	}
}
