package survey

import (
	"math"
	"slices"
)

// together tells which rows of a table go together, each way once for all that asks. Species, beds and days are groups
// of their own also where they are blank.
type together struct {
	species, bed, day groups
	person            groups // without rows of nobody

	speciesBed, speciesDay, bedDay, personDay *groups // nil: not asked for yet
}

func newTogether(species, bed, person []uint32, day []Day) *together {
	t := &together{species: groupIDs(species, false), bed: groupIDs(bed, false), day: groupDays(day)}
	if person != nil {
		t.person = groupIDs(person, true)
	}
	return t
}

// crossed crosses two groups where this was not done yet.
func crossed(at **groups, a, b groups) groups {
	if *at == nil {
		g := cross(a, b)
		*at = &g
	}
	return **at
}

func (t *together) bySpeciesAndBed() groups { return crossed(&t.speciesBed, t.species, t.bed) }
func (t *together) bySpeciesAndDay() groups { return crossed(&t.speciesDay, t.species, t.day) }
func (t *together) byBedAndDay() groups     { return crossed(&t.bedDay, t.bed, t.day) }
func (t *together) byPersonAndDay() groups  { return crossed(&t.personDay, t.person, t.day) }

// takeLogs takes the logs of the values; those that do not count have none, NaN.
func (m *measures) takeLogs() {
	m.logs = make([]float64, len(m.value))
	for i, v := range m.value {
		if m.logs[i] = math.NaN(); v > 0 {
			m.logs[i] = math.Log(v)
		}
	}
}

// counts says whether a row has a value that counts and is not noted.
func (m *measures) counts(i int) bool { return m.logs[i] == m.logs[i] && !m.slipped[i] }

// usually measures what is usual in each group, by the rows that count.
func (m *measures) usually(g groups) []custom {
	out := make([]custom, g.n)
	m.eachGroup(g, func(k int, logs []float64) { out[k] = usualOf(logs) })
	return out
}

// medians are the medians of each group, by the rows that count; NaN where too few tell it.
func (m *measures) medians(g groups) []float64 {
	out := make([]float64, g.n)
	m.eachGroup(g, func(k int, logs []float64) {
		if out[k] = math.NaN(); len(logs) >= fewestUsual {
			out[k] = middle(logs)
		}
	})
	return out
}

// eachGroup gives the logs of each group, which may be changed.
func (m *measures) eachGroup(g groups, do func(k int, logs []float64)) {
	end := make([]int32, g.n+1) // begins as the start of each group
	for i, k := range g.of {
		if m.counts(i) {
			end[k+1]++
		}
	}
	for k := range g.n {
		end[k+1] += end[k]
	}
	m.room = slices.Grow(m.room[:0], int(end[g.n]))
	all := m.room[:end[g.n]]
	for i, k := range g.of {
		if m.counts(i) {
			all[end[k]] = m.logs[i]
			end[k]++
		}
	}
	from := int32(0)
	for k := range g.n {
		do(k, all[from:end[k]])
		from = end[k]
	}
}
