package survey

import (
	"math"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
)

// surveyed estimates a table of survey.R as bed A of 5000 m2 in three strata.
func surveyed(t *testing.T, table, lonely string, all bool) Stock {
	t.Helper()
	f := folderOf([]Bed{bedOf("A", 5000)}, tableQuads(t, table, all))
	f.Strata = threeStrata()
	opt := DefaultOptions()
	opt.Lonely = lonely
	return only(t, Stocks(f, opt), "A", "Fucus", "2024")
}

// Totals, standard errors and degrees of freedom of strata with transects of unequal size equal those of R survey
// 4.1.1, separate ratios to size (testdata/estimate/survey.R). The formulas coincide: 1e-9.
func TestTotalAsRSurvey(t *testing.T) {
	ref := reference(t)
	for _, table := range []string{"nested", "crossing"} {
		s := surveyed(t, table+".csv", "adjust", true)
		approx(t, table+" kg", s.Kg.Value, ref[table+" kg total"], 1e-9, 0)
		approx(t, table+" kg se", s.Kg.SE, ref[table+" kg se"], 1e-9, 0)
		approx(t, table+" kg df", s.Kg.DF, ref[table+" kg df"], 1e-9, 0)
		approx(t, table+" cover", s.Cover.Value, ref[table+" cover total"]/5000, 1e-9, 0)
		approx(t, table+" cover se", s.Cover.SE, ref[table+" cover se"]/5000, 1e-9, 0)
		assert.Equal(t, "direct", s.Conversion)
		assert.Equal(t, OK, s.Status)
	}
}

// With equal quadrats and transects the estimator is svytotal, and the design effect that of deff = "replace".
func TestEqualSizesAsSvytotal(t *testing.T) {
	ref := reference(t)
	rows := slices.DeleteFunc(tableQuads(t, "lonely.csv", true), func(q quad) bool { return q.stratum == "high" })
	for name, transects := range map[string]bool{"equal": true, "quadrats": false} {
		rows := slices.Clone(rows)
		for i := range rows {
			if !transects {
				rows[i].quadrat += rows[i].transect
				rows[i].transect = ""
			}
		}
		f := folderOf([]Bed{bedOf("A", 4100)}, rows)
		f.Strata = threeStrata()[1:]
		s := only(t, Stocks(f, DefaultOptions()), "A", "Fucus", "2024")
		approx(t, name+" total", s.Kg.Value, ref[name+" kg total"], 1e-9, 0)
		approx(t, name+" se", s.Kg.SE, ref[name+" kg se"], 1e-9, 0)
		approx(t, name+" deff", s.DesignEffect, ref[name+" kg deff"], 1e-9, 0)
	}
}

// A stratum with one transect, as survey.lonely.psu says for the mean (times the area).
func TestLonelyAsRSurvey(t *testing.T) {
	ref := reference(t)
	for _, how := range []string{"adjust", "average", "certainty"} {
		s := surveyed(t, "lonely.csv", how, true)
		approx(t, how+" total", s.Kg.Value, ref["lonely "+how+" total"], 1e-9, 0)
		approx(t, how+" se", s.Kg.SE, ref["lonely "+how+" se"], 1e-9, 0)
		assert.Equal(t, 6.0, s.Kg.DF)
		assert.Contains(t, s.Warnings[len(s.Warnings)-1], "one sampling unit in stratum high")
	}
	s := surveyed(t, "lonely.csv", "fail", true)
	assert.Equal(t, NotEstimable, s.Status)
	assert.False(t, s.Kg.OK)
	assert.Equal(t, "one sampling unit in stratum high", s.Reason)
}

// The production design and the textbook formula for stratified random samples agree where both apply.
func TestDesignIsStratifiedMean(t *testing.T) {
	rows := tableQuads(t, "nested.csv", true)
	by := map[string][]float64{}
	for i := range rows {
		rows[i].quadrat, rows[i].transect, rows[i].m2 = rows[i].transect+rows[i].quadrat, "", 0.25
		by[rows[i].stratum] = append(by[rows[i].stratum], rows[i].cover)
	}
	f := folderOf([]Bed{bedOf("A", 5000)}, rows)
	f.Strata = threeStrata()
	var layers []Layer
	for _, st := range f.Strata {
		y := by[st.Stratum]
		layers = append(layers, Layer{Size: st.Area, N: len(y), Mean: mean(y), Var: variance(y)})
	}
	want := StratifiedMean(layers, false)
	got := only(t, Stocks(f, DefaultOptions()), "A", "Fucus", "2024").Cover
	approx(t, "mean", got.Value, want.Value, 1e-12, 0)
	approx(t, "se", got.SE, want.SE, 1e-12, 0)
	approx(t, "df", got.DF, want.DF, 0, 0)
}

