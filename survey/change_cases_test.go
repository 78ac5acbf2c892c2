package survey

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// foundNone is a survey of n quadrats in which nothing was found.
func foundNone(day Day, n int) []quad {
	var rows []quad
	for i := range n {
		rows = append(rows, seen("A", "", name("q", i), "", day, 0))
	}
	return rows
}

// From a stock to none found: no standard error; the interval leaves room for what 12 quadrats can miss, 1 - 0.025^(1/12)
// of the bed (R, binom.test) at the density of the quadrats that held it.
func TestChangeToNone(t *testing.T) {
	rows := append(grid("A", "Fucus", day2023, steps, 12, 0.05), foundNone(testDay, 12)...)
	f := folderOf([]Bed{bedOf("A", 100)}, rows)
	before := only(t, Stocks(f, DefaultOptions()), "A", "Fucus", "2023")
	c := onlyChange(t, f)
	approx(t, "share", mostShare(12, 0.95), changeReference(t)["none of 12"], 1e-12, 0)
	approx(t, "change", c.Kg.Value, -before.Kg.Value, 1e-12, 0)
	assert.True(t, math.IsNaN(c.Kg.SE))
	most := mostShare(12, 0.95) * before.DensityWith * 100
	approx(t, "lo", c.Kg.Lo, -before.Kg.Hi, 1e-12, 0)
	approx(t, "hi", c.Kg.Hi, -before.Kg.Value+math.Hypot(most, before.Kg.Value-before.Kg.Lo), 1e-12, 0)
	approx(t, "cover", c.Cover.Value, -before.Cover.Value, 1e-12, 0)
	assert.Equal(t, "less", c.Verdict())
	approx(t, "relative", c.Relative.Value, -1, 0, 0)
	assert.True(t, math.IsNaN(c.Relative.Hi))
	assert.True(t, remarked(c, "none found in 2024: interval from the most that 12 quadrats could have missed"), c.Warnings)

	back := Changes(f, Stocks(f, DefaultOptions()), DefaultOptions(), SurveyPair{"A", "2024", "2023"})
	require.Len(t, back, 1)
	approx(t, "back lo", back[0].Kg.Lo, -c.Kg.Hi, 1e-12, 0)
	approx(t, "back hi", back[0].Kg.Hi, -c.Kg.Lo, 1e-12, 0)
	assert.False(t, back[0].Relative.OK)
}

// Found in neither survey: no change was seen, and it is said how much may have been missed.
func TestChangeNoneTwice(t *testing.T) {
	rows := append(foundNone(day2023, 10), foundNone(testDay, 20)...)
	rows = append(rows, grid("B", "Fucus", testDay, steps, 12, 0.05)...)
	c := onlyChange(t, folderOf([]Bed{bedOf("A", 100), bedOf("B", 100)}, rows))
	assert.True(t, c.Kg.OK)
	approx(t, "change", c.Kg.Value, 0, 0, 0)
	assert.True(t, math.IsNaN(c.Kg.Lo) && math.IsNaN(c.Cover.Lo))
	assert.False(t, c.Relative.OK)
	assert.Equal(t, "cannot tell", c.Verdict())
	assert.Contains(t, c.Next, "at most 0.31 and 0.17 of the bed")
}

// What cannot be had has a reason and a sentence for next time, and no number.
func TestChangeNotEstimable(t *testing.T) {
	twice := append(grid("A", "Fucus", day2023, steps, 0, 0), grid("A", "Fucus", testDay, steps, 0, 0)...)
	c := onlyChange(t, folderOf([]Bed{bedOf("A", 100)}, twice))
	assert.Equal(t, NotEstimable, c.Status)
	assert.Equal(t, "2023: nothing weighed", c.Reason)
	assert.Equal(t, "weigh at least 10 quadrats that hold it, thin and thick ones", c.Next)
	assert.False(t, c.Kg.OK || c.Relative.OK)
	assert.True(t, c.Cover.OK)
	approx(t, "cover", c.Cover.Value, 0, 0, 0)
	assert.False(t, math.IsNaN(c.Cover.SE))

	noArea := append(grid("A", "Fucus", day2023, steps, 12, 0.05), grid("A", "Fucus", testDay, steps, 12, 0.05)...)
	c = onlyChange(t, folderOf([]Bed{bedOf("A", math.NaN())}, noArea))
	assert.Equal(t, NotEstimable, c.Status)
	assert.Equal(t, "measure the area of the bed", c.Next)
	assert.True(t, c.Cover.OK)

	one := append(grid("A", "Fucus", day2023, steps[:1], 1, 0.05), grid("A", "Fucus", testDay, steps[:1], 1, 0.04)...)
	c = onlyChange(t, folderOf([]Bed{bedOf("A", 100)}, one))
	assert.True(t, c.Kg.OK)
	approx(t, "change", c.Kg.Value, -10, 1e-12, 0)
	assert.True(t, math.IsNaN(c.Kg.SE) && math.IsNaN(c.Kg.Lo) && math.IsNaN(c.Relative.Lo))
	assert.Equal(t, "no interval: no more sampling units than strata", c.Reason)
	assert.Equal(t, "lay at least two transects in every stratum", c.Next)
}

