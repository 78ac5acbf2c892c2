package survey

import "io"

// joined is the other file of a join while its table is read.
type joined struct {
	*Join
	header []string            // folded
	rows   map[string][]string // by the cell of On
	on     int                 // place of On in a record of the table
}

// readJoin reads the other file of a join; nil where it cannot be used.
func (r *reading) readJoin(j *Join, table string) *joined {
	spec := &tableSpec{file: j.File, foreign: true, columns: []column{textColumn(foldHeader(j.On), "it joins the rows of "+table+" to those of this file.").there()}}
	if !r.has(j.File) {
		r.found.noteAt(j.At, "write the name of a file of this folder", "join of %s: there is no file %s", table, j.File)
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
			return out
		}
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
