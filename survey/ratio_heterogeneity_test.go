package survey

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
)

// Where cover is the same in all quadrats a bed's ratio is a mean, its jackknife variance s²/n and the test Welch's:
// R's oneway.test (testdata/convert/convert.R), 1e-9.
func TestBedsAgainstR(t *testing.T) {
	ref := convertReference(t)
	beds := make([]pairs, 4)
	for i, rec := range readTable(t, "convert/beds.csv")[1:] {
		b := &beds[int(number(t, rec[0]))-1]
		b.kg, b.cover, b.m2 = append(b.kg, number(t, rec[1])), append(b.cover, 1), append(b.m2, 0.25)
		b.units, b.covered = append(b.units, i), b.covered+1
	}
	b := compareBeds(jackknifed(beds))
	assert.Equal(t, 4, b.Beds)
	approx(t, "Q", b.Q, ref["cochran q"], 1e-9, 0)
	approx(t, "F", b.F, ref["welch f"], 1e-9, 0)
	approx(t, "df", b.DF, ref["welch df"], 1e-9, 0)
	approx(t, "p", b.P, ref["welch p"], 1e-9, 0)
	assert.Contains(t, b.String(), "weight per cover differs between 4 beds (p = 0.036): weigh at least 10 quadrats on this one")
}

// Beds that do not differ are told to in 3 to 8 of 100 cases, with 5 to 15 weighed quadrats on 2 to 6 beds (2000 cases
// each; seeded). The chi-squared test of Q finds a difference in 8 to 18.
func TestBedsLevel(t *testing.T) {
	for _, c := range []struct {
		beds, n int
		sd      float64
	}{{2, 5, 0.15}, {3, 5, 0.5}, {4, 8, 0.3}, {6, 12, 0.3}, {3, 15, 0.5}} {
		rng := newStream(1, "beds alike")
		hits := 0
		for range 2000 {
			beds := make([]pairs, c.beds)
			for b := range beds {
				beds[b] = drawnPairs(func() (x, y float64) {
					x = 5 + 90*rng.Float64()
					return x, 0.1 * x * math.Exp(c.sd*rng.NormFloat64())
				}, c.n)
			}
			if compareBeds(jackknifed(beds)).Differ() {
				hits++
			}
		}
		share := float64(hits) / 2000
		t.Logf("%v: %.3f", c, share)
		assert.Less(t, share, 0.08)
		assert.Greater(t, share, 0.03)
	}
}

func drawnPairs(draw func() (x, y float64), n int) pairs {
	var p pairs
	for i := range n {
		x, y := draw()
		p.kg, p.cover, p.m2 = append(p.kg, y), append(p.cover, x), append(p.m2, 0.25)
		p.units, p.covered = append(p.units, i), p.covered+1
	}
	return p
}

func TestBedsSpecial(t *testing.T) {
	one := compareBeds([]float64{1}, []float64{1}, []float64{3})
	assert.Equal(t, BedRatios{}, one)
	assert.False(t, one.Differ())
	assert.Contains(t, one.String(), "weighed on too few beds to tell")
	same := compareBeds([]float64{1, 1}, []float64{0.1, 0.1}, []float64{3, 3})
	approx(t, "p", same.P, 1, 1e-12, 0)
	assert.Contains(t, same.String(), "no sign that weight per cover differs between 2 beds")
	exact := compareBeds([]float64{1, 2}, []float64{0, 0}, []float64{3, 3})
	assert.True(t, exact.Differ(), "no scatter within beds")
	assert.Panics(t, func() { compareBeds([]float64{1}, nil, nil) })
}
