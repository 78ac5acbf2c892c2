package survey

import (
	"fmt"
	"math"
)

// measures are the numbers of one column with what tells them apart. A value that is missing is NaN; those that are
// not above 0 do not count.
type measures struct {
	file, column string
	value        []float64
	unit         string // of value, as it is printed
	shown        []float64
	line         []int32
	names        []string // of the ids below
	species, bed []uint32
	day          []Day
	observer     []uint32       // who wrote it down (observer, permit); may be nil
	who          string         // the word for it
	slips        map[int]string // digits -> what a whole day or observer off by so many has done
	usualFor     string         // what is usual beside the species, as " for its length"
	hint         string
	slipped      []bool // rows that were noted
	smallIsUsual bool   // a value far below the usual is nothing odd, as the last return of a season
}

// key tells groups of values apart.
type key [3]uint32

// usually measures what is usual in each group. The rows for which skip holds are left out.
func (m *measures) usually(of func(i int) key, skip func(i int) bool) map[key]custom {
	logs := map[key][]float64{}
	for i, v := range m.value {
		if v > 0 && !skip(i) {
			k := of(i)
			logs[k] = append(logs[k], math.Log(v))
		}
	}
	out := make(map[key]custom, len(logs))
	for k, l := range logs {
		out[k] = usualOf(l)
	}
	return out
}

func (m *measures) bySpecies(i int) key { return key{m.species[i]} }
func (m *measures) byBed(i int) key     { return key{m.species[i], m.bed[i]} }
func (m *measures) byDay(i int) key     { return key{m.species[i], uint32(m.day[i])} }

// digits notes values that are off by whole digits: against those of the species on the same bed, or on all beds where
// these are too few, and against those of the same day too, since weed of another season is of another size.
func (c *checker) digits(m *measures) {
	skip := func(i int) bool { return m.slipped[i] }
	bed, species, day := m.usually(m.byBed, skip), m.usually(m.bySpecies, skip), m.usually(m.byDay, skip)
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
		u := bed[m.byBed(i)]
		if !u.tells() {
			u = species[m.bySpecies(i)]
		}
		k := u.slip(math.Log(v))
		if d := day[m.byDay(i)]; k == 0 || k < 0 && m.smallIsUsual || d.tells() && math.Abs(d.score(math.Log(v))) < oddScore {
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

// times says in words how far off so many digits are.
func times(digits int) string {
	n := fmt.Sprintf("%.0f", math.Pow10(max(digits, -digits)))
	if digits < 0 {
		return "1/" + n + " of"
	}
	return n + " times"
}

func manyDigits(k int) string {
	words := "a digit"
	if n := max(k, -k); n > 1 {
		words = fmt.Sprintf("%d digits", n)
	}
	if k < 0 {
		return words + " too few?"
	}
	return words + " too many?"
}
