package survey

import (
	"math"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// says says whether a summary has a warning with the text.
func says(s LengthSummary, text string) bool {
	return slices.ContainsFunc(s.Warnings, func(w string) bool { return strings.Contains(w, text) })
}

// transects is a bed of n transects of two weighed quadrats, with so many fronds in the first of each.
func transects(n, fronds int) *Folder {
	var rows []quad
	for c := range n {
		for q := range 2 {
			rows = append(rows, clipped("A", name("T", c), name("q", q), "Fucus", testDay, 50, 300+50*float64(c)))
		}
	}
	f := folderOf([]Bed{bedOf("A", 100)}, rows)
	f.Species = []Species{{Name: "Fucus", MinLength: Some(25), Leave: Some(10), RecruitLen: Some(12)}}
	for c := range n {
		for k := range fronds {
			frondAt(f, "", name("T", c), name("q", 0), "Fucus", 13+float64(5*k+c), blank)
		}
	}
	return f
}

func TestLengthsNone(t *testing.T) {
	s := theLengths(t, transects(3, 0))
	assert.Equal(t, NotEstimable, s.Status)
	assert.Equal(t, "no lengths: measure fronds in some quadrats of every transect", s.Reason)
	require.Len(t, s.Percentiles, 5)
	for _, e := range []Estimate{s.Mean, s.Recruits, s.LongEnough, s.Exploitable, s.AboveLeave, s.Percentiles[0].Estimate} {
		assert.False(t, e.OK)
		assert.True(t, math.IsNaN(e.Value) && math.IsNaN(e.SE))
	}
	assert.False(t, s.Longest.OK)
	assert.Empty(t, s.Bins)
	assert.Empty(t, Lengths(folderOf([]Bed{bedOf("A", 100)}, []quad{seen("A", "", "1", "", testDay, 0)}), DefaultOptions()))
}

// One sampling unit: the values stand, without any error.
func TestLengthsOneUnit(t *testing.T) {
	f := transects(4, 0)
	for k := range 40 {
		frondAt(f, "", "T0", "q0", "Fucus", 10+float64(k), blank)
	}
	s := theLengths(t, f)
	assert.True(t, s.Mean.OK && s.Exploitable.OK && s.Percentiles[2].OK)
	for _, e := range []Estimate{s.Mean, s.Recruits, s.Exploitable, s.Percentiles[2].Estimate} {
		assert.True(t, math.IsNaN(e.SE) && math.IsNaN(e.Lo) && math.IsNaN(e.Hi))
	}
	assert.True(t, says(s, "fronds of one quadrat only: they do not speak for the bed"), s.Warnings)
	assert.True(t, says(s, "lengths known for only 10 % of the stock: measure in more of the quadrats"), s.Warnings)
	assert.True(t, math.IsNaN(only(t, Stocks(f, DefaultOptions()), "A", "Fucus", "2024").ExploitableSE))

	frondAt(f, "", "T0", "q1", "Fucus", 30, blank)
	s = theLengths(t, f)
	assert.True(t, says(s, "lengths from only 1 transect: measure in 3 or more"), s.Warnings)
	assert.True(t, math.IsNaN(s.Mean.SE))
}

// Where all fronds are on one side of a line the sample's spread tells nothing: the share of fronds is bounded by what
// as many transects alike would show, 1 - 0.025^(1/4); shares of weight have no bounds.
func TestLengthsOneSided(t *testing.T) {
	f := transects(4, 10)
	s := theLengths(t, f)
	assert.Equal(t, 0.0, s.Recruits.Value)
	assert.True(t, math.IsNaN(s.Recruits.SE))
	approx(t, "lo", s.Recruits.Lo, 0, 0, 0)
	approx(t, "hi", s.Recruits.Hi, 1-math.Pow(0.025, 0.25), 1e-12, 0)
	assert.False(t, says(s, "measure 30 or more"), s.Warnings)

	f.Species = []Species{{Name: "Fucus", MinLength: Some(5), RecruitLen: Some(300)}}
	s = theLengths(t, f)
	assert.Equal(t, 1.0, s.Recruits.Value)
	approx(t, "lo", s.Recruits.Lo, math.Pow(0.025, 0.25), 1e-12, 0)
	approx(t, "hi", s.Recruits.Hi, 1, 0, 0)
	assert.Equal(t, 1.0, s.Exploitable.Value)
	assert.True(t, math.IsNaN(s.Exploitable.SE) && math.IsNaN(s.Exploitable.Lo))
	st := only(t, Stocks(f, DefaultOptions()), "A", "Fucus", "2024")
	assert.Equal(t, 1.0, st.Exploitable)
	assert.True(t, math.IsNaN(st.ExploitableSE))

	f.Species[0].MinLength = Num{}
	st = only(t, Stocks(f, DefaultOptions()), "A", "Fucus", "2024")
	assert.Equal(t, [2]float64{1, 0}, [2]float64{st.Exploitable, st.ExploitableSE}, "no rule")
	assert.False(t, theLengths(t, f).Exploitable.OK)
}

// Without weight the quadrats count by cover, without either alike.
func TestLengthsWithoutWeight(t *testing.T) {
	f := transects(3, 10)
	q := &f.Quadrats
	for i := range q.Biomass {
		q.Biomass[i], q.Cover[i] = blank, float64(10*(i+1))
	}
	s := theLengths(t, f)
	assert.Equal(t, byCover, s.CountedBy)
	assert.True(t, says(s, "they count by their cover; weigh some quadrats"), s.Warnings)
	assert.True(t, says(s, "lengths known for only 43 % of the cover"), s.Warnings) // (10 + 30 + 50)/210
	want := 0.0
	for c, cover := range []float64{10, 30, 50} {
		sum, above := 0.0, 0.0
		for k := range 10 {
			l := 13 + float64(5*k+c)
			sum += l * l
			if l >= 25 {
				above += l*l - 100
			}
		}
		want += cover / 90 * above / sum
	}
	approx(t, "exploitable", s.Exploitable.Value, want, 1e-13, 0)
	approx(t, "stock", only(t, Stocks(f, DefaultOptions()), "A", "Fucus", "2024").Exploitable, want, 1e-13, 0)

	for i := range q.Cover {
		q.Cover[i] = blank
	}
	s = theLengths(t, f)
	assert.Equal(t, byArea, s.CountedBy)
	assert.True(t, s.Mean.OK && s.Mean.SE > 0)
	assert.True(t, says(s, "neither weight nor cover of the measured quadrats: all count alike; read the cover of each"), s.Warnings)
}

// Few fronds a quadrat bias what is weighed up by them, unless they are all there are.
func TestLengthsFewPerQuadrat(t *testing.T) {
	f := transects(10, 4)
	assert.True(t, says(theLengths(t, f), "only 4 fronds measured a quadrat: lengths and the share to be cut come out too low"))
	assert.False(t, says(theLengths(t, transects(10, 10)), "measured a quadrat"))
	f.Surveys = []Declared{{Bed: "A", Survey: "2024", From: testDay, To: testDay, Protocol: "All fronds measured"}}
	assert.False(t, says(theLengths(t, f), "measured a quadrat"))
}

// Fronds of quadrats without the species are named; a stratum not visited and a lonely one show in the status.
func TestLengthsDoubtsOfPlace(t *testing.T) {
	f := transects(3, 10)
	f.Quadrats.Cover[0], f.Quadrats.Biomass[0] = 0, 0
	s := theLengths(t, f)
	assert.Equal(t, 20, s.Fronds)
	assert.True(t, says(s, "10 fronds left out: measured where quadrats.csv has nothing of the species"), s.Warnings)

	f = lengthFolder(t, "even")
	f.Strata = append(f.Strata, Stratum{Bed: "A", Stratum: "deep", Area: 500})
	s = theLengths(t, f)
	assert.Equal(t, SurveyedPart, s.Status)
	assert.Equal(t, "not visited: stratum deep", s.Reason)
	assert.True(t, s.Mean.OK)

	f = lengthFolder(t, "even")
	q := &f.Quadrats
	for i := range q.Stratum {
		if f.Names[q.Stratum[i]] == "high" && f.Names[q.Transect[i]] != "T1" {
			q.Visit[i] = NotReached
		}
	}
	assert.Greater(t, theLengths(t, f).Mean.SE, 0.0)
	opt := DefaultOptions()
	opt.Lonely = "fail"
	s = Lengths(f, opt)[0]
	assert.Equal(t, NotEstimable, s.Status)
	assert.Equal(t, "one sampling unit in stratum high", s.Reason)
	assert.False(t, s.Mean.OK || s.Exploitable.OK || s.Percentiles[0].OK)
	assert.True(t, math.IsNaN(only(t, Stocks(f, opt), "A", "Fucus", "2024").ExploitableSE))
}

func TestLengthsPanics(t *testing.T) {
	opt := DefaultOptions()
	opt.Confidence = 1
	assert.Panics(t, func() { Lengths(transects(2, 1), opt) })
	assert.Panics(t, func() { Allometries(transects(2, 1), opt) })
}
