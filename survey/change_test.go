package survey

import (
	"math"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// changeTable reads a table of testdata/change without its header.
func changeTable(t testing.TB, name string) [][]string {
	t.Helper()
	return readTable(t, "change/"+name)[1:]
}

// changeReference reads the results of testdata/change/change.R.
func changeReference(t *testing.T) map[string]float64 {
	t.Helper()
	out := map[string]float64{}
	for _, rec := range changeTable(t, "change_R.csv") {
		out[rec[0]] = number(t, rec[1])
	}
	return out
}

var day2023 = MakeDay(2023, time.May, 20)

// twoSurveys is bed A with two surveys, in May of 2023 and 2024, of a table written by change.R; keep chooses strata.
func twoSurveys(t *testing.T, name, protocol string, keep func(survey, stratum string) bool) *Folder {
	t.Helper()
	var rows []quad
	for _, rec := range changeTable(t, name) {
		day := day2023
		if rec[0] == "2024" {
			day = testDay
		}
		q := clipped("A", rec[2], rec[3], "Fucus", day, 1, 0)
		q.stratum, q.m2 = rec[1], number(t, rec[4])
		q.grams = 1000 * q.m2 * number(t, rec[5])
		if q.grams == 0 {
			q.species, q.cover, q.grams = "", 0, blank
		}
		if keep == nil || keep(rec[0], rec[1]) {
			rows = append(rows, q)
		}
	}
	f := folderOf([]Bed{bedOf("A", 5000)}, rows)
	f.Strata = threeStrata()
	f.Surveys = declaredTwice(protocol, protocol)
	return f
}

func declaredTwice(protocol2023, protocol2024 string) []Declared {
	return []Declared{{Bed: "A", Survey: "2023", From: day2023, To: day2023, Protocol: protocol2023},
		{Bed: "A", Survey: "2024", From: testDay, To: testDay, Protocol: protocol2024}}
}

// onlyChange is the one change of a folder.
func onlyChange(t *testing.T, f *Folder) Change {
	t.Helper()
	all := Changes(f, Stocks(f, DefaultOptions()), DefaultOptions())
	require.Len(t, all, 1)
	return all[0]
}

func remarked(c Change, text string) bool {
	return slices.ContainsFunc(c.Warnings, func(w string) bool { return strings.Contains(w, text) })
}

// R's survey package on transects surveyed twice (testdata/change/change.R), 1e-10: paired where both protocols say
// permanent, else independent, however alike the labels.
func TestChangePaired(t *testing.T) {
	ref := changeReference(t)
	c := onlyChange(t, twoSurveys(t, "twice.csv", "permanent transects", nil))
	approx(t, "from", c.FromKg, ref["twice from"], 1e-10, 0)
	approx(t, "to", c.ToKg, ref["twice to"], 1e-10, 0)
	approx(t, "change", c.Kg.Value, ref["twice to"]-ref["twice from"], 1e-10, 0)
	approx(t, "se", c.Kg.SE, ref["twice paired se"], 1e-10, 0)
	approx(t, "df", c.Kg.DF, ref["twice paired df"], 1e-10, 0)
	approx(t, "correlation", c.Correlation, ref["twice correlation"], 1e-10, 0)
	approx(t, "relative", c.Relative.Value, ref["twice to"]/ref["twice from"]-1, 1e-10, 0)
	approx(t, "relative se", c.Relative.SE, ref["twice log ratio se"]*(1+c.Relative.Value), 1e-10, 0)
	half := tQuantile(0.975, 12) * ref["twice log ratio se"]
	approx(t, "relative lo", c.Relative.Lo, (1+c.Relative.Value)*math.Exp(-half)-1, 1e-9, 0)
	approx(t, "relative hi", c.Relative.Hi, (1+c.Relative.Value)*math.Exp(half)-1, 1e-9, 0)
	assert.Equal(t, 15, c.Paired)
	assert.Equal(t, OK, c.Status)
	assert.Equal(t, "less", c.Verdict())

	c = onlyChange(t, twoSurveys(t, "twice.csv", "random transects, not permanent", nil))
	approx(t, "unpaired se", c.Kg.SE, ref["twice unpaired se"], 1e-10, 0)
	approx(t, "unpaired df", c.Kg.DF, ref["twice unpaired df"], 1e-10, 0)
	assert.Zero(t, c.Paired)
	assert.Zero(t, c.Correlation)
}

// Only some transects visited twice: each year's own variance and R's covariance over all transects visited, 1e-10. The
// degrees of freedom lie between those of pairs and those of independent surveys.
func TestChangePartlyPaired(t *testing.T) {
	ref := changeReference(t)
	c := onlyChange(t, twoSurveys(t, "partly.csv", "permanent", nil))
	approx(t, "change", c.Kg.Value, ref["partly change"], 1e-10, 0)
	approx(t, "se", c.Kg.SE, ref["partly se"], 1e-10, 0)
	assert.Equal(t, 12, c.Paired)
	assert.True(t, c.Kg.DF > 8 && c.Kg.DF < 24, c.Kg.DF)
	assert.True(t, remarked(c, "12 transects visited both times, 6 only once"), c.Warnings)
}

// A stratum visited once only is left out of both sides: R's estimate on the two others, 1e-10.
func TestChangeOnCommonStrata(t *testing.T) {
	ref := changeReference(t)
	f := twoSurveys(t, "twice.csv", "permanent", func(survey, stratum string) bool { return survey == "2023" || stratum != "low" })
	f.CutsKnown = true
	c := onlyChange(t, f)
	approx(t, "change", c.Kg.Value, ref["part change"], 1e-10, 0)
	approx(t, "se", c.Kg.SE, ref["part paired se"], 1e-10, 0)
	approx(t, "df", c.Kg.DF, ref["part paired df"], 1e-10, 0)
	approx(t, "area", c.Area, 2500, 0, 0)
	approx(t, "net", c.Net.Value, c.Kg.Value, 0, 0)
	assert.Equal(t, SurveyedPart, c.Status)
	assert.True(t, remarked(c, "without stratum low"), c.Warnings)
	f.Cuts = []Cut{{Bed: "A", Species: "Fucus", From: testDay - 30, To: testDay - 30, Kg: 700}}
	c = onlyChange(t, f)
	assert.False(t, c.Net.OK)
	assert.Contains(t, c.ReasonNoNet, "visit every stratum")
	approx(t, "cut", c.Cut.V, 700, 0, 0)

	f = twoSurveys(t, "twice.csv", "permanent", func(survey, stratum string) bool { return (survey == "2023") == (stratum == "high") })
	c = onlyChange(t, f)
	assert.Equal(t, NotEstimable, c.Status)
	assert.Equal(t, "no stratum was visited both times", c.Reason)
	assert.Equal(t, "visit the same strata as before", c.Next)
	assert.False(t, c.Kg.OK || c.Cover.OK || c.Relative.OK || c.Net.OK)
}

// Quadrats without transects in one stratum: R's t.test, paired and Welch's, 1e-10.
func TestChangeOfQuadrats(t *testing.T) {
	ref := changeReference(t)
	for _, how := range []string{"paired", "unpaired"} {
		f := quadratsTwice(t)
		f.Surveys = declaredTwice("", "")
		if how == "paired" {
			f.Surveys = declaredTwice("Permanent quadrats", "quadrats permanently marked")
		}
		c := onlyChange(t, f)
		approx(t, how+" se", c.Kg.SE, ref["quadrats "+how+" se"], 1e-10, 0)
		approx(t, how+" df", c.Kg.DF, ref["quadrats "+how+" df"], 1e-10, 0)
		approx(t, how+" lo", c.Kg.Lo, ref["quadrats "+how+" lo"], 1e-9, 0)
		approx(t, how+" hi", c.Kg.Hi, ref["quadrats "+how+" hi"], 1e-9, 0)
	}
}

// quadratsTwice is a bed of 100 m2 with the quadrats of quadrats.csv, all weighed.
func quadratsTwice(t *testing.T) *Folder {
	t.Helper()
	var rows []quad
	for _, rec := range changeTable(t, "quadrats.csv") {
		for i, day := range []Day{day2023, testDay} {
			kg := number(t, rec[1+i])
			rows = append(rows, clipped("A", "", rec[0], "Fucus", day, 10*kg, 250*kg))
		}
	}
	return folderOf([]Bed{bedOf("A", 100)}, rows)
}

// One protocol alone does not pair, and says so; neither does permanent with other labels.
func TestChangeNotPaired(t *testing.T) {
	f := quadratsTwice(t)
	f.Surveys = declaredTwice("", "permanent")
	c := onlyChange(t, f)
	assert.Zero(t, c.Paired)
	assert.True(t, remarked(c, "permanent in the protocol of 2024 but not of 2023: not paired"), c.Warnings)
	rows := append(grid("A", "Fucus", day2023, steps, 12, 0.05), grid("A", "Fucus", testDay, steps, 12, 0.05)...)
	for i := range rows[12:] {
		rows[12+i].quadrat = name("p", i)
	}
	f = folderOf([]Bed{bedOf("A", 100)}, rows)
	f.Surveys = declaredTwice("permanent", "permanent")
	c = onlyChange(t, f)
	assert.Zero(t, c.Paired)
	assert.True(t, remarked(c, "no label is the same"), c.Warnings)
	for _, words := range []string{"non-permanent", "not permanent", "semi-permanent transects", ""} {
		s := fieldwork{round: round{declared: &Declared{Protocol: words}}}
		assert.False(t, s.permanent(), words)
	}
}

// The same transect label in another stratum is not the same place.
func TestChangeMovedTransect(t *testing.T) {
	f := twoSurveys(t, "twice.csv", "permanent", nil)
	q := &f.Quadrats
	for i := range q.Day {
		if f.Names[q.Transect[i]] == "T5" && q.Day[i] == testDay {
			at, ok := slices.BinarySearch(f.Names, "low")
			require.True(t, ok)
			q.Stratum[i] = uint32(at)
		}
	}
	c := onlyChange(t, f)
	assert.Equal(t, 14, c.Paired)
	assert.True(t, remarked(c, "1 transect in another stratum than before"), c.Warnings)
}