// An uncertain area: Goodman's v = A² v(y) + y² v(A) - v(A) v(y), worked by hand from the estimate with a sure area.
// All of what the area adds is shared, none of it in OwnCV.
func TestUncertainArea(t *testing.T) {
	rows := tableQuads(t, "nested.csv", true)
	sure := folderOf([]Bed{bedOf("A", 5000)}, rows)
	base := only(t, Stocks(sure, DefaultOptions()), "A", "Fucus", "2024")
	bed := bedOf("A", 5000)
	bed.Periods[0].AreaSE = Some(600)
	s := only(t, Stocks(folderOf([]Bed{bed}, rows), DefaultOptions()), "A", "Fucus", "2024")
	y, vy := base.Kg.Value/5000, math.Pow(base.Kg.SE/5000, 2)
	want := 5000*5000*vy + y*y*600*600 - 600*600*vy
	approx(t, "se", s.Kg.SE, math.Sqrt(want), 1e-12, 0)
	approx(t, "own", s.OwnCV, base.Kg.CV(), 1e-12, 0)
	approx(t, "area se", s.AreaSE, 600, 1e-15, 0)
	assert.Len(t, s.Shared, 1)
	assert.Equal(t, "area|A", s.Shared[0].ID)
	approx(t, "sum", s.OwnCV*s.OwnCV+s.Shared[0].CV*s.Shared[0].CV, math.Pow(s.Kg.CV(), 2), 1e-12, 0)

	// The same area error on strata: each stratum's own, and the bed's spread over them.
	strata := folderOf([]Bed{bed}, rows)
	strata.Strata = threeStrata()
	spread := only(t, Stocks(strata, DefaultOptions()), "A", "Fucus", "2024")
	approx(t, "common error", spread.Shared[0].CV, 0.12*math.Sqrt(1-math.Pow(spread.OwnCV, 2)), 1e-12, 0)
	for i := range strata.Strata {
		strata.Strata[i].AreaSE = Some(0.12 * strata.Strata[i].Area)
	}
	own := only(t, Stocks(strata, DefaultOptions()), "A", "Fucus", "2024")
	assert.Less(t, own.Shared[0].CV, spread.Shared[0].CV, "independent errors of strata partly cancel")
	assert.Greater(t, own.Shared[0].CV, 0.0)
}

// A stratum with one transect that other strata share: its spread is taken from the mean of the bed, so that it is not
// left out. By hand: stratum a (10 m2) has T1, T2 with y = 1, 3; stratum b (20 m2) has T1 alone with y = 4.
// Means 2 and 4, total 100, bed mean 10/3. Parts: T1 5 (1-2) + 20 (4-10/3) = 25/3, T2 5 (3-2) = 5; their mean is 20/3.
// v = 2 ((5/3)² + (5/3)²) = 100/9.
func TestLonelyInSharedTransect(t *testing.T) {
	rows := []quad{clipped("A", "T1", "1", "Fucus", testDay, 10, 250), clipped("A", "T2", "1", "Fucus", testDay, 10, 750),
		clipped("A", "T1", "2", "Fucus", testDay, 10, 1000)}
	rows[0].stratum, rows[1].stratum, rows[2].stratum = "a", "a", "b"
	f := folderOf([]Bed{bedOf("A", 30)}, rows)
	f.Strata = []Stratum{{Bed: "A", Stratum: "a", Area: 10}, {Bed: "A", Stratum: "b", Area: 20}}
	s := only(t, Stocks(f, DefaultOptions()), "A", "Fucus", "2024")
	approx(t, "total", s.Kg.Value, 100, 1e-14, 0)
	approx(t, "se", s.Kg.SE, 10./3, 1e-14, 0)
	approx(t, "df", s.Kg.DF, 1, 0, 0)
}
