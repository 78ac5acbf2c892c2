package main

import (
	"fmt"
	"maps"
	"slices"
	"strings"

	"bedstock/cmd/bedstock/internal/table"
	"bedstock/survey"
)

// readAs is how the tables of a folder were read, also of one with errors: as far as it could be.
type readAs struct {
	dialects []survey.Dialect
	mapped   []string
}

// lines says in words how each table was read that is not plain, or that is read by a mapping.
func (r readAs) lines() (mapped, dialects []string) {
	for _, d := range r.dialects {
		if !d.Plain() && !d.PlainSheet() {
			dialects = append(dialects, d.String())
		}
	}
	return append(r.books(), r.mapped...), dialects
}

// books says of every workbook which tables are its sheets, where there is no more to say of them.
func (r readAs) books() []string {
	sheets := map[string][]string{}
	for _, d := range r.dialects {
		if d.PlainSheet() {
			sheets[d.Book] = append(sheets[d.Book], d.File)
		}
	}
	var out []string
	for _, book := range slices.Sorted(maps.Keys(sheets)) {
		out = append(out, fmt.Sprintf("%s: its sheets are read as %s", book, strings.Join(sheets[book], ", ")))
	}
	return out
}

// print says how the tables were read: what was found out may be wrong.
func (r readAs) print(e *env) {
	mapped, dialects := r.lines()
	for _, line := range append(mapped[:len(mapped):len(mapped)], dialects...) {
		fmt.Fprintln(e.stdout, cleaned(line))
	}
	if len(dialects) > 0 {
		fmt.Fprintln(e.stdout, "    hint: where that is wrong, say how a table is written in rules.toml: [input]")
	}
}

// add adds the same to a table of problems, as notes.
func (r readAs) add(t *table.Table) {
	mapped, dialects := r.lines()
	for _, line := range append(mapped[:len(mapped):len(mapped)], dialects...) {
		file, text, _ := strings.Cut(line, ": ")
		t.Add(table.Text(file), table.Missing, table.Missing, table.Text("note"), table.Text(text), table.Text(""))
	}
}
