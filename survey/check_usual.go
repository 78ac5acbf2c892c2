package survey

import (
	"math"
	"slices"
)

// together tells which rows of a table go together, each way once for all that asks. Species, beds and days are groups
// of their own also where they are blank. Neighbouring rows mostly are of one bed, day and person: these are told by run.
type together struct {
	species groups  // of rows
	runs    []int32 // the first row of each run, and the end

	bed, day groups // of runs
	person   groups // of runs, without those of nobody

	bedDay, personDay      *groups // of runs; nil: not asked for yet
	speciesBed, speciesDay *groups // of rows; nil: not asked for yet
}

func newTogether(species, bed, person []uint32, day []Day) *together {
	t := &together{species: groupIDs(species, false), runs: runsOf(bed, person, day)}
	heads := t.runs[:len(t.runs)-1]
	t.bed, t.day = groupIDs(at(bed, heads), false), groupDays(at(day, heads))
	if person != nil {
		t.person = groupIDs(at(person, heads), true)
	}
	return t
}

// runsOf are the rows with which another bed, day or person begins, and the end.
func runsOf(bed, person []uint32, day []Day) []int32 {
	parts := inStretches(len(day), func(from, to int) (heads []int32) {
		for i := from; i < to; i++ {
			if i == 0 || bed[i] != bed[i-1] || day[i] != day[i-1] || person != nil && person[i] != person[i-1] {
				heads = append(heads, int32(i))
			}
		}
		return heads
	})
	return slices.Concat(append(parts, []int32{int32(len(day))})...)
}

// at are the values in the given rows.
func at[T any](values []T, rows []int32) []T {
	out := make([]T, len(rows))
	for k, i := range rows {
		out[k] = values[i]
	}
	return out
}

// crossed crosses two groups where this was not done yet.
func crossed(at **groups, a, b groups) groups {
	if *at == nil {
		g := cross(a, b)
		*at = &g
	}
	return **at
}

func (t *together) byBedAndDay() groups    { return crossed(&t.bedDay, t.bed, t.day) }
func (t *together) byPersonAndDay() groups { return crossed(&t.personDay, t.person, t.day) }

func (t *together) bySpeciesAndBed() groups {
	if t.speciesBed == nil {
		t.speciesBed = t.withSpecies(t.bed)
	}
	return *t.speciesBed
}

func (t *together) bySpeciesAndDay() groups {
	if t.speciesDay == nil {
		t.speciesDay = t.withSpecies(t.day)
	}
	return *t.speciesDay
}

// withSpecies groups rows by their species and a group of runs that all runs are in.
func (t *together) withSpecies(g groups) *groups {
	out := groups{of: make([]int32, len(t.species.of))}
	pairs := newPairs(g.n, t.species.n, len(out.of))
	for run, k := range g.of {
		for i := t.runs[run]; i < t.runs[run+1]; i++ {
			out.of[i] = pairs.number(k, t.species.of[i])
		}
	}
	out.n = pairs.n
	return &out
}

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
