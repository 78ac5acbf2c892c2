package survey

import (
	"maps"
	"math"
	"slices"
)

// What follows measures what is usual in the plain way, with a map a group and sorted values, for comparison.

// slowScope is what a unit may have been mistaken for: a whole observer, day, bed and day, or observer and day.
type slowScope struct {
	wide  bool // may hold half of all rows, so that the rest alone tells what is usual
	of    func(m *measures, i int) (slowKey, bool)
	words func(m *measures, i int) string
}

// slowScopes go from the widest to the narrowest.
var slowScopes = []slowScope{
	{true, func(m *measures, i int) (slowKey, bool) { return slowKey{m.person(i)}, m.person(i) != 0 },
		func(m *measures, i int) string { return "of " + m.who + " " + m.names[m.person(i)] }},
	{false, func(m *measures, i int) (slowKey, bool) { return slowKey{uint32(m.day[i])}, m.day[i] != NoDay },
		func(m *measures, i int) string { return "on " + m.day[i].String() }},
	{false, func(m *measures, i int) (slowKey, bool) {
		return slowKey{m.bed[i], uint32(m.day[i])}, m.day[i] != NoDay
	},
		func(m *measures, i int) string { return "on bed " + m.names[m.bed[i]] + " on " + m.day[i].String() }},
	{false, func(m *measures, i int) (slowKey, bool) {
		return slowKey{m.person(i), uint32(m.day[i])}, m.person(i) != 0 && m.day[i] != NoDay
	},
		func(m *measures, i int) string {
			return "of " + m.who + " " + m.names[m.person(i)] + " on " + m.day[i].String()
		}},
}

// slowUnits notes days and observers whose values are all off by the digits between two units, as kg typed for g. The rest
// of the species tells what is custom; a value counts with the species it is of.
func (c *checker) slowUnits(m *measures) {
	for _, s := range slowScopes {
		ratio := m.slowRatios()
		groups, order := map[slowKey][]int{}, []slowKey{}
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
				m.slowAgainst(groups[k], ratio)
			}
			if digits := m.slowUnitOf(groups[k], ratio); digits != 0 {
				var rows []int32
				for _, i := range groups[k] {
					rows = append(rows, int32(i))
					m.slipped[i] = true
				}
				m.units = append(m.units, unitSlip{rows, digits, s.words(m, groups[k][0])})
			}
		}
	}
}

// slowAgainst measures rows anew, against the rows of other people.
func (m *measures) slowAgainst(rows []int, ratio []float64) {
	who := m.person(rows[0])
	rest := m.slowUsually(m.slowBySpecies, func(i int) bool { return m.person(i) == who || m.slipped[i] })
	for _, i := range rows {
		ratio[i] = math.NaN()
		if u := rest[m.slowBySpecies(i)]; u.tells() {
			ratio[i] = math.Log(m.value[i]) - u.median
		}
	}
}

// slowRatios are the logs of the values over the median of their species; NaN where too few tell it.
func (m *measures) slowRatios() []float64 {
	species := m.slowUsually(m.slowBySpecies, func(i int) bool { return m.slipped[i] })
	out := make([]float64, len(m.value))
	for i, v := range m.value {
		out[i] = math.NaN()
		if u := species[m.slowBySpecies(i)]; v > 0 && u.tells() {
			out[i] = math.Log(v) - u.median
		}
	}
	return out
}

// slowUnitOf is the number of digits by which rows are off as a whole, one of those of m.slips; 0 where they are not.
func (m *measures) slowUnitOf(rows []int, ratio []float64) int {
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
		near := math.Abs(sortedMiddle(of)-float64(digits)*math.Ln10) <= unitWidth
		if near && float64(n) >= unitShare*float64(len(of)) {
			return digits
		}
	}
	return 0
}

// slowKey tells groups of values apart.
type slowKey [3]uint32

// slowUsually measures what is usual in each group. The rows for which skip holds are left out.
func (m *measures) slowUsually(of func(i int) slowKey, skip func(i int) bool) map[slowKey]custom {
	logs := map[slowKey][]float64{}
	for i, v := range m.value {
		if v > 0 && !skip(i) {
			k := of(i)
			logs[k] = append(logs[k], math.Log(v))
		}
	}
	out := make(map[slowKey]custom, len(logs))
	for k, l := range logs {
		out[k] = slowUsualOf(l)
	}
	return out
}

func (m *measures) slowBySpecies(i int) slowKey { return slowKey{m.species[i]} }
func (m *measures) slowByBed(i int) slowKey     { return slowKey{m.species[i], m.bed[i]} }
func (m *measures) slowByDay(i int) slowKey     { return slowKey{m.species[i], uint32(m.day[i])} }

// slowUsualOf measures logs; they are put in order.
func slowUsualOf(logs []float64) custom {
	if len(logs) == 0 {
		return custom{}
	}
	slices.Sort(logs)
	u := custom{median: sortedMiddle(logs), n: len(logs)}
	off := make([]float64, len(logs))
	for i, v := range logs {
		off[i] = math.Abs(v - u.median)
	}
	slices.Sort(off)
	u.spread = max(leastSpread, 1.4826*sortedMiddle(off))
	return u
}

// slowDigits notes values that are off by whole digits: against those of the species on the same bed, or on all beds where
// these are too few, and against those of the same day too, since weed of another season is of another size.
func (c *checker) slowDigits(m *measures) {
	skip := func(i int) bool { return m.slipped[i] }
	bed, species, day := m.slowUsually(m.slowByBed, skip), m.slowUsually(m.slowBySpecies, skip), m.slowUsually(m.slowByDay, skip)
	type slip struct {
		species uint32
		digits  int
	}
	var off fold[slip]
	first := map[slip]int{}
	for i, v := range m.value {
		if !(v > 0) || m.slipped[i] {
			continue
		}
		u := bed[m.slowByBed(i)]
		if !u.tells() {
			u = species[m.slowBySpecies(i)]
		}
		k := u.slip(math.Log(v))
		if d := day[m.slowByDay(i)]; k == 0 || k < 0 && m.smallIsUsual || d.tells() && math.Abs(d.score(math.Log(v))) < oddScore {
			continue
		}
		s := slip{m.species[i], k}
		if _, ok := first[s]; !ok {
			first[s] = i
		}
		m.slipped[i] = true
		off.add(s, int(m.line[i]))
	}
	off.each(func(s slip, line int, also string) {
		i := first[s]
		c.found.doubt(m.file, line, m.column, m.hint, "%.6g %s of %s is about %s what is usual%s: %s%s", m.shown[i], m.unit,
			m.names[s.species], times(s.digits), m.usualFor, manyDigits(s.digits), also)
	})
}
