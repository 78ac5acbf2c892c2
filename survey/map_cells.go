package survey

import (
	"slices"
	"strings"
)

// translate makes a record of ours and says whether it is to be read.
func (m *mappedRows) translate(record []string) bool {
	for i := range m.cols {
		c := &m.cols[i]
		switch {
		case c.ColumnMap == nil:
			m.out[i] = m.cell(record, m.own[i])
		case c.Cells:
			m.out[i] = c.finish(m.wideCell)
		case c.Header:
			m.out[i] = c.finish(m.headed(i))
		case c.Fixed:
			m.out[i] = c.finish(c.Value)
		default:
			m.out[i] = c.finish(m.compose(c, record))
		}
	}
	for i := range m.cols {
		m.perArea(&m.cols[i], i)
	}
	ok := m.renameSpecies()
	m.classify()
	return ok
}

// cell is a cell of a record, blank where it is one of the words for missing.
func (m *mappedRows) cell(record []string, place int) string {
	if place < 0 || place >= len(record) || slices.Contains(m.m.Missing, record[place]) {
		return ""
	}
	return record[place]
}

// classify turns a letter of cover into the middle of its class. A letter that is none stays, to be refused as no number.
func (m *mappedRows) classify() {
	m.class = 0
	if m.spec != &quadratsTable || m.cols[qCover].class == nil {
		return
	}
	s, class, ok := m.cols[qCover].class.read(m.out[qSpecies], m.out[qCover])
	if m.class = class; ok {
		m.out[qCover] = s
	} else if _, bad := parseNumber(s); bad == nil {
		m.out[qCover] = s + " " // a number of no class is no cover
	}
}

// compose puts together what a column is made of.
func (m *mappedRows) compose(c *mappedColumn, record []string) string {
	if c.From != "" {
		return m.cell(record, c.at[0])
	}
	cells := make([]string, len(c.at))
	for i, at := range c.at {
		cells[i] = m.cell(record, at)
	}
	if c.Sum == nil {
		return c.text.fill(cells)
	}
	return sum(cells)
}

// sum adds numbers as written. A sum with a blank part is blank; with a part that is no number it is that part, to be
// refused where it is read.
func sum(cells []string) string {
	if slices.Contains(cells, "") {
		return ""
	}
	total, _ := parseDecimal("0")
	for _, s := range cells {
		d, ok := parseDecimal(s)
		if !ok {
			return s
		}
		total = total.plus(d)
	}
	return total.String()
}

// finish translates words, dates and units.
func (c *mappedColumn) finish(s string) string {
	if word, ok := c.Words[s]; ok {
		s = word
	}
	return c.number(c.day(s))
}

// perArea turns a weight per m2 into one of the area that was weighed.
func (m *mappedRows) perArea(c *mappedColumn, i int) {
	if c.area == nil || m.out[i] == "" {
		return
	}
	for _, k := range c.area {
		if area := m.out[k]; area != "" {
			m.out[i] = product(m.out[i], area)
			return
		}
	}
}

// renameSpecies translates the species of the record. Rows of what is no species of the survey are left out; in
// quadrats.csv one without species and cover 0 stands for them.
func (m *mappedRows) renameSpecies() bool {
	m.empty = false
	for i, c := range m.spec.columns {
		switch c.name {
		case "species":
			s, listed := m.named[foldSpecies(m.out[i])]
			switch {
			case m.out[i] == "":
			case listed && s.Name != "":
				m.out[i] = s.Name
			case listed, m.m.OnlyListed:
				m.unlisted++
				return m.visitOnly()
			}
		case "species_sought":
			names := strings.Split(m.out[i], ";")
			for k, name := range names {
				if s := m.named[foldSpecies(name)]; s.Name != "" {
					names[k] = s.Name
				}
			}
			m.out[i] = strings.Join(names, ";")
		}
	}
	return true
}

// visitOnly keeps of a row of quadrats.csv that the quadrat was visited.
func (m *mappedRows) visitOnly() bool {
	if m.spec != &quadratsTable {
		return false
	}
	for _, k := range []int{qSpecies, qCover, qFrond, qBiomass, qWeighed} {
		m.out[k] = ""
	}
	if v := foldHeader(m.out[qVisit]); v == "" || v == visitWords[Done] {
		m.out[qCover] = "0"
	}
	m.empty = true
	return true
}
