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
	of    func(t *together) groups
	words func(m *measures, i int) string
}

// scopes go from the widest to the narrowest.
var scopes = []scope{
	{true, func(t *together) groups { return t.person },
		func(m *measures, i int) string { return "of " + m.who + " " + m.names[m.person(i)] }},
	{false, func(t *together) groups { return t.day },
		func(m *measures, i int) string { return "on " + m.day[i].String() }},
	{false, func(t *together) groups { return t.byBedAndDay() },
		func(m *measures, i int) string { return "on bed " + m.names[m.bed[i]] + " on " + m.day[i].String() }},
	{false, func(t *together) groups { return t.byPersonAndDay() },
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

// unitSlip is a group of rows that are off as a whole.
type unitSlip struct {
	rows   []int32
	digits int
	where  string
}

// findUnits looks for days and observers whose values are all off by the digits between two units, as kg typed for g.
// The rest of the species tells what is custom; a value counts with the species it is of.
func (m *measures) findUnits() {
	usual, noted := m.medians(m.by.species), 0
	var off *offRuns // by what is usual
	for _, s := range scopes {
		if len(m.units) != noted {
			usual, noted, off = m.medians(m.by.species), len(m.units), nil
		}
		g := s.of(m.by)
		switch {
		case g.n == 0:
		case s.wide:
			m.wideUnits(s, g, usual)
		default:
			if off == nil {
				off = m.offByRun(usual)
			}
			m.narrowUnits(s, g, usual, off)
		}
	}
}

// narrowUnits looks at groups that are small beside all rows.
func (m *measures) narrowUnits(s scope, g groups, usual []float64, off *offRuns) {
	doubted := off.doubted(g)
	if doubted == nil {
		return
	}
	rows := map[int32][]int32{}
	var order []int32
	for run, k := range g.of {
		if k < 0 || !doubted[k] {
			continue
		}
		for i := m.by.runs[run]; i < m.by.runs[run+1]; i++ {
			if m.day[i] == NoDay || !m.counts(int(i)) || math.IsNaN(usual[m.by.species.of[i]]) {
				continue
			}
			if rows[k] == nil {
				order = append(order, k)
			}
			rows[k] = append(rows[k], i)
		}
	}
	for _, k := range order {
		m.noteUnit(rows[k], usual, s)
	}
}

// offRuns counts, of every run with a day, the rows that count, and those of them that are off by the digits between two
// units, for each of the kinds of slips.
type offRuns struct {
	kinds     int
	all, hits []int32
}

func (m *measures) offByRun(usual []float64) *offRuns {
	slips := slices.Sorted(maps.Keys(m.slips))
	runs := len(m.by.runs) - 1
	o := &offRuns{len(slips), make([]int32, runs), make([]int32, runs*len(slips))}
	for run := range runs {
		from, to := m.by.runs[run], m.by.runs[run+1]
		if m.day[from] == NoDay {
			continue
		}
		hits := o.hits[run*len(slips):][:len(slips)]
		for i := from; i < to; i++ {
			off := m.logs[i] - usual[m.by.species.of[i]]
			if off != off || m.slipped[i] {
				continue
			}
			o.all[run]++
			d := math.Round(off / math.Ln10)
			for j, digits := range slips {
				if d == float64(digits) {
					hits[j]++
				}
			}
		}
	}
	return o
}

// doubted says which groups of runs have rows enough that are off by the digits between two units; nil: none.
func (o *offRuns) doubted(g groups) []bool {
	all, hits := make([]int32, g.n), make([]int32, g.n*o.kinds)
	for run, k := range g.of {
		if k < 0 {
			continue
		}
		all[k] += o.all[run]
		for j := range o.kinds {
			hits[int(k)*o.kinds+j] += o.hits[run*o.kinds+j]
		}
	}
	var out []bool
	for at, n := range hits {
		if k := at / o.kinds; n > 0 && all[k] >= fewestUnit && float64(n) >= unitShare*float64(all[k]) {
			if out == nil {
				out = make([]bool, g.n)
			}
			out[k] = true
		}
	}
	return out
}

// noteUnit keeps rows that are off as a whole, and says whether they are.
func (m *measures) noteUnit(rows []int32, usual []float64, s scope) bool {
	digits := m.unitOf(rows, usual)
	if digits == 0 {
		return false
	}
	for _, i := range rows {
		m.slipped[i] = true
	}
	m.units = append(m.units, unitSlip{rows, digits, s.words(m, int(rows[0]))})
	return true
}

// unitOf is the number of digits by which rows are off as a whole, one of those of m.slips; 0 where they are not.
func (m *measures) unitOf(rows []int32, usual []float64) int {
	slips := slices.Sorted(maps.Keys(m.slips))
	all, hits := 0, make([]int, len(slips))
	for _, i := range rows {
		off := m.logs[i] - usual[m.by.species.of[i]]
		if off != off {
			continue // nobody else wrote the species down
		}
		all++
		d := math.Round(off / math.Ln10)
		for j, digits := range slips {
			if d == float64(digits) {
				hits[j]++
			}
		}
	}
	for j, digits := range slips {
		if all >= fewestUnit && float64(hits[j]) >= unitShare*float64(all) &&
			math.Abs(m.middleOf(rows, usual)-float64(digits)*math.Ln10) <= unitWidth {
			return digits
		}
	}
	return 0
}

// middleOf is the median of the logs of rows over what is usual.
func (m *measures) middleOf(rows []int32, usual []float64) float64 {
	var of []float64
	for _, i := range rows {
		if off := m.logs[i] - usual[m.by.species.of[i]]; off == off {
			of = append(of, off)
		}
	}
	return middle(of)
}

// noteUnits notes groups of rows that are off as a whole.
func (c *checker) noteUnits(m *measures) {
	for _, u := range m.units {
		var names []string
		for _, i := range u.rows {
			if name := m.names[m.species[i]]; !slices.Contains(names, name) {
				names = append(names, name)
			}
		}
		slices.Sort(names)
		first, last := u.rows[0], u.rows[len(u.rows)-1]
		c.found.doubt(m.file, int(m.line[first]), m.column, m.slips[u.digits]+"? One of the two is in another unit: mend these, or the others",
			"the %d values %s are about %s those of the other rows (%s), lines %d to %d", len(u.rows), u.where, times(u.digits),
			some(names, 3), m.line[first], m.line[last])
	}
}
