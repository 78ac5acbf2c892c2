package survey

import (
	"cmp"
	"fmt"
	"slices"
)

// maxAlike is how many findings of one kind in one file are listed; the rest is counted.
const maxAlike = 20

// finding is a mistake or doubt before its place is known as a column of characters: it names the column instead.
type finding struct {
	file     string
	line     int    // line of the record, 0 the whole file
	column   string // column name, "" the whole line
	severity Severity
	text     string // without the column name
	hint     string
	lost     bool // rows were passed over because of it
	first    bool // others may follow from it
	kind     string
	more     int // findings like it that are not listed

	at int // byte column of the text where it is known without the column name

	own, read string // header and cell of the file where a mapping makes the column of it
	cell      string // what a spreadsheet program calls it, as C12
}

// findings collects what is wrong in a folder. The zero value is ready.
//
// Findings of one file that differ only in what was read (same severity, column and format) are alike; of these the
// first [maxAlike] are listed and the others counted.
type findings struct {
	list  []finding
	alike map[likeness]*tally

	files  map[string]string       // names in the folder of tables that have another
	books  map[string]string       // workbooks of sheets
	mapped map[string]*mappedTable // by table
	most   int                     // findings of one kind that are listed; 0: [maxAlike]
	unread map[string]bool         // tables whose mapping has a fault
	cell   cellPlace               // of a wide table that is being read
}

type likeness struct {
	file, column, format string
	severity             Severity
}

// tally counts findings that are alike.
type tally struct {
	n     int
	extra finding // the first that is not listed
}

// fault notes a mistake that must be mended. The column's name is put before the text.
func (fs *findings) fault(file string, line int, column, hint, format string, args ...any) {
	fs.note(finding{file: file, line: line, column: column, severity: Fault, hint: hint}, format, args...)
}

// doubt notes a warning.
func (fs *findings) doubt(file string, line int, column, hint, format string, args ...any) {
	fs.note(finding{file: file, line: line, column: column, severity: Doubt, hint: hint}, format, args...)
}

// note adds a finding with the given text, or counts it where enough of its kind are listed.
func (fs *findings) note(f finding, format string, args ...any) {
	f.kind = format
	t := fs.tally(f)
	t.n++
	switch {
	case t.n <= fs.listed():
		if c := &fs.cell; c.file == f.file && c.line == f.line && f.at == 0 && slices.Contains(c.columns, f.column) {
			f.own = c.header
		}
		f.text = fmt.Sprintf(format, args...)
		fs.list = append(fs.list, f)
	case t.n == fs.listed()+1:
		t.extra = f
	}
}

// tally counts the findings that are like one.
func (fs *findings) tally(f finding) *tally {
	if fs.alike == nil {
		fs.alike = map[likeness]*tally{}
	}
	k := likeness{f.file, f.column, f.kind, f.severity}
	t := fs.alike[k]
	if t == nil {
		t = &tally{}
		fs.alike[k] = t
	}
	return t
}

// listed is how many findings of one kind are listed.
func (fs *findings) listed() int { return cmp.Or(fs.most, maxAlike) }

// problems gives every finding its place and sorts them. texts holds the tables as read.
func (fs *findings) problems(texts map[string]*tableText) Problems {
	list := append(slices.Clone(fs.list), fs.counted()...)
	slices.SortStableFunc(list, func(a, b finding) int {
		return cmp.Or(cmp.Compare(a.file, b.file), cmp.Compare(a.line, b.line))
	})
	out := make(Problems, 0, len(list))
	for len(list) > 0 {
		n := 1
		for n < len(list) && list[n].file == list[0].file {
			n++
		}
		m := fs.mapped[list[0].file]
		m.ownHeaders(list[:n])
		if t := texts[list[0].file]; t != nil {
			t.locate(list[:n])
		}
		for _, f := range list[:n] {
			out = append(out, m.ownPlace(f.problem(), f, fs.fileOf(f.file)))
		}
		list = list[n:]
	}
	out.Sort()
	return out
}

// counted are the findings that are not listed, one of each kind.
func (fs *findings) counted() []finding {
	var out []finding
	for _, t := range fs.alike {
		if n := t.n - fs.listed(); n > 0 {
			t.extra.text = fmt.Sprintf("... and %d more like it", n)
			t.extra.hint, t.extra.at, t.extra.more = "", 0, n-1
			out = append(out, t.extra)
		}
	}
	slices.SortFunc(out, func(a, b finding) int { // what the map leaves open
		return cmp.Or(cmp.Compare(a.line, b.line), cmp.Compare(a.column, b.column), cmp.Compare(a.kind, b.kind))
	})
	return out
}

func (f finding) problem() Problem {
	text := f.text
	if f.column != "" {
		text = f.column + ": " + text
	}
	if f.cell != "" {
		text += " (cell " + f.cell + ")"
	}
	return Problem{File: f.file, Table: f.file, Line: f.line, Column: f.at, Severity: f.severity, Text: text, Hint: f.hint,
		Name: f.column, Cell: f.read, Kind: f.kind, First: f.first, More: f.more}
}
