package survey

import (
	"cmp"
	"fmt"
	"maps"
	"slices"
)

// mappedTable is the mapping of one table, made ready before its file is read.
type mappedTable struct {
	spec  *tableSpec // ours
	own   *tableSpec // what the header of the file is looked through for
	name  string     // of the file
	m     *TableMap
	cols  []mappedColumn // in the order of the columns of spec; kind 0 where one is not mapped
	where []boundFilter
	not   []boundFilter
	join  *joined
	wide  *wideTable
	named map[string]SpeciesMap // by folded own name

	rows, passed, left, unlisted int // rows read, passed over by where, left out by except, of no listed species
	bound                        bool
	others                       []string // headers that are not read
}

// mappedColumn is what one column of ours is made of.
type mappedColumn struct {
	*ColumnMap
	text   pattern
	form   *dayForm
	timed  bool   // a time of day stands behind the date
	factor string // "" none
	class  *classifier
	area   []int    // columns of ours by which what stands per m2 is multiplied: the first that is not blank
	heads  []string // headers it is made of, as the mapping writes them
	at     []int    // their places in a record
}

type boundFilter struct {
	Filter
	at int
}

// newMappedTable checks a mapping as far as it can be without the file; nil where it has a fault.
func newMappedTable(spec *tableSpec, m *TableMap, all *Mapping, found *findings) *mappedTable {
	t := &mappedTable{spec: spec, name: all.file(spec.file), m: m, cols: make([]mappedColumn, len(spec.columns)),
		named: map[string]SpeciesMap{}}
	ok := true
	for i := range m.Columns {
		c := &m.Columns[i]
		k := slices.IndexFunc(spec.columns, func(c2 column) bool { return c2.name == c.Column })
		if k < 0 {
			if why := countWords[foldHeader(c.Column)]; why != "" {
				found.noteAt(c.At, why, "%s has no column %q: a count is no measure here", spec.file, c.Column)
				ok = false
				continue
			}
			found.noteAt(c.At, cmp.Or(didYouMean(c.Column, columnNames(spec)), "columns of "+spec.file+": "+enumerate(columnNames(spec))),
				"%s has no column %q", spec.file, c.Column)
			ok = false
			continue
		}
		made, bad := t.column(k, c)
		if bad == nil && c.Classes != nil {
			made.class, bad = t.classes(c, all)
		}
		if bad != nil {
			found.noteAt(c.At, bad.hint, bad.format, bad.args...)
			ok = false
			continue
		}
		t.cols[k] = made
	}
	for _, s := range all.Species {
		t.named[foldSpecies(s.Own)] = s
	}
	ok = ok && t.prepareWide(found)
	t.own = t.ownSpec()
	if !ok {
		return nil
	}
	return t
}

func columnNames(spec *tableSpec) []string {
	names := make([]string, len(spec.columns))
	for i, c := range spec.columns {
		names[i] = c.name
	}
	return names
}

// column makes one column ready.
func (t *mappedTable) column(k int, m *ColumnMap) (mappedColumn, *flaw) {
	c := &t.spec.columns[k]
	out := mappedColumn{ColumnMap: m}
	switch {
	case m.From != "":
		out.heads = []string{m.From}
	case m.Sum != nil:
		if c.kind != numberKind && c.kind != wholeKind {
			return out, newFlaw("join texts by a pattern: \"{Site}-{Plot}\"", "%s is no number: it cannot be a sum", c.name)
		}
		out.heads = m.Sum
	case m.Text != "":
		p, err := parsePattern(m.Text)
		if err != nil {
			return out, newFlaw("", "%s: %v", c.name, err)
		}
		out.text, out.heads = p, p.headers
	}
	if bad := t.measure(&out, c); bad != nil {
		return out, bad
	}
	if m.Form != "" {
		if c.kind != dayKind && c.kind != momentKind {
			return out, newFlaw("leave form out", "%s is no date: it has no form", c.name)
		}
		form, err := parseForm(m.Form)
		if err != nil {
			return out, newFlaw(`as form = "DD.MM.YYYY", "M/D/YYYY" is written "MM/DD/YYYY"`, "%s: %v", c.name, err)
		}
		out.form, out.timed = &form, c.kind == momentKind
	}
	return out, t.constants(&out, c)
}

// measure makes unit, pieces and areas ready.
func (t *mappedTable) measure(out *mappedColumn, c *column) *flaw {
	m := out.ColumnMap
	if m.Unit != "" {
		factor, bad := unitFactor(c, m.Unit)
		if bad != nil {
			return bad
		}
		if factor != "1" {
			out.factor = factor
		}
	}
	if m.Times != "" {
		if c.kind != numberKind {
			return newFlaw("leave times out", "%s is no number that can be multiplied", c.name)
		}
		out.factor = product(m.Times, cmp.Or(out.factor, "1"))
	}
	if m.Per == "" {
		return nil
	}
	for _, name := range areasOf[t.spec.file+" "+c.name] {
		out.area = append(out.area, slices.Index(columnNames(t.spec), name))
	}
	if m.Per != "m2" || out.area == nil {
		return newFlaw(`per = "m2" is for biomass_g of quadrats.csv and regrowth.csv`, "%s cannot be per %q", c.name, m.Per)
	}
	return nil
}

