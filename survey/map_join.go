package survey

import (
	"cmp"
	"io"
	"maps"
	"slices"
)

// joined is the other file of a join while its table is read.
type joined struct {
	*Join
	header []string            // folded
	rows   map[string][]string // by the cell of On
	on     int                 // place of On in a record of the table
	torn   bool                // rows of it cannot be read, which was said
}

// readJoin reads the other file of a join; nil where it cannot be used.
func (r *reading) readJoin(j *Join, t *mappedTable) *joined {
	table := t.spec.file
	spec := t.joinSpec(j)
	if !r.has(j.File) {
		r.found.noteAt(j.At, cmp.Or(r.namedHint(j.File, slices.Sorted(maps.Keys(r.books))), "write the name of a file of this folder"), "join of %s: there is no file %s", table, j.File)
		return nil
	}
	rows := r.openNamed(j.File, spec, nil, InputRules{})
	if rows == nil || rows.partial {
		return nil
	}
	out := &joined{Join: j, header: append([]string(nil), rows.header...), rows: map[string][]string{}}
	lines := map[string]int{}
	for {
		record, err := rows.Read()
		if err == io.EOF {
			out.torn = slices.ContainsFunc(r.found.list, func(f finding) bool { return f.lost && f.file == j.File })
			return out
		}
		rows.plainCells(record)
		key := rows.cell(record, 0)
		if first, again := lines[key]; again && key != "" {
			r.found.fault(j.File, rows.line, spec.columns[0].name, "a row of the table must find one row here",
				"%q stands in line %d already", key, first)
			continue
		}
		lines[key] = rows.line
		out.rows[key] = append([]string(nil), record...)
	}
}

// joinSpec describes the header of the other file: the column that joins it, and those that the mapping names and the
// file may have, so that their cells are read as those of the table itself.
func (t *mappedTable) joinSpec(j *Join) *tableSpec {
	on := textColumn(foldHeader(j.On), "it joins the rows of "+t.spec.file+" to those of this file.").there()
	spec := &tableSpec{file: j.File, foreign: true, columns: []column{on}}
	for _, c := range t.own.columns {
		named := func(f Filter) bool { return foldHeader(f.Header) == c.name }
		mapped := t.own.ours[c.name] != nil || slices.ContainsFunc(t.m.Where, named) || slices.ContainsFunc(t.m.Except, named)
		if mapped && spec.find(c.name) == nil {
			c.required = false
			spec.columns = append(spec.columns, c)
		}
	}
	return spec
}
