package survey

import (
	"cmp"
	"slices"
	"strings"
)

// compare pairs the rows of two typings and notes what differs.
func (t *Typings) compare(spec *tableSpec, a, b *typing) {
	m := newMatcher(spec, a, b)
	t.Apart = apart(a.header, b.header)
	columns := make([]TypingColumn, len(spec.columns))
	for _, p := range m.match() {
		row := rowWords(m, p)
		switch {
		case p.b < 0:
			t.Differ = append(t.Differ, TypingDiff{Kind: FirstOnly, Row: row, First: TypedCell{Line: a.lines[p.a]}})
			continue
		case p.a < 0:
			t.Differ = append(t.Differ, TypingDiff{Kind: SecondOnly, Row: row, Second: TypedCell{Line: b.lines[p.b]}})
			continue
		}
		t.Rows++
		for k := range spec.columns {
			if a.columns[k] < 0 || b.columns[k] < 0 {
				continue
			}
			c := &spec.columns[k]
			x, y := a.cell(p.a, k), b.cell(p.b, k)
			if x == "" && y == "" {
				continue
			}
			columns[k].Cells++
			if !c.sameTyped(x, y) {
				columns[k].Differ++
				t.Differ = append(t.Differ, TypingDiff{Kind: CellDiffers, Column: c.name, Row: row,
					First: TypedCell{Line: a.lines[p.a], Text: x}, Second: TypedCell{Line: b.lines[p.b], Text: y}})
			}
		}
	}
	for k, c := range columns {
		c.Column = spec.columns[k].name
		if c.Cells > 0 {
			t.Columns = append(t.Columns, c.rated())
			t.All.Cells, t.All.Differ = t.All.Cells+c.Cells, t.All.Differ+c.Differ
		}
	}
	t.All = t.All.rated()
}

// apart lists the named columns of two headers that stand in one only.
func apart(a, b []string) []string {
	var out []string
	for _, s := range a {
		if s != "" && !slices.Contains(b, s) {
			out = append(out, s)
		}
	}
	for _, s := range b {
		if s != "" && !slices.Contains(a, s) {
			out = append(out, s)
		}
	}
	return out
}

// rowWords names a row by the cells of its key that are not blank, as in the first file where it stands there.
func rowWords(m *matcher, p typedPair) string {
	t, row := m.a, p.a
	if row < 0 {
		t, row = m.b, p.b
	}
	var words []string
	for _, k := range m.key {
		if s := t.cell(row, k); s != "" {
			words = append(words, s)
		}
	}
	return strings.Join(words, " ")
}

// place finds the character columns of the differing cells in both files.
func (t *Typings) place(texts map[string]*tableText) {
	for _, file := range []string{t.First, t.Second} {
		var list []finding
		var of []*TypedCell
		for i := range t.Differ {
			d := &t.Differ[i]
			c := &d.First
			if file == t.Second {
				c = &d.Second
			}
			if c.Line > 0 && d.Kind == CellDiffers {
				of = append(of, c)
			}
		}
		slices.SortStableFunc(of, func(a, b *TypedCell) int { return cmp.Compare(a.Line, b.Line) })
		at := map[*TypedCell]string{}
		for i := range t.Differ {
			at[&t.Differ[i].First], at[&t.Differ[i].Second] = t.Differ[i].Column, t.Differ[i].Column
		}
		for _, c := range of {
			list = append(list, finding{line: c.Line, column: at[c]})
		}
		texts[file].locate(list)
		for i, c := range of {
			c.Line, c.Column = list[i].line, list[i].at
		}
	}
}
