package survey

import (
	"cmp"
	"encoding/csv"
	"slices"
	"strings"
	"sync"
	"unicode/utf8"
)

// locate turns the column names and byte columns of findings of one file, sorted by line, into columns of characters,
// as they are counted in the file whatever its encoding. Only the header and the records concerned are parsed again.
func (t *tableText) locate(list []finding) {
	if t.sheet != nil {
		t.locateCells(list)
		return
	}
	header := sync.OnceValue(t.header)
	rest, line := t.text, 1
	for i := range list {
		f := &list[i]
		if f.line == 0 || f.column == "" && f.at == 0 {
			continue
		}
		for line < f.line {
			n := strings.IndexByte(rest, '\n')
			if n < 0 {
				return
			}
			rest, line = rest[n+1:], line+1
		}
		within := rest
		if f.at == 0 {
			k := slices.Index(header(), f.headed())
			record, r, ok := t.parseAt(rest)
			if !ok || k < 0 || k >= len(record) {
				continue
			}
			down, column := r.FieldPos(k)
			f.line, f.at, within = f.line+down-1, column, afterLines(rest, down-1)
			f.read = strings.TrimSpace(record[k])
		}
		f.at = 1 + utf8.RuneCountInString(within[:min(f.at-1, len(within))])
	}
}

// headed is the folded header above the cell of a finding.
func (f *finding) headed() string { return cmp.Or(f.own, f.column) }

// header is the folded names of the columns.
func (t *tableText) header() []string {
	var record []string
	if t.sheet != nil {
		record, _ = t.records().next()
	} else {
		record, _, _ = t.parseAt(afterLines(t.text, t.skip))
	}
	names := make([]string, len(record))
	for i, s := range record {
		names[i] = foldHeader(s)
	}
	return names
}

// parseAt reads the one record at the start of the text.
func (t *tableText) parseAt(text string) ([]string, *csv.Reader, bool) {
	r := csv.NewReader(strings.NewReader(text))
	r.FieldsPerRecord, r.LazyQuotes, r.Comma = -1, true, rune(cmp.Or(t.sep, ','))
	record, err := r.Read()
	return record, r, err == nil
}

// foldHeader is a column name without regard to case and blanks: trimmed, lower case, inner blanks as underscores.
func foldHeader(s string) string {
	return strings.ToLower(strings.Join(strings.Fields(s), "_"))
}
