package survey

import (
	"cmp"
	"fmt"
	"io"
	"slices"
	"strings"
)

// spanColumns describes the columns across as numbers, so that how these are written is found out from their cells.
func (t *mappedTable) spanColumns(text *tableText) {
	w := t.wide
	if w == nil {
		return
	}
	own := *t.own
	own.columns = slices.Clone(own.columns)
	w.spans = map[string]bool{}
	for _, head := range text.header() {
		if head == "" || own.find(head) != nil || slices.ContainsFunc(w.Ignore, func(s string) bool { return foldHeader(s) == head }) {
			continue
		}
		kind := numberKind
		if t.cols[w.cells].class != nil {
			kind = textKind
		}
		w.spans[head] = true
		own.columns = append(own.columns, newColumn(head, kind, "", ""))
	}
	t.own = &own
}

// bindWide finds the columns across: species that [species] or the species table know, or all that are not something
// else where they are quadrats.
func (t *mappedTable) bindWide(raw *rowReader, found *findings) bool {
	w, ok := t.wide, true
	for i, head := range raw.header {
		if !w.spans[head] && !slices.Contains(raw.others, i) {
			continue
		}
		name := strings.TrimSpace(raw.spelled[i])
		if name == "" || slices.ContainsFunc(w.Ignore, func(s string) bool { return foldHeader(s) == raw.header[i] }) {
			t.others = append(t.others, name)
			continue
		}
		parts := []string{name}
		if w.Across == AcrossQuadrat {
			var fits bool
			if parts, fits = w.split(name); totalWord(name) {
				ok = false
				found.note(finding{file: t.spec.file, line: raw.headed, hint: fmt.Sprintf(`list it: ignore = [%q] at %s:%d`, name, w.At.File, w.At.Line)},
					"header %q: a column of totals would be counted with the quadrats that it adds up", name)
			} else if !fits {
				ok = false
				found.note(finding{file: t.spec.file, line: raw.headed, hint: w.ignoreHint()}, "header %q is not of the form %s", name, w.Heading)
			}
		} else {
			s, listed := t.named[foldSpecies(name)]
			_, known := w.known.spelled[foldSpecies(name)]
			if listed && s.Name == "" {
				t.others = append(t.others, name)
				continue
			}
			if !listed && !known {
				ok = false
				found.note(finding{file: t.spec.file, line: raw.headed, hint: "say in [species] which it is; " + w.ignoreHint()},
					"header %q is neither a column nor a known species", name)
			}
		}
		w.at, w.names, w.parts = append(w.at, i), append(w.names, name), append(w.parts, parts)
	}
	if ok && len(w.at) == 0 {
		ok = false
		found.note(finding{file: t.spec.file, line: raw.headed, hint: "the headers are matched to [species] and the species table"},
			"a wide table, and no header of a %s", cmp.Or(w.Across, AcrossSpecies))
	}
	return ok
}

func (w *wideTable) ignoreHint() string {
	return fmt.Sprintf(`if it is something else, list it: ignore = [...] at %s:%d`, w.At.File, w.At.Line)
}

// readWide returns the next record of ours, one for every cell.
func (m *mappedRows) readWide(r *rowReader) ([]string, error) {
	w := m.wide
	for {
		for w.record != nil && w.next < len(w.at) {
			k := w.next
			w.next++
			r.rows++
			if m.cellOf(r, k) && !r.setAside(m.out) {
				return m.out, nil
			}
		}
		record, err := m.raw.Read()
		if err != nil {
			m.found.cell = cellPlace{}
			return nil, io.EOF
		}
		m.raw.plainCells(record)
		if r.line = m.raw.line; r.partial {
			r.rows++
			continue
		}
		w.record = nil
		if record, ok := m.withJoined(record); ok && m.wanted(record) && !m.labelRow(r, record) && !m.raw.isTotal(record, m.taken) {
			m.begin(r, record)
		}
	}
}

