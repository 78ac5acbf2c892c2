package report

import (
	"math"

	"bedstock/cmd/bedstock/internal/table"
)

// field is a column of a table for other programs. The header of the CSV and the schema in datapackage.json are made of the
// same list, so that neither can say what the other does not.
type field struct {
	name, kind  string // kind: a type of Table Schema
	unit, means string
	filled      bool    // no cell is empty
	lo, hi      float64 // limits; infinite: none
	words       []string
	pattern     string // regular expression of the whole cell
}

func newField(name, kind, unit, means string) field {
	return field{name: name, kind: kind, unit: unit, means: means, lo: math.Inf(-1), hi: math.Inf(1)}
}

func textField(name, means string) field  { return newField(name, "string", "", means) }
func dateField(name, means string) field  { return newField(name, "date", "", means) }
func countField(name, means string) field { return newField(name, "integer", "", means).from(0) }

// numberField is a column of numbers; unit may be empty.
func numberField(name, unit, means string) field { return newField(name, "number", unit, means) }

// shareField is a column of probabilities or shares.
func shareField(name, means string) field { return numberField(name, "", means).from(0).upTo(1) }

func (f field) full() field                 { f.filled = true; return f }
func (f field) from(lo float64) field       { f.lo = lo; return f }
func (f field) upTo(hi float64) field       { f.hi = hi; return f }
func (f field) oneOf(words ...string) field { f.words = words; return f }
func (f field) like(pattern string) field   { f.pattern = pattern; return f }

// layout of a table for other programs.
type tableLayout struct {
	name   string // of the file, without .csv
	title  string
	about  string
	fields []field
	key    []string // columns that name a row and are never empty; nil: none
	unique []string // columns that name a row though some may be empty; nil: none
}

// empty is the table of a layout without rows.
func (l tableLayout) empty() table.Table {
	names := make([]string, len(l.fields))
	for i, f := range l.fields {
		names[i] = f.name
	}
	return table.Table{Columns: columns(names...)}
}

// bedField and speciesField begin most tables.
var (
	bedField     = textField("bed", "Label of the bed, as in beds.csv.").full()
	speciesField = textField("species", "Scientific name of the species.").full()
)