// Cuts count from the day of the earlier survey until the day before the later, by days where they last; cast weed and
// other species do not. Without harvest.csv the net change is not known.
func TestChangeNet(t *testing.T) {
	f := quadratsTwice(t)
	c := onlyChange(t, f)
	assert.False(t, c.Net.OK || c.Cut.OK)
	assert.Contains(t, c.ReasonNoNet, "no rows in harvest.csv")
	f.CutsKnown = true
	cut := func(from, to Day, kg float64) Cut { return Cut{Bed: "A", Species: "Fucus", From: from, To: to, Kg: kg} }
	cast, other := cut(day2023+10, day2023+10, 5000), cut(day2023+10, day2023+10, 3000)
	cast.Cast, other.Species = true, "Ulva"
	f.Cuts = []Cut{cut(day2023-1, day2023-1, 1), cut(day2023, day2023, 10), cut(testDay-1, testDay-1, 100), cut(testDay, testDay, 1000),
		cut(testDay-3, testDay, 40), cast, other}
	c = onlyChange(t, f)
	approx(t, "cut", c.Cut.V, 140, 1e-12, 0)
	approx(t, "net", c.Net.Value, c.Kg.Value+140, 1e-12, 0)
	approx(t, "net lo", c.Net.Lo, c.Kg.Lo+140, 1e-12, 0)
	approx(t, "net se", c.Net.SE, c.Kg.SE, 0, 0)
	assert.True(t, remarked(c, "lies only in part between the surveys"), c.Warnings)
}

// What makes a comparison doubtful is said.
func TestChangeRemarks(t *testing.T) {
	rows := append(grid("A", "Fucus", day2023, steps, 12, 0.05), grid("A", "Fucus", testDay-60, steps, 10, 0.05)...)
	f := folderOf([]Bed{bedOf("A", 100)}, rows)
	f.Events = []Event{{Bed: "*", Day: day2023 + 200, Kind: "storm"}, {Bed: "B", Day: day2023 + 200, Kind: "ice"}}
	c := onlyChange(t, f)
	for _, words := range []string{"surveyed 59 days apart in the year", "storm of 2023-12-06 lies between the surveys",
		"weight by other means than before (all weighed, then ratio of the survey)"} {
		assert.True(t, remarked(c, words), "%s: %v", words, c.Warnings)
	}
	assert.False(t, remarked(c, "ice"))
	assert.Equal(t, 5, daysApart(testDay, testDay+3*365+1+5))
}

// Pairs asked for are compared whatever lies between them, and only these.
func TestChangesAsked(t *testing.T) {
	var rows []quad
	for i := range 3 {
		rows = append(rows, grid("A", "Fucus", day2023+Day(366*i), steps, 12, 0.05+0.01*float64(i))...)
	}
	f := folderOf([]Bed{bedOf("A", 100)}, rows)
	stocks := Stocks(f, DefaultOptions())
	assert.Len(t, Changes(f, stocks, DefaultOptions()), 2)
	got := Changes(f, stocks, DefaultOptions(), SurveyPair{"A", "2023", "2025"}, SurveyPair{"B", "2023", "2025"}, SurveyPair{"A", "2023", "x"})
	require.Len(t, got, 1)
	approx(t, "relative", got[0].Relative.Value, 0.4, 1e-12, 0)
	approx(t, "years", got[0].Years, 732/DaysPerYear, 1e-15, 0)
	stocks[0].Survey = "nowhere"
	assert.PanicsWithValue(t, "survey: stock of an unknown survey nowhere of A", func() { Changes(f, stocks, DefaultOptions()) })
}
