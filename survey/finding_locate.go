package survey

import (
	"encoding/csv"
	"slices"
	"strings"
)

// locate turns the column names of findings of one file, sorted by line, into byte columns. Only the header and the
// records concerned are parsed again. A byte-order mark does not count.
func locate(text string, list []finding) {
	header, _, ok := parseAt(text)
	if !ok {
		return
	}
	for i := range header {
		header[i] = foldHeader(header[i])
	}
	rest, line := text, 1
	for i := range list {
		f := &list[i]
		if f.column == "" || f.at > 0 || f.line == 0 {
			continue
		}
		for line < f.line {
			n := strings.IndexByte(rest, '\n')
			if n < 0 {
				return
			}
			rest, line = rest[n+1:], line+1
		}
		k := slices.Index(header, f.column)
		record, r, ok := parseAt(rest)
		if !ok || k < 0 || k >= len(record) {
			continue
		}
		down, column := r.FieldPos(k)
		f.line, f.at = f.line+down-1, column
	}
}

// parseAt reads the one record at the start of the text.
func parseAt(text string) ([]string, *csv.Reader, bool) {
	r := csv.NewReader(strings.NewReader(text))
	r.FieldsPerRecord = -1
	r.LazyQuotes = true
	record, err := r.Read()
	return record, r, err == nil
}

// foldHeader is a column name without regard to case and blanks: trimmed, lower case, inner blanks as underscores.
func foldHeader(s string) string {
	return strings.ToLower(strings.Join(strings.Fields(s), "_"))
}
