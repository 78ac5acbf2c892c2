package survey

import (
	"io"
	"slices"
	"strings"
)

// mappedRows turns the records of a file into records of our table, in the order of its columns.
type mappedRows struct {
	*mappedTable

	raw   *rowReader
	found *findings
	own   []int    // places of our own columns that are not mapped, -1 where the file has none
	out   []string // the last record of ours
	empty bool     // it stands for a species left out: its quadrat was visited

	class    uint8    // of cover, its place among the classes met; 0: measured
	wideHead []string // of a wide table: what the header of the cell gives
	wideCell string
	wideAt   int
}

// newMappedReader reads a file by its mapping; nil where the file cannot be read on.
func newMappedReader(text *tableText, t *mappedTable, rules InputRules, found *findings) *rowReader {
	t.spanColumns(text)
	raw := newRowReader(text, t.own, rules, found)
	if raw == nil {
		return nil
	}
	m := &mappedRows{mappedTable: t, raw: raw, found: found, own: make([]int, len(t.cols)), out: make([]string, len(t.cols))}
	ok := t.bind(raw, found)
	t.bound = true
	r := &rowReader{records: raw.records, spec: t.spec, found: found, header: columnNames(t.spec), columns: make([]int, len(t.cols)),
		headed: raw.headed, most: raw.mostRows(), limit: raw.limit, partial: raw.partial || !ok, mapped: m}
	if raw.fill != nil {
		r.spec = t.filledSpec(raw.spec)
	}
	for i, c := range t.cols {
		m.own[i], r.columns[i] = -1, i
		if c.ColumnMap != nil {
			continue
		}
		if m.own[i] = slices.Index(raw.header, t.spec.columns[i].name); m.own[i] < 0 || t.madeOf(m.own[i]) {
			m.own[i], r.columns[i] = -1, -1
		}
	}
	if t.wide != nil {
		r.partial = !t.bindWide(raw, found) || r.partial
		r.most *= max(1, len(t.wide.at))
		return r
	}
	for _, i := range raw.others {
		if s := strings.TrimSpace(raw.spelled[i]); s != "" {
			t.others = append(t.others, s)
		}
	}
	return r
}

// madeOf says whether a mapped column is made of the place, so that it does not stand for the column of its name.
func (t *mappedTable) madeOf(place int) bool {
	return slices.ContainsFunc(t.cols, func(c mappedColumn) bool { return slices.Contains(c.at, place) })
}

// filledSpec describes our columns, with those marked whose cells in the file are filled from above.
func (t *mappedTable) filledSpec(file *tableSpec) *tableSpec {
	spec := *t.spec
	spec.columns = slices.Clone(spec.columns)
	for i := range spec.columns {
		for k := range file.columns {
			spec.columns[i].fills = spec.columns[i].fills || file.columns[k].fills && file.oursAt(k).name == spec.columns[i].name
		}
	}
	return &spec
}

// read returns the next usable record of ours, or [io.EOF].
func (m *mappedRows) read(r *rowReader) ([]string, error) {
	if m.wide != nil {
		return m.readWide(r)
	}
	for {
		record, err := m.raw.Read()
		if err != nil {
			return nil, io.EOF
		}
		r.line = m.raw.line
		m.raw.plainCells(record)
		if r.partial {
			r.rows++ // what is missing was said; cells that are somewhere else are not judged
			continue
		}
		record, ok := m.withJoined(record)
		if !ok || !m.wanted(record) {
			continue
		}
		r.rows++
		usable := m.translate(record)
		if usable && r.setAside(m.out) || m.raw.isTotal(record, m.taken) {
			continue
		}
		if usable {
			return m.out, nil
		}
	}
}

// withJoined adds the row of the other file.
func (m *mappedRows) withJoined(record []string) ([]string, bool) {
	j := m.join
	if j == nil {
		return record, true
	}
	key := record[j.on]
	other, ok := j.rows[key]
	if !ok && j.torn {
		return nil, false
	}
	if !ok {
		m.found.note(finding{file: m.spec.file, line: m.raw.line, at: m.raw.records.column(j.on), lost: true,
			hint: "add the row there, or mend the cell"}, "%s %q has no row in %s", j.On, key, j.File)
		return nil, false
	}
	return append(record[:len(m.raw.header):len(m.raw.header)], other...), true
}

// wanted says whether the filters let a row pass.
func (m *mappedRows) wanted(record []string) bool {
	fits := func(f boundFilter) bool { return slices.Contains(f.Texts, record[f.at]) }
	for _, f := range m.where {
		if !fits(f) {
			m.passed++
			return false
		}
	}
	if slices.ContainsFunc(m.not, fits) {
		m.left++
		return false
	}
	m.rows++
	return true
}

// taken says whether a mapping takes a cell for a word of its own: one for missing, one that it translates, or a species
// that it lists or leaves out.
func (m *mappedRows) taken(c *column, cell string) bool {
	if slices.Contains(m.m.Missing, cell) {
		return true
	}
	if of := m.find(c.name); of != nil {
		if _, word := of.Words[cell]; word {
			return true
		}
	}
	_, listed := m.named[foldSpecies(cell)]
	return c.name == "species" && (listed || m.m.OnlyListed)
}
