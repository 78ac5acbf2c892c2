package survey

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Rows of a bed that only change its status are of the same measurement: the error of the area is one and the same, and
// must not be averaged away. A new area, or a new standard error, is another measurement; so is the return to an old
// one.
func TestAreaSince(t *testing.T) {
	bed := Bed{ID: "A"}
	for i, area := range []float64{5000, 5000, 4000, 4000, 5000, 5000} {
		p := BedPeriod{Area: area, AreaSE: Some(100), From: testDay + Day(100*i)}
		if i == 0 {
			p.From = NoDay
		}
		bed.Periods = append(bed.Periods, p)
	}
	bed.Periods[5].AreaSE = Some(50)
	for i, want := range []Day{NoDay, NoDay, testDay + 200, testDay + 200, testDay + 400, testDay + 500} {
		assert.Equal(t, want, bed.areaSince(bed.Periods[i]), "row %d", i)
	}
}

// Two surveys, the bed closed between them: they share the error of the area. Where the strata carry the errors they
// share it too when the bed's area was measured anew, as strata.csv has no dates.
func TestSharedAreaError(t *testing.T) {
	rows := tableQuads(t, "nested.csv", true)
	for _, r := range rows[:len(rows):len(rows)] {
		r.day += 365
		rows = append(rows, r)
	}
	ids := func(later BedPeriod, strata []Stratum) (out []string) {
		bed := bedOf("A", 5000)
		bed.Periods[0].AreaSE = Some(200)
		later.Shore, later.From = "North", testDay+100
		bed.Periods = append(bed.Periods, later)
		f := folderOf([]Bed{bed}, rows)
		f.Strata = strata
		for _, s := range Stocks(f, DefaultOptions()) {
			require.Len(t, s.Shared, 1)
			out = append(out, s.Shared[0].ID)
		}
		return out
	}
	again := "area|A|" + (testDay + 100).String()
	assert.Equal(t, []string{"area|A", "area|A"}, ids(BedPeriod{Area: 5000, AreaSE: Some(200), Status: "closed"}, nil))
	assert.Equal(t, []string{"area|A", again}, ids(BedPeriod{Area: 4500, AreaSE: Some(200)}, nil))
	assert.Equal(t, []string{"area|A", again}, ids(BedPeriod{Area: 4500, AreaSE: Some(200)}, threeStrata()))
	strata := threeStrata()
	for i := range strata {
		strata[i].AreaSE = Some(100)
	}
	assert.Equal(t, []string{"area|A", "area|A"}, ids(BedPeriod{Area: 4500, AreaSE: Some(200)}, strata))
}

// One stratum listed without a standard error is the bed: the bed's own counts.
func TestOneStratumTakesTheBedsError(t *testing.T) {
	bed := bedOf("A", 100)
	bed.Periods[0].AreaSE = Some(12)
	rows := grid("A", "Fucus", testDay, steps, 12, 0.05)
	whole := only(t, Stocks(folderOf([]Bed{bed}, rows), DefaultOptions()), "A", "Fucus", "2024")
	for i := range rows {
		rows[i].stratum = "all"
	}
	f := folderOf([]Bed{bed}, rows)
	f.Strata = []Stratum{{Bed: "A", Stratum: "all", Area: 100}}
	listed := only(t, Stocks(f, DefaultOptions()), "A", "Fucus", "2024")
	approx(t, "se", listed.Kg.SE, whole.Kg.SE, 1e-12, 0)
	approx(t, "area se", listed.AreaSE, 12, 1e-12, 0)
	assert.Greater(t, whole.Kg.SE, whole.OwnCV*whole.Kg.Value*1.01)
}

// A part of the bed that was not reached: the stock is that of the strata reached, and the bed's error of area goes
// with their part.
func TestErrorOfTheSurveyedPart(t *testing.T) {
	bed := bedOf("A", 5000)
	bed.Periods[0].AreaSE = Some(500)
	var rows []quad
	for _, r := range tableQuads(t, "nested.csv", true) {
		if r.stratum != "low" {
			rows = append(rows, r)
		}
	}
	f := folderOf([]Bed{bed}, rows)
	f.Strata = threeStrata()
	s := only(t, Stocks(f, DefaultOptions()), "A", "Fucus", "2024")
	assert.Equal(t, SurveyedPart, s.Status)
	approx(t, "area", s.Area, 2500, 1e-12, 0)
	approx(t, "area se", s.AreaSE, 250, 1e-12, 0)
}

// Areas measured with error and quadrats thrown at random, many times over: the variances that are estimated are on
// average those that the totals and covers really have (Goodman 1960). The areas of a bed as one stratum, of a bed in
// strata with one error in common, and of strata that were measured each for itself. 3000 surveys tell a variance to
// 3 %: 12 %.
func TestUncertainAreaBySimulation(t *testing.T) {
	rng := rand.New(rand.NewPCG(1960, 708))
	const reps = 3000
	for _, c := range []struct {
		name        string
		listed      bool
		bed, strata float64 // CV of the area of the bed, and of each stratum
	}{{"one stratum", false, 0.2, 0}, {"bed in strata", true, 0.2, 0}, {"strata", true, 0, 0.15}} {
		var kg, cover, kgVar, coverVar []float64
		for range reps {
			truth := []float64{900, 1600, 2500}
			density := []float64{12, 35, 70}
			common := 1 + c.bed*rng.NormFloat64()
			bed := bedOf("A", 5000*common)
			bed.Periods[0].AreaSE = Some(5000 * c.bed)
			var rows []quad
			var strata []Stratum
			for h, area := range truth {
				label := string(rune('a' + h))
				for i := range 5 {
					at := h
					if !c.listed {
						at = rng.IntN(3)
					}
					q := seen("A", "", name("q", 5*h+i), "Fucus", testDay, max(0, density[at]+9*rng.NormFloat64()))
					q.grams = q.cover * 0.05 * q.m2 * 1000
					if c.listed {
						q.stratum = label
					}
					rows = append(rows, q)
				}
				own := c.strata * rng.NormFloat64()
				st := Stratum{Bed: "A", Stratum: label, Area: area * (common + own)}
				if c.strata > 0 {
					st.AreaSE = Some(area * c.strata)
				}
				strata = append(strata, st)
			}
			f := folderOf([]Bed{bed}, rows)
			if c.listed {
				f.Strata = strata
				sum := 0.0
				for _, st := range strata {
					sum += st.Area
				}
				f.Beds[0].Periods[0].Area = sum
			}
			s := only(t, Stocks(f, DefaultOptions()), "A", "Fucus", "2024")
			kg, kgVar = append(kg, s.Kg.Value), append(kgVar, s.Kg.SE*s.Kg.SE)
			cover, coverVar = append(cover, s.Cover.Value), append(coverVar, s.Cover.SE*s.Cover.SE)
		}
		approx(t, c.name+" kg", mean(kgVar), variance(kg), 0.12, 0)
		approx(t, c.name+" cover", mean(coverVar), variance(cover), 0.12, 0)
		t.Logf("%s: kg %.3f, cover %.3f", c.name, math.Sqrt(mean(kgVar)/variance(kg)), math.Sqrt(mean(coverVar)/variance(cover)))
	}
}
