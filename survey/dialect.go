package survey

import (
	"cmp"
	"fmt"
	"slices"
	"strings"
)

// InputRules say how a table is written, where a folder's rules say so. What is zero is found out from the table
// itself.
type InputRules struct {
	Separator string   // between cells: one of [Separators]
	Decimal   string   // mark of decimals: one of [Decimals]
	Encoding  string   // one of [Encodings]
	Dates     string   // order of dates: one of [DateOrders]
	FillDown  []string // columns whose blank cells stand for the cell above
	SkipLines Num      // lines above the header
}

// Separators are the words for what stands between the cells of a table.
func Separators() []string { return []string{"comma", "semicolon", "tab"} }

// Decimals are the words for the mark of decimals.
func Decimals() []string { return []string{"point", "comma"} }

// Encodings are the words for how letters are kept.
func Encodings() []string { return []string{"utf-8", "utf-16le", "utf-16be", "windows-1252"} }

// DateOrders are the words for how dates are written: 2031-06-14 alone, or also 14/6/2031, 6/14/2031, 2031/6/14.
func DateOrders() []string { return []string{"iso", "day-first", "month-first", "year-first"} }

// TableFiles lists the tables that a survey folder may hold, in the order in which they are described.
func TableFiles() []string {
	var out []string
	for _, t := range surveyTables {
		out = append(out, t.file)
	}
	return out
}

// FillableColumns lists the columns of a table whose blank cells may stand for the cell above: labels and dates. A
// number is never filled down, nor is a species, whose blank means that there was none.
func FillableColumns(file string) []string {
	t := tableOf(file)
	if t == nil {
		return nil
	}
	var out []string
	for i := range t.columns {
		if t.columns[i].fillable() {
			out = append(out, t.columns[i].name)
		}
	}
	return out
}

func (c *column) fillable() bool {
	return (c.kind == textKind || c.kind == dayKind) && !slices.Contains([]string{"species", "notes", "reason", "source", "to", "date_to"}, c.name)
}

// over lays what is said of one table over what is said of all.
func (in InputRules) over(all InputRules) InputRules {
	out := InputRules{Separator: cmp.Or(in.Separator, all.Separator), Decimal: cmp.Or(in.Decimal, all.Decimal),
		Encoding: cmp.Or(in.Encoding, all.Encoding), Dates: cmp.Or(in.Dates, all.Dates), FillDown: in.FillDown, SkipLines: in.SkipLines}
	if out.FillDown == nil {
		out.FillDown = all.FillDown
	}
	if !out.SkipLines.OK {
		out.SkipLines = all.SkipLines
	}
	return out
}

// inputRules is what is said of a table.
func (opt Options) inputRules(file string) InputRules { return opt.Input[file].over(opt.Input[""]) }

// Dialect says how a table of a folder was read.
type Dialect struct {
	File      string // the table, as harvest.csv
	Book      string // the workbook whose sheet it is, else empty
	Sheet     string // of the workbook
	Encoding  string // one of [Encodings]
	Separator string // one of [Separators]; empty in a workbook
	Decimal   string // one of [Decimals]; empty where it cannot be told, which is a fault
	Dates     string // one of [DateOrders]; empty where it cannot be told, which is a fault
	Titles    int    // lines above the header that were passed over
	Filled    int    // cells that were filled down
}

// Plain says whether the table is comma-separated UTF-8 text with decimal points and ISO dates, from its first line on
// and with nothing filled down.
func (d Dialect) Plain() bool {
	return d == Dialect{File: d.File, Encoding: "utf-8", Separator: "comma", Decimal: "point", Dates: "iso"}
}

// PlainSheet says whether the table is a sheet of a workbook with its header in the first row, decimal points and ISO dates
// in what is text, and nothing filled down.
func (d Dialect) PlainSheet() bool {
	return d.Book != "" && d == Dialect{File: d.File, Book: d.Book, Sheet: d.Sheet, Decimal: "point", Dates: "iso"}
}

// String says in words how the table was read, but for what is usual.
func (d Dialect) String() string { return d.File + ": read as " + d.Words() }

// Words is how the table was read, without its name.
func (d Dialect) Words() string {
	var words []string
	add := func(differs bool, format string, args ...any) {
		if differs {
			words = append(words, fmt.Sprintf(format, args...))
		}
	}
	add(d.Book != "", "the sheet %s of %s", d.Sheet, d.Book)
	add(d.Book == "", "%s-separated", d.Separator)
	add(d.Decimal == "comma", "decimal comma")
	add(d.Book == "" && d.Encoding != "utf-8", "%s", encodingNames[d.Encoding])
	add(d.Decimal == "", "mark of decimals not known")
	add(d.Dates != "iso" && d.Dates != "", "dates %s", strings.ReplaceAll(d.Dates, "-", " "))
	add(d.Dates == "", "order of dates not known")
	add(d.Titles == 1, "1 line above the header passed over")
	add(d.Titles > 1, "%d lines above the header passed over", d.Titles)
	add(d.Filled == 1, "1 blank cell filled from the row above")
	add(d.Filled > 1, "%d blank cells filled from the row above", d.Filled)
	return strings.Join(words, ", ")
}

var encodingNames = map[string]string{"utf-8": "UTF-8", "utf-16le": "UTF-16", "utf-16be": "UTF-16", "windows-1252": "Windows-1252"}