// labelRow keeps a row that holds a column of ours for each quadrat, and says whether it is one.
func (m *mappedRows) labelRow(r *rowReader, record []string) bool {
	w := m.wide
	if len(w.labels) == 0 {
		return false
	}
	label := m.species(record)
	for i, want := range w.labels {
		if label == "" || foldHeader(label) != foldHeader(want) {
			continue
		}
		if w.begun && !w.lacks {
			m.found.fault(m.spec.file, r.line, "", "move it above the first species", "the row %q stands below species", label)
		}
		w.held[i] = slices.Clone(record)
		m.rows--
		return true
	}
	return false
}

// species is the species' cell of a record.
func (m *mappedRows) species(record []string) string {
	if c := &m.cols[qSpecies]; c.ColumnMap != nil && len(c.at) > 0 {
		return m.cell(record, c.at[0])
	}
	return m.cell(record, m.own[qSpecies])
}

// begin takes up a record of the file.
func (m *mappedRows) begin(r *rowReader, record []string) {
	w := m.wide
	if !w.begun {
		w.begun = true
		for _, i := range sortedInts(w.labels) {
			if w.held[i] == nil {
				w.lacks = true
				m.found.fault(m.spec.file, r.line, "", "its label stands in the species' column, above the first species",
					"there is no row %q above, which holds %s", w.labels[i], m.spec.columns[i].name)
			}
		}
	}
	if w.lacks {
		r.rows++
		return // it was said
	}
	w.record, w.next, w.visit = record, 0, false
	w.blank = !slices.ContainsFunc(w.at, func(at int) bool { return m.cell(record, at) != "" })
	if !w.blank || w.Across == AcrossQuadrat {
		return
	}
	m.wideHead, m.wideCell = nil, ""
	m.translate(record)
	switch v := foldHeader(m.out[qVisit]); {
	case v != "" && v != visitWords[Done]:
		w.visit = true
	case w.Absent:
		m.found.doubt(m.spec.file, r.line, "", "write planned or not_reached in visit where nobody was there",
			"no species has an entry: taken for a quadrat visited and empty")
	}
}

// cellOf makes the record of one cell and says whether it is to be read.
func (m *mappedRows) cellOf(r *rowReader, k int) bool {
	w := m.wide
	s := m.cell(w.record, w.at[k])
	if w.visit { // one row says that the quadrat was not visited
		w.next = len(w.at)
		m.wideHead, m.wideCell, m.wideAt = nil, "", -1
		return m.translate(w.record)
	}
	measure := m.spec.columns[w.cells].name
	m.found.cell = cellPlace{m.spec.file, r.line, m.raw.header[w.at[k]], append(m.headNames(), measure)}
	if m.wideHead, m.wideCell, m.wideAt = w.parts[k], s, w.at[k]; s == "" && w.Absent {
		m.wideCell = "0"
	}
	ok := m.translate(w.record)
	if v := foldHeader(m.out[qVisit]); v != "" && v != visitWords[Done] && s == "" {
		m.out[qSpecies], m.out[w.cells], m.empty = "", "", true
		return ok
	}
	if s == "" && !w.Absent {
		m.found.fault(m.spec.file, r.line, measure,
			fmt.Sprintf(`write 0 where it was looked for and absent; if every blank means that, say blank = "absent" at %s:%d`, w.At.File, w.At.Line),
			"is blank for %s", cmp.Or(m.out[qSpecies], w.names[k]))
		return false
	}
	return ok
}

func (m *mappedRows) headNames() []string {
	var out []string
	for _, i := range m.wide.head {
		out = append(out, m.spec.columns[i].name)
	}
	return out
}

// headed is what the header across, or the label row, gives for column i.
func (m *mappedRows) headed(i int) string {
	w := m.wide
	if k := slices.Index(w.head, i); k >= 0 {
		if m.wideHead == nil {
			return ""
		}
		return m.wideHead[k]
	}
	return m.cell(w.held[i], m.wideAt)
}

func sortedInts(m map[int]string) []int {
	var out []int
	for i := range m {
		out = append(out, i)
	}
	slices.Sort(out)
	return out
}
