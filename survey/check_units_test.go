package survey

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// drawnMeasures makes numbers of a few species, beds, days and people, some of whom used another unit, with single slips
// among them and some missing.
func drawnMeasures(rng *rand.Rand, n int) *measures {
	m := &measures{file: "quadrats.csv", column: "frond_cm", unit: "cm", hint: "look", who: "observer", value: make([]float64, n),
		line: make([]int32, n), species: make([]uint32, n), bed: make([]uint32, n), observer: make([]uint32, n), day: make([]Day, n),
		slips: map[int]string{1: mmForCm, -2: mForCm}, slipped: make([]bool, n), smallIsUsual: rng.IntN(4) == 0}
	for i := range 12 {
		m.names = append(m.names, fmt.Sprint("name ", i))
	}
	species, beds, days, people := 1+rng.IntN(4), 1+rng.IntN(3), 1+rng.IntN(5), 1+rng.IntN(4)
	odd := func(n int) int { return rng.IntN(3*n) - 2*n } // which one is off; mostly none
	oddDay, oddBed, oddPerson, whole := odd(days), odd(beds), odd(people), []float64{10, 0.01}[rng.IntN(2)]
	spread, coarse := []float64{0, 0.1, 0.5, 1.5}[rng.IntN(4)], rng.IntN(2) == 0
	for i := range n {
		s, b, d, p := rng.IntN(species), rng.IntN(beds), rng.IntN(days), rng.IntN(people)
		m.line[i], m.species[i], m.bed[i], m.day[i], m.observer[i] = int32(i+2), uint32(1+s), uint32(b), Day(20000+9*d), uint32(p)
		v := math.Exp(float64(1+s) + spread*rng.NormFloat64())
		if d == oddDay || b == oddBed && oddPerson < 0 || p == oddPerson && (oddDay < 0 || rng.IntN(10) > 0) {
			v *= whole
		}
		switch rng.IntN(60) {
		case 0:
			v = math.NaN()
		case 1:
			v = 0
		case 2:
			v *= math.Pow10(rng.IntN(7) - 3)
		case 3:
			m.day[i] = NoDay
		}
		if m.value[i] = v; coarse {
			m.value[i] = math.Round(v)
		}
	}
	m.shown = m.value
	return m
}

// slipsFound are the findings of numbers that are off, in words.
func slipsFound(m *measures, find func(c *checker, m *measures)) ([]finding, []bool) {
	copied := *m
	copied.slipped = make([]bool, len(m.value))
	c := &checker{found: &findings{}}
	find(c, &copied)
	return c.found.list, copied.slipped
}

// Units and digits are found as with maps and sorted values, and said in the same words.
func TestUnitsAndDigitsAreThoseOfThePlainWay(t *testing.T) {
	some := 0
	rapid.Check(t, func(t *rapid.T) {
		rng := rand.New(rand.NewPCG(rapid.Uint64().Draw(t, "seed"), 1))
		m := drawnMeasures(rng, rapid.IntRange(0, 600).Draw(t, "n"))
		if rapid.Bool().Draw(t, "nobody") {
			m.observer = nil
		}
		want, wantRows := slipsFound(m, func(c *checker, m *measures) {
			c.slowUnits(m)
			c.noteUnits(m)
			c.slowDigits(m)
		})
		got, gotRows := slipsFound(m, func(c *checker, m *measures) {
			m.find()
			c.noteUnits(m)
			m.digits()
			c.noteDigits(m)
		})
		require.Equal(t, want, got)
		require.Equal(t, wantRows, gotRows)
		some += min(1, len(got))
	})
	if !testing.Short() { // which draws a fifth of them
		require.NotZero(t, some, "the folders drawn have slips")
	}
}
