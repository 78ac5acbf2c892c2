package survey

import "math"

// columnKind is the type of a column.
type columnKind uint8

const (
	textKind   columnKind = iota
	wordKind              // one of a few words
	listKind              // words separated by semicolons
	numberKind            // decimal point, no thousands marks
	wholeKind             // whole number
	dayKind               // YYYY-MM-DD
	momentKind            // YYYY-MM-DD HH:MM on the local clock
	truthKind             // yes or no; blank is no
)

// column describes one column of a file: the header check, the checks of its cells and the descriptor in data/schema
// all follow it.
type column struct {
	name     string
	kind     columnKind
	unit     string // "" none
	about    string
	required bool    // the file must have the column
	filled   bool    // the cell must not be blank
	ask      string  // what to do where it is; empty: what holds for any
	lo, hi   float64 // limits of a number, infinite where there is none
	loOpen   bool    // lo itself is not allowed
	words    []string
	timed    bool // its dates have a time of day behind them

	decimal decimalMark // how its numbers are written in the file at hand
	order   dateOrder   // how its dates are written there
	late    bool        // its day numbers count from 1904 there
	fills   bool        // its blank cells are filled from above there
}

// tableSpec describes one file of a survey folder.
type tableSpec struct {
	file    string
	title   string
	columns []column
	key     []string // columns that together name a row; nil: none
	needed  bool     // a header without rows is a fault
	foreign bool     // a file of another making, read by a mapping: its other columns are no mistake

	ours map[string]*column // of a foreign file: what is made of a header, by its folded name
}

// find returns the column of that name, nil where there is none.
func (t *tableSpec) find(name string) *column {
	for i := range t.columns {
		if t.columns[i].name == name {
			return &t.columns[i]
		}
	}
	return nil
}

// tableOf returns the description of a file of a survey folder, nil where it is not a table of one.
func tableOf(file string) *tableSpec {
	for _, t := range surveyTables {
		if t.file == file {
			return t
		}
	}
	return nil
}

// surveyTables lists all tables of a survey folder.
var surveyTables = []*tableSpec{
	&bedsTable, &strataTable, &surveysTable, &quadratsTable, &readingsTable, &frondsTable, &harvestTable, &regrowthTable, &eventsTable,
	&closuresTable, &decisionsTable, &speciesTable, &setAsideTable, &permitsTable, &tidesTable,
}

// unreadFiles are files that belong to a survey folder but are not read here.
var unreadFiles = []string{"rules.toml"}

func newColumn(name string, k columnKind, unit, about string) column {
	return column{name: name, kind: k, unit: unit, about: about, lo: math.Inf(-1), hi: math.Inf(1)}
}

func textColumn(name, about string) column         { return newColumn(name, textKind, "", about) }
func listColumn(name, about string) column         { return newColumn(name, listKind, "", about) }
func wholeColumn(name, about string) column        { return newColumn(name, wholeKind, "", about) }
func dateColumn(name, about string) column         { return newColumn(name, dayKind, "", about) }
func truthColumn(name, about string) column        { return newColumn(name, truthKind, "", about) }
func numberColumn(name, unit, about string) column { return newColumn(name, numberKind, unit, about) }

func momentColumn(name, about string) column {
	c := newColumn(name, momentKind, "", about)
	c.timed = true
	return c
}

func wordColumn(name, about string, words ...string) column {
	c := newColumn(name, wordKind, "", about)
	c.words = words
	return c
}

// must makes the column required and its cells filled.
func (c column) must() column {
	c.required, c.filled = true, true
	return c
}

// asking says what to do where a cell that must not be is blank.
func (c column) asking(what string) column {
	c.ask = what
	return c
}

// there makes the column required; its cells may be blank.
func (c column) there() column {
	c.required = true
	return c
}

// above refuses lo and less.
func (c column) above(lo float64) column {
	c.lo, c.loOpen = lo, true
	return c
}

// from refuses less than lo.
func (c column) from(lo float64) column {
	c.lo, c.loOpen = lo, false
	return c
}

// to refuses more than hi.
func (c column) to(hi float64) column {
	c.hi = hi
	return c
}
