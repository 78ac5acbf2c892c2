package survey

import (
	"fmt"
	"slices"
	"strings"
)

// bind finds the headers of the mapping in the file and in the file joined to it, and says whether all are there.
func (t *mappedTable) bind(raw *rowReader, found *findings) bool {
	line := raw.headed
	ok := true
	lost := func(at Place, head, what string) {
		ok = false
		where := fmt.Sprintf("%s:%d takes %s from it; ", at.File, at.Line, what)
		if near := didYouMean(foldHeader(head), raw.header); near != "" {
			where += near
		} else {
			where += "the file has " + some(slices.DeleteFunc(slices.Clone(raw.spelled), func(s string) bool { return strings.TrimSpace(s) == "" }), 15)
		}
		found.note(finding{file: t.spec.file, line: line, hint: where}, "column %q is missing", head)
	}
	for i := range t.cols {
		c := &t.cols[i]
		c.at = c.at[:0]
		for _, head := range c.heads {
			k := t.place(head, raw.header)
			if k < 0 {
				lost(c.At, head, c.Column)
			}
			c.at = append(c.at, k)
		}
		ok = t.once(i, raw, found, line) && ok
	}
	filters := func(in []Filter) (out []boundFilter) {
		for _, f := range in {
			k := t.place(f.Header, raw.header)
			if k < 0 {
				lost(f.At, f.Header, "the choice of rows")
			}
			out = append(out, boundFilter{f, k})
		}
		return out
	}
	t.where, t.not = filters(t.m.Where), filters(t.m.Except)
	if t.join != nil {
		if t.join.on = slices.Index(raw.header, foldHeader(t.join.On)); t.join.on < 0 {
			lost(t.join.At, t.join.On, "the rows of "+t.join.File)
		}
	}
	return ok
}

// place is where a header stands in a record of the table with that of the joined file behind it, -1 nowhere.
func (t *mappedTable) place(head string, header []string) int {
	head = foldHeader(head)
	if k := slices.Index(header, head); k >= 0 {
		return k
	}
	if t.join != nil {
		if k := slices.Index(t.join.header, head); k >= 0 {
			return len(header) + k
		}
	}
	return -1
}

// once refuses a column that the file has under our name and the mapping makes of others.
func (t *mappedTable) once(i int, raw *rowReader, found *findings, line int) bool {
	c, name := &t.cols[i], t.spec.columns[i].name
	k := slices.Index(raw.header, name)
	if c.ColumnMap == nil || k < 0 || slices.Contains(c.at, k) || slices.ContainsFunc(t.cols, func(d mappedColumn) bool { return slices.Contains(d.heads, name) }) {
		return true
	}
	found.note(finding{file: t.spec.file, line: line, hint: "take the mapping out, or give the column another name"},
		"column %q stands in the file, and %s:%d makes it otherwise", name, c.At.File, c.At.Line)
	return false
}