// areasOf are the areas that a weight is of, by table and column: the first that is given counts.
var areasOf = map[string][]string{
	"quadrats.csv biomass_g": {"weighed_m2", "quadrat_m2"},
	"regrowth.csv biomass_g": {"plot_m2"},
}

// constants judges the values and words that the mapping itself gives.
func (t *mappedTable) constants(out *mappedColumn, c *column) *flaw {
	judge := func(s string) *flaw {
		var bad *flaw
		switch {
		case s == "":
		case c.kind == numberKind, c.kind == wholeKind:
			_, bad = c.number(out.number(s))
		case c.kind == dayKind:
			_, bad = c.day(out.day(s))
		case c.kind == momentKind:
			_, _, bad = c.moment(out.day(s))
		case c.kind == wordKind:
			_, bad = c.word(s)
		case c.kind == truthKind:
			_, bad = c.truth(s)
		}
		if bad != nil {
			hint := bad.hint
			if c.kind == numberKind {
				hint = "" // it speaks of a cell
			}
			return newFlaw(hint, "%s: %s", c.name, fmt.Sprintf(bad.format, bad.args...))
		}
		return nil
	}
	if out.Fixed {
		return judge(out.Value)
	}
	for _, word := range slices.Sorted(maps.Keys(out.Words)) {
		if bad := judge(out.Words[word]); bad != nil {
			return bad
		}
	}
	return nil
}

// number brings a number to our unit.
func (c *mappedColumn) number(s string) string {
	if s == "" || c.factor == "" {
		return s
	}
	return product(s, c.factor)
}

func (c *mappedColumn) day(s string) string {
	switch {
	case c.form == nil:
		return s
	case c.timed:
		return c.form.isoMoment(s)
	}
	return c.form.iso(s)
}

// ownSpec describes the header of the file: what the mapping names, and our own names of what it does not.
func (t *mappedTable) ownSpec() *tableSpec {
	own := &tableSpec{file: t.spec.file, foreign: true, ours: map[string]*column{}}
	var heads []string
	add := func(head string, kind columnKind) {
		if head = foldHeader(head); !slices.Contains(heads, head) {
			heads = append(heads, head)
			own.columns = append(own.columns, newColumn(head, kind, "", ""))
			own.columns[len(own.columns)-1].timed = t.timedFrom(head)
		}
	}
	for i := range t.cols {
		for _, head := range t.cols[i].heads {
			add(head, t.sourceKind(i))
			if head = foldHeader(head); own.ours[head] == nil || !own.ours[head].fillable() {
				own.ours[head] = &t.spec.columns[i]
			}
		}
	}
	for _, f := range slices.Concat(t.m.Where, t.m.Except) {
		add(f.Header, textKind)
	}
	if t.m.Join != nil {
		add(t.m.Join.On, textKind)
	}
	for i, c := range t.spec.columns {
		if t.cols[i].ColumnMap == nil && !slices.Contains(heads, c.name) {
			if c.required {
				c.about += fmt.Sprintf(" Or say in [columns.%q] where it stands", t.spec.file)
			}
			own.columns = append(own.columns, c)
		}
	}
	return own
}

// timedFrom says whether a date with a time of day is read from a folded header alone.
func (t *mappedTable) timedFrom(head string) bool {
	for i, c := range t.cols {
		if c.ColumnMap != nil && c.From != "" && foldHeader(c.From) == head && t.spec.columns[i].timed {
			return true
		}
	}
	return false
}

// countWords are names of counts, which say nothing of weight by themselves.
var countWords = func() map[string]string {
	out := map[string]string{}
	for _, name := range []string{"count", "counts", "number", "n", "individuals", "plants", "fronds", "density"} {
		out[name] = `a stock is a weight: say what one weighs, as biomass_g = {from = "Plants", times = 350}, or {cells = true, times = 350} in a wide table`
	}
	return out
}()

// classes makes the letters of a column ready.
func (t *mappedTable) classes(c *ColumnMap, m *Mapping) (*classifier, *flaw) {
	if t.spec != &quadratsTable || c.Column != "cover_pct" || c.Fixed || c.Sum != nil || c.Unit != "" || c.Times != "" {
		return nil, newFlaw("as cover_pct = {from = \"SACFOR\", classes = \"sacfor massive\"}", "classes are letters of cover_pct, and have no unit")
	}
	return newClassifier(c.Classes, m)
}

// sourceKind is the kind of the cells that column i is made of: what its numbers and dates look like is found out from
// them.
func (t *mappedTable) sourceKind(i int) columnKind {
	c, kind := &t.cols[i], t.spec.columns[i].kind
	if c.Text != "" || c.Words != nil || c.class != nil || (kind == dayKind || kind == momentKind) && c.form != nil {
		return textKind
	}
	return kind
}
