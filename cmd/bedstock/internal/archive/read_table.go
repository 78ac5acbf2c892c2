package archive

import (
	"bytes"
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"strings"
	"unicode/utf8"

	"golang.org/x/text/encoding/charmap"
)

// given is a table of an archive that was read: cells by the short name of their term, as eventID or measurementType.
type given struct {
	file  string
	row   string // type of its rows
	terms map[string]int
	fixed map[string]string // values that hold for all rows
	id    int               // column of the id of the core; -1: none
	rows  [][]string
	lines []int
}

// cell is the cell of a term in a row, blank where there is none.
func (g *given) cell(row int, term string) string {
	if i, ok := g.terms[term]; ok && i < len(g.rows[row]) {
		if s := strings.TrimSpace(g.rows[row][i]); s != "" {
			return s
		}
	}
	return g.fixed[term]
}

// event is the id of the core's row that a row belongs to.
func (g *given) event(row int) string {
	if g.id >= 0 && g.id < len(g.rows[row]) {
		return strings.TrimSpace(g.rows[row][g.id])
	}
	return g.cell(row, "eventID")
}

// maxColumns is the last column that a table may have.
const maxColumns = 1000

// readTable reads a table as meta.xml describes it. dir is the folder of meta.xml within the archive.
func readTable(t metaTable, all files, dir string) (*given, error) {
	d, err := t.dialect()
	if err != nil {
		return nil, fmt.Errorf("%s: %w", strings.Join(t.Files, ", "), err)
	}
	g := &given{file: strings.Join(t.Files, ", "), row: t.RowType, terms: map[string]int{}, fixed: map[string]string{}, id: -1}
	switch {
	case t.ID != nil:
		g.id = t.ID.Index
	case t.CoreID != nil:
		g.id = t.CoreID.Index
	}
	for _, f := range t.Fields {
		name := f.Term[strings.LastIndexAny(f.Term, "/#")+1:]
		if f.Index != nil {
			if *f.Index < 0 || *f.Index > maxColumns {
				return nil, fmt.Errorf("meta.xml: %s stands in column %d", f.Term, *f.Index)
			}
			g.terms[name] = *f.Index
		}
		if f.Default != "" {
			g.fixed[name] = f.Default
		}
	}
	for _, file := range t.Files {
		text, ok := all[dir+strings.TrimPrefix(file, "./")]
		if !ok {
			return nil, fmt.Errorf("meta.xml names %s, which is not in the archive", file)
		}
		if err := g.read(file, text, d); err != nil {
			return nil, err
		}
		all[dir+strings.TrimPrefix(file, "./")] = nil // the rows hold it now
	}
	return g, nil
}

// read reads the rows of a file.
func (g *given) read(file string, text []byte, d dialect) error {
	text = bytes.TrimPrefix(text, []byte("\ufeff"))
	if d.latin1 {
		text, _ = charmap.ISO8859_1.NewDecoder().Bytes(text)
	}
	if !utf8.Valid(text) {
		return fmt.Errorf("%s is not UTF-8 text as meta.xml says", file)
	}
	if d.enclosed != 0 && bytes.IndexByte(text, d.enclosed) >= 0 {
		return g.readQuoted(file, text, d)
	}
	line := 0
	for s := range strings.Lines(string(text)) {
		if line++; line <= d.skip || strings.TrimSpace(s) == "" {
			continue
		}
		if err := g.add(file, strings.Split(strings.TrimRight(s, "\r\n"), d.cell), line); err != nil {
			return err
		}
	}
	return nil
}

// readQuoted reads a file whose cells may stand in quotes.
func (g *given) readQuoted(file string, text []byte, d dialect) error {
	comma, n := utf8.DecodeRuneInString(d.cell)
	if d.enclosed != '"' || n != len(d.cell) {
		return fmt.Errorf("%s: cells enclosed by %q and separated by %q are not read", file, d.enclosed, d.cell)
	}
	r := csv.NewReader(bytes.NewReader(text))
	r.Comma, r.FieldsPerRecord, r.LazyQuotes = comma, -1, true
	for n := 0; ; n++ {
		record, err := r.Read()
		if err == io.EOF {
			return nil
		}
		if err != nil {
			if pe, ok := errors.AsType[*csv.ParseError](err); ok {
				return fmt.Errorf("%s:%d: %w", file, pe.Line, pe.Err)
			}
			return fmt.Errorf("%s: %w", file, err)
		}
		if n < d.skip {
			continue
		}
		line, _ := r.FieldPos(0)
		if err := g.add(file, record, line); err != nil {
			return err
		}
	}
}

// add takes a row; one that is too short for the columns that meta.xml maps is torn.
func (g *given) add(file string, record []string, line int) error {
	need := g.id
	for _, i := range g.terms {
		need = max(need, i)
	}
	if len(record) <= need {
		return fmt.Errorf("%s:%d: has %d cells, meta.xml maps %d", file, line, len(record), need+1)
	}
	g.rows, g.lines = append(g.rows, record), append(g.lines, line)
	return nil
}
