package survey

import (
	"fmt"
	"math"
)

// measures are the numbers of one column with what tells them apart. A value that is missing is NaN; those that are
// not above 0 do not count.
type measures struct {
	file, column string
	rows         []int32 // of the table; nil: all of them
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

	by    *together       // how the rows go together
	room  []float64       // of [measures.eachGroup]
	logs  []float64       // of value; NaN where it does not count
	units []unitSlip      // what was found of units
	off   fold[digitSlip] // what was found of digits

	firstOff map[digitSlip]int // the first row of each
}

// digitSlip is a kind of slip: a species off by so many digits.
type digitSlip struct {
	species uint32
	digits  int
}

// digits looks for values that are off by whole digits: against those of the species on the same bed, or on all beds
// where these are too few, and against those of the same day too, since weed of another season is of another size.
func (m *measures) digits() {
	bed := m.usually(m.by.bySpeciesAndBed())
	onBed := m.by.bySpeciesAndBed().of
	var species, day []custom // measured where they are asked for
	var rows []int
	m.firstOff = map[digitSlip]int{}
	for i, logX := range m.logs {
		if !m.counts(i) {
			continue
		}
		u := bed[onBed[i]]
		if !u.tells() {
			if species == nil {
				species = m.usually(m.by.species)
			}
			u = species[m.by.species.of[i]]
		}
		k := u.slip(logX)
		if k == 0 || k < 0 && m.smallIsUsual {
			continue
		}
		if day == nil {
			day = m.usually(m.by.bySpeciesAndDay())
		}
		if d := day[m.by.bySpeciesAndDay().of[i]]; d.tells() && math.Abs(d.score(logX)) < oddScore {
			continue
		}
		rows = append(rows, i)
		s := digitSlip{m.species[i], k}
		if _, ok := m.firstOff[s]; !ok {
			m.firstOff[s] = i
		}
		m.off.add(s, int(m.line[i]))
	}
	for _, i := range rows {
		m.slipped[i] = true
	}
}

// noteDigits notes values that are off by whole digits.
func (c *checker) noteDigits(m *measures) {
	m.off.each(func(s digitSlip, line int, also string) {
		i := m.firstOff[s]
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
