package survey

import (
	"slices"
	"strings"
)

// pool interns the text of the columnar tables. Id 0 is blank.
type pool struct {
	ids   map[string]uint32
	names []string
}

func newPool() *pool { return &pool{map[string]uint32{"": 0}, []string{""}} }

// id is the number of a text, which is kept on its own where it is new.
func (p *pool) id(s string) uint32 {
	if id, ok := p.ids[s]; ok {
		return id
	}
	return p.keep(strings.Clone(s))
}

// keep is the number of a text that stands on its own.
func (p *pool) keep(s string) uint32 {
	id, ok := p.ids[s]
	if !ok {
		id = uint32(len(p.names))
		p.ids[s] = id
		p.names = append(p.names, s)
	}
	return id
}

// sorted returns the texts in order, and the place of each id among them.
func (p *pool) sorted() (names []string, place []uint32) {
	names = slices.Clone(p.names)
	slices.Sort(names)
	place = make([]uint32, len(names))
	for i, s := range names {
		place[p.ids[s]] = uint32(i)
	}
	return names, place
}

// sortNames puts the interned text of quadrats and fronds in order.
func (r *reading) sortNames() {
	names, place := r.pool.sorted()
	r.f.Names = names
	q, again, f := &r.f.Quadrats, &r.f.Readings, &r.f.Fronds
	for _, ids := range [][]uint32{
		q.Bed, q.Stratum, q.Transect, q.Quadrat, q.Species, q.Observer,
		again.Bed, again.Stratum, again.Transect, again.Quadrat, again.Species, again.Observer,
		f.Bed, f.Stratum, f.Transect, f.Quadrat, f.Species, f.Stage,
	} {
		for i, id := range ids {
			ids[i] = place[id]
		}
	}
}

// columnReader reads the cells of the current record of a columnar table. Neighbouring rows mostly repeat a text or a
// date, so the last of each column is remembered.
type columnReader struct {
	r      *reading
	rows   *rowReader
	record []string
	last   []lastCell
	ids    map[string]uint32     // of species as spelled in the file
	spell  func(s string) uint32 // interns a species under the one spelling it has everywhere
}

// lastCell is what was read of a column.
type lastCell struct {
	sound bool // nothing is wrong with the cell of the record before

	s    string // the last text or date
	id   uint32
	day  Day
	v    float64
	word int
}

func newColumnReader(r *reading, rows *rowReader) *columnReader {
	return &columnReader{r: r, rows: rows, last: make([]lastCell, len(rows.spec.columns)),
		ids: map[string]uint32{"": 0}, spell: func(s string) uint32 { return r.pool.id(r.names.of(s)) }}
}

// next moves to the next usable record.
func (c *columnReader) next() bool {
	record, err := c.rows.Read()
	c.record = record
	return err == nil
}

// cell is the trimmed text of a column.
func (c *columnReader) cell(k int) string { return c.rows.cell(c.record, k) }

func (c *columnReader) note(k int, bad *flaw) {
	if bad != nil {
		c.rows.noteFlaw(c.rows.line, k, bad)
	}
}

func (c *columnReader) fault(k int, hint, format string, args ...any) {
	c.r.found.fault(c.rows.spec.file, c.rows.line, c.rows.spec.columns[k].name, hint, format, args...)
}

func (c *columnReader) doubt(k int, hint, format string, args ...any) {
	c.r.found.doubt(c.rows.spec.file, c.rows.line, c.rows.spec.columns[k].name, hint, format, args...)
}

// lastOf is what was read of a column, and whether the current record repeats it.
func (c *columnReader) lastOf(k int) (*lastCell, bool) {
	last := &c.last[k]
	return last, last.sound && c.rows.repeated(k)
}

// take notes what is wrong with a cell.
func (l *lastCell) take(c *columnReader, k int, bad *flaw) {
	l.sound = bad == nil
	c.note(k, bad)
}

// name reads a text and interns it.
func (c *columnReader) name(k int) uint32 {
	last, again := c.lastOf(k)
	if again {
		return last.id
	}
	s := c.cell(k)
	if s == "" {
		last.s, last.id = "", 0
		last.take(c, k, c.rows.spec.columns[k].blank())
		return 0
	}
	if last.sound = true; last.s != s {
		last.id = c.r.pool.id(s)
		last.s = c.r.pool.names[last.id]
	}
	return last.id
}

// species reads the name of a species and interns it.
func (c *columnReader) species(k int) uint32 {
	s := c.cell(k)
	if s == "" {
		c.note(k, c.rows.spec.columns[k].blank())
	}
	id, ok := c.ids[s]
	if !ok {
		s = strings.Clone(s)
		id = c.spell(s)
		c.ids[s] = id
	}
	return id
}

func (c *columnReader) number(k int) float64 {
	last, again := c.lastOf(k)
	if !again {
		v, bad := c.rows.spec.columns[k].number(c.cell(k))
		last.v = v
		last.take(c, k, bad)
	}
	return last.v
}

func (c *columnReader) word(k int) int {
	last, again := c.lastOf(k)
	if !again {
		i, bad := c.rows.spec.columns[k].word(c.cell(k))
		last.word = i
		last.take(c, k, bad)
	}
	return last.word
}

func (c *columnReader) day(k int) Day {
	last, again := c.lastOf(k)
	if again {
		return last.day
	}
	s := c.cell(k)
	if last.sound && s != "" && last.s == s {
		return last.day
	}
	d, bad := c.rows.spec.columns[k].day(s)
	last.take(c, k, bad)
	if last.day = d; bad == nil {
		last.s = strings.Clone(s)
	}
	return d
}
