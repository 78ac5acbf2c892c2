package main

import (
	"bytes"
	"slices"
	"strings"
)

// editing collects changes of a table.
type editing struct {
	text    []byte
	rows    []record
	columns []string
	end     string // of lines
	edits   []edit
	tail    map[int][]string // cells beyond the last one of a row, by row
	fresh   []string         // cells of a row added at the end; nil: none is
}

// edit puts a text in the place of a piece.
type edit struct {
	span
	text string
}

// row is the row of a species, -1: one added at the end.
func (e *editing) row(species string) int {
	at := slices.Index(e.columns, "species")
	for i, r := range e.rows[1:] {
		if at < len(r.cells) && strings.EqualFold(strings.Join(strings.Fields(r.cells[at]), " "), species) {
			return i + 1
		}
	}
	e.fresh = make([]string, len(e.columns))
	e.fresh[at] = species
	return -1
}

// column is the place of a column, which is added at the end if it is not there.
func (e *editing) column(name string) int {
	if i := slices.Index(e.columns, name); i >= 0 {
		return i
	}
	e.columns = append(e.columns, name)
	e.put(0, len(e.columns)-1, name)
	return len(e.columns) - 1
}

func (e *editing) set(row, column int, text string) {
	if row < 0 {
		for len(e.fresh) <= column {
			e.fresh = append(e.fresh, "")
		}
		e.fresh[column] = text
		return
	}
	e.put(row, column, text)
}

// put writes a cell of a row, beyond its end too.
func (e *editing) put(row, column int, text string) {
	r := e.rows[row]
	if column < len(r.places) {
		e.edits = append(e.edits, edit{r.places[column], quoted(text)})
		return
	}
	if e.tail == nil {
		e.tail = map[int][]string{}
	}
	t := e.tail[row]
	for len(t) <= column-len(r.places) {
		t = append(t, "")
	}
	t[column-len(r.places)] = quoted(text)
	e.tail[row] = t
}

// quoted is a text as it stands in a cell. What a spreadsheet program would take for a formula gets an apostrophe.
func quoted(text string) string {
	if text != "" && strings.ContainsAny(text[:1], "=+-@") {
		text = "'" + text
	}
	if !strings.ContainsAny(text, ",\"\r\n;") {
		return text
	}
	return `"` + strings.ReplaceAll(text, `"`, `""`) + `"`
}

// apply is the text with all changes. Rows that are shorter than a new header are filled with empty cells.
func (e *editing) apply() []byte {
	for i, r := range e.rows {
		last := r.places[len(r.places)-1].to
		t := e.tail[i]
		for len(r.places)+len(t) < len(e.columns) && e.tail[0] != nil {
			t = append(t, "")
		}
		if len(t) > 0 {
			e.edits = append(e.edits, edit{span{last, last}, "," + strings.Join(t, ",")})
		}
	}
	slices.SortStableFunc(e.edits, func(a, b edit) int { return a.from - b.from })
	var out bytes.Buffer
	at := 0
	for _, x := range e.edits {
		out.Write(e.text[at:x.from])
		out.WriteString(x.text)
		at = x.to
	}
	out.Write(e.text[at:])
	if e.fresh != nil {
		if b := out.Bytes(); len(b) > 0 && b[len(b)-1] != '\n' {
			out.WriteString(e.end)
		}
		for i, c := range e.fresh {
			if i > 0 {
				out.WriteByte(',')
			}
			out.WriteString(quoted(c))
		}
		out.WriteString(strings.Repeat(",", len(e.columns)-len(e.fresh)) + e.end)
	}
	return out.Bytes()
}
