package survey

import (
	"maps"
	"math"
	"slices"
)

const (
	fewestUnit = 4   // values of a day or an observer that tell another unit
	unitShare  = 0.8 // share of them that must be off alike
	unitWidth  = 0.9 // of logs: how near to whole digits the middle of them must lie, a factor of 2.5
)

// scope is what a unit may have been mistaken for: a whole observer, day, bed and day, or observer and day.
type scope struct {
	wide  bool // may hold half of all rows, so that the rest alone tells what is usual
	of    func(m *measures, i int) (key, bool)
	words func(m *measures, i int) string
}

// scopes go from the widest to the narrowest.
var scopes = []scope{
	{true, func(m *measures, i int) (key, bool) { return key{m.person(i)}, m.person(i) != 0 },
		func(m *measures, i int) string { return "of " + m.who + " " + m.names[m.person(i)] }},
	{false, func(m *measures, i int) (key, bool) { return key{uint32(m.day[i])}, m.day[i] != NoDay },
		func(m *measures, i int) string { return "on " + m.day[i].String() }},
	{false, func(m *measures, i int) (key, bool) { return key{m.bed[i], uint32(m.day[i])}, m.day[i] != NoDay },
		func(m *measures, i int) string { return "on bed " + m.names[m.bed[i]] + " on " + m.day[i].String() }},
	{false, func(m *measures, i int) (key, bool) {
		return key{m.person(i), uint32(m.day[i])}, m.person(i) != 0 && m.day[i] != NoDay
	},
		func(m *measures, i int) string {
			return "of " + m.who + " " + m.names[m.person(i)] + " on " + m.day[i].String()
		}},
}

func (m *measures) person(i int) uint32 {
	if m.observer == nil {
		return 0
	}
	return m.observer[i]
}

// units notes days and observers whose values are all off by the digits between two units, as kg typed for g. The rest
// of the species tells what is custom; a value counts with the species it is of.
func (c *checker) units(m *measures) {
	for _, s := range scopes {
		ratio := m.ratios()
		groups, order := map[key][]int{}, []key{}
		for i, r := range ratio {
			k, ok := s.of(m, i)
			if math.IsNaN(r) || !ok || m.slipped[i] {
				continue
			}
			if groups[k] == nil {
				order = append(order, k)
			}
			groups[k] = append(groups[k], i)
		}
		for _, k := range order {
			if s.wide {
				m.against(groups[k], ratio)
			}
			if digits := m.unitOf(groups[k], ratio); digits != 0 {
				c.otherUnit(m, groups[k], digits, s.words(m, groups[k][0]))
			}
		}
	}
}

// against measures rows anew, against the rows of other people.
func (m *measures) against(rows []int, ratio []float64) {
	who := m.person(rows[0])
	rest := m.usually(m.bySpecies, func(i int) bool { return m.person(i) == who || m.slipped[i] })
	for _, i := range rows {
		ratio[i] = math.NaN()
		if u := rest[m.bySpecies(i)]; u.tells() {
			ratio[i] = math.Log(m.value[i]) - u.median
		}
	}
}

// ratios are the logs of the values over the median of their species; NaN where too few tell it.
func (m *measures) ratios() []float64 {
	species := m.usually(m.bySpecies, func(i int) bool { return m.slipped[i] })
	out := make([]float64, len(m.value))
	for i, v := range m.value {
		out[i] = math.NaN()
		if u := species[m.bySpecies(i)]; v > 0 && u.tells() {
			out[i] = math.Log(v) - u.median
		}
	}
	return out
}

// unitOf is the number of digits by which rows are off as a whole, one of those of m.slips; 0 where they are not.
func (m *measures) unitOf(rows []int, ratio []float64) int {
	for _, digits := range slices.Sorted(maps.Keys(m.slips)) {
		n := 0
		var of []float64
		for _, i := range rows {
			if math.IsNaN(ratio[i]) {
				continue // nobody else wrote the species down
			}
			of = append(of, ratio[i])
			if math.Round(ratio[i]/math.Ln10) == float64(digits) {
				n++
			}
		}
		if len(of) < fewestUnit {
			return 0
		}
		slices.Sort(of)
		near := math.Abs(middle(of)-float64(digits)*math.Ln10) <= unitWidth
		if near && float64(n) >= unitShare*float64(len(of)) {
			return digits
		}
	}
	return 0
}

// otherUnit notes a group of rows that are off as a whole.
func (c *checker) otherUnit(m *measures, rows []int, digits int, where string) {
	var names []string
	for _, i := range rows {
		m.slipped[i] = true
		if name := m.names[m.species[i]]; !slices.Contains(names, name) {
			names = append(names, name)
		}
	}
	slices.Sort(names)
	c.found.doubt(m.file, int(m.line[rows[0]]), m.column, m.slips[digits]+"? One of the two is in another unit: mend these, or the others",
		"the %d values %s are about %s those of the other rows (%s), lines %d to %d", len(rows), where, times(digits),
		some(names, 3), m.line[rows[0]], m.line[rows[len(rows)-1]])
}
