package survey

import (
	"cmp"
	"fmt"
	"slices"
	"strings"
)

// What stands across in a wide table.
const (
	AcrossSpecies = "species" // a column a species, a row a quadrat
	AcrossQuadrat = "quadrat" // a column a quadrat, a row a species
)

// WideMap is how quadrats.csv is read from a table with a cell for every species and quadrat. The cells hold the one
// measure whose [ColumnMap] says Cells.
//
// A blank cell says nothing by itself. Where Absent is set it means that the species was looked for there and not found:
// 0. Otherwise it is a fault, for in the long form a row without a number is one too.
type WideMap struct {
	Across  string
	Absent  bool
	Ignore  []string    // headers that are neither species nor quadrat
	Heading string      // how a header of quadrats is made of columns of ours, as "{transect}-{quadrat}"; "": the quadrat
	Rows    [][2]string // columns of ours, and the label in the species' column of the row that holds them for each quadrat
	At      Place
}

// wideTable is a wide mapping made ready.
type wideTable struct {
	*WideMap
	cells   int // column of ours that the cells hold
	head    []int
	heading pattern
	known   *speciesNames
	spans   map[string]bool // folded headers that may be across

	at     []int          // places of the columns across
	names  []string       // their headers
	parts  [][]string     // what each header gives, in the order of head
	labels map[int]string // columns of ours by label row
	held   map[int][]string
	record []string
	next   int
	begun  bool // a row of species was read
	lacks  bool // a label row is not there
	blank  bool // the record has no cell
	visit  bool // the record's quadrat was not visited: it gives one row
}

// onceARow are the columns that may stand beside the cells: where, when and by whom, never another measure.
var onceARow = []string{"bed", "date", "stratum", "transect", "quadrat", "quadrat_m2", "visit", "weighed_m2", "observer", "notes", "species"}

// prepareWide checks a wide mapping and gives the columns that the header and the cells fill their place.
func (t *mappedTable) prepareWide(found *findings) bool {
	w := t.m.Wide
	if w == nil {
		for _, c := range t.cols {
			if c.ColumnMap != nil && c.Cells {
				found.noteAt(c.At, `write layout = "wide" in [read."quadrats.csv"]`, "%s is read from cells, but the table is not wide", c.Column)
				return false
			}
		}
		return true
	}
	wide := &wideTable{WideMap: w, cells: -1, labels: map[int]string{}, held: map[int][]string{}}
	ok := true
	fault := func(at Place, hint, format string, args ...any) {
		found.noteAt(at, hint, format, args...)
		ok = false
	}
	for i, c := range t.cols {
		switch {
		case c.ColumnMap == nil:
		case c.Cells && wide.cells >= 0:
			fault(c.At, "the cells hold one measure; read the others from a table of their own", "%s is read from the cells, and so is %s",
				c.Column, t.spec.columns[wide.cells].name)
		case c.Cells:
			wide.cells = i
		case !slices.Contains(onceARow, c.Column) && !(c.Fixed && c.Value == ""):
			fault(c.At, "the cells hold one measure: cover_pct or biomass_g = {cells = true}", "%s would be the same for all species", c.Column)
		}
	}
	if ok && wide.cells < 0 {
		fault(w.At, `as cover_pct = {cells = true}, or biomass_g = {cells = true, unit = "kg"}`, "a wide table, and no column is read from its cells")
	}
	wide.head = t.headColumns(w, fault)
	for _, row := range w.Rows {
		k := slices.Index(columnNames(t.spec), row[0])
		if k < 0 || !slices.Contains(onceARow, row[0]) || row[0] == "species" || w.Across != AcrossQuadrat {
			fault(w.At, "rows = {date = \"Date\"} is for tables with quadrats across", "rows: no row can hold %s", row[0])
			continue
		}
		if c := t.cols[k].ColumnMap; c != nil && foldHeader(c.From) != foldHeader(row[1]) {
			fault(c.At, fmt.Sprintf("take one of them out; a form or unit of the row: %s = {from = %q, form = ...}", row[0], row[1]),
				"%s is given by the row %q, and mapped", row[0], row[1])
		}
		wide.labels[k] = row[1]
	}
	if !ok {
		return false
	}
	t.fillFromWide(wide)
	t.wide = wide
	return true
}

// headColumns are the columns that a header across gives.
func (t *mappedTable) headColumns(w *WideMap, fault func(Place, string, string, ...any)) []int {
	names := []string{cmp.Or(w.Across, AcrossSpecies)}
	if w.Heading != "" {
		p, err := parsePattern(w.Heading)
		if err != nil || w.Across != AcrossQuadrat {
			fault(w.At, `as heading = "{transect}-{quadrat}", for tables with quadrats across`, "heading %q cannot be read", w.Heading)
			return nil
		}
		names = p.headers
	}
	var out []int
	for _, name := range names {
		k := slices.Index(columnNames(t.spec), name)
		if k < 0 || !slices.Contains(onceARow, name) {
			fault(w.At, "", "heading: %s is no column that a header can give", name)
			continue
		}
		if c := t.cols[k].ColumnMap; c != nil {
			fault(c.At, "take one of them out", "%s is what the headers across give, and mapped", name)
		}
		out = append(out, k)
	}
	return out
}

// fillFromWide marks the columns that the headers, the label rows and the cells give, and leaves the other measures blank.
func (t *mappedTable) fillFromWide(w *wideTable) {
	for i, c := range t.spec.columns {
		_, labelled := w.labels[i]
		switch {
		case slices.Contains(w.head, i), labelled:
			made := ColumnMap{Column: c.name, Header: true, At: w.At}
			if old := t.cols[i]; old.ColumnMap != nil { // form, words and unit of a label row
				made.Form, made.Words, made.Unit = old.Form, old.Words, old.Unit
			}
			t.cols[i] = mappedColumn{ColumnMap: &made, form: t.cols[i].form, factor: t.cols[i].factor}
		case i != w.cells && t.cols[i].ColumnMap == nil && !slices.Contains(onceARow, c.name):
			t.cols[i].ColumnMap = &ColumnMap{Column: c.name, Fixed: true, At: w.At}
		}
	}
	if w.Heading != "" {
		w.heading, _ = parsePattern(w.Heading)
	}
}

// split takes a header apart as the heading says; false where it does not fit.
func (w *wideTable) split(header string) ([]string, bool) {
	if w.Heading == "" {
		return []string{header}, true
	}
	rest, ok := strings.CutPrefix(header, w.heading.literals[0])
	var out []string
	for _, literal := range w.heading.literals[1:] {
		part := rest
		if literal != "" {
			var fits bool
			part, rest, fits = strings.Cut(rest, literal)
			ok = ok && fits
		} else {
			rest = ""
		}
		out = append(out, strings.TrimSpace(part))
		ok = ok && part != ""
	}
	return out, ok && rest == ""
}
