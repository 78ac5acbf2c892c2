package survey

import (
	"math"
	"os"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// demoFolder reads the invented demo survey.
func demoFolder(t testing.TB) *Folder {
	t.Helper()
	table, problems := ReadSpecies(os.DirFS("../data"), "species.csv")
	require.Empty(t, problems.Faults())
	f, err := Read(os.DirFS("../data/demo"), table, DefaultOptions())
	require.NoError(t, err)
	return f
}

// Of a single bed and species a total is the stock, whatever the conversion: value, error, degrees of freedom, bounds,
// own and shared errors. Summation order differs: 1e-9.
func TestTotalOfOneIsTheStock(t *testing.T) {
	f, kinds := demoFolder(t), map[string]int{}
	for i := range f.Beds { // an error of every second bed's area
		if i%2 == 0 {
			f.Beds[i].Periods[0].AreaSE = Some(0.05 * f.Beds[i].Periods[0].Area)
		}
	}
	for i, s := range f.Strata { // and one of the strata of the others
		if k := slices.IndexFunc(f.Beds, func(b Bed) bool { return b.ID == s.Bed }); k%2 == 1 {
			f.Strata[i].AreaSE = Some(0.08 * s.Area)
		}
	}
	for _, how := range [][2]string{{"units", "auto"}, {"satterthwaite", "auto"}, {"units", "linear"}, {"units", "power"}} {
		opt := DefaultOptions()
		opt.DF, opt.Conversion = how[0], how[1]
		totals := Totals(f, opt, ByBed|BySpecies)
		stocks := Stocks(f, opt)
		require.Len(t, totals, len(stocks))
		for _, x := range totals {
			s := stocks[slices.IndexFunc(stocks, func(s Stock) bool {
				return s.Bed == x.Bed && s.Species == x.Species && s.Survey == x.Survey
			})]
			what := strings.Join([]string{x.Bed, x.Species, x.Survey, s.Conversion, s.Domain}, " ")
			kinds[s.Conversion+" "+s.Domain]++
			assert.Equal(t, s.Kg.OK, x.Kg.OK, what)
			assert.Equal(t, s.Status, x.Status, what)
			approx(t, what+" kg", x.Kg.Value, s.Kg.Value, 1e-9, 0)
			approx(t, what+" se", x.Kg.SE, s.Kg.SE, 1e-9, 0)
			approx(t, what+" own", x.OwnCV, s.OwnCV, 1e-9, 0)
			approx(t, what+" cover", x.Cover.Value, s.Cover.Value, 1e-9, 0)
			approx(t, what+" cover se", x.Cover.SE, s.Cover.SE, 1e-9, 1e-12)
			approx(t, what+" held", x.Held.Value/100, s.Occupied, 1e-9, 1e-15)
			approx(t, what+" deff", x.DesignEffect, s.DesignEffect, 1e-9, 0)
			if s.QuadratsWith > 0 {
				approx(t, what+" df", x.Kg.DF, s.Kg.DF, 1e-9, 0)
				approx(t, what+" lo", x.Kg.Lo, s.Kg.Lo, 1e-9, 1e-9)
				approx(t, what+" hi", x.Kg.Hi, s.Kg.Hi, 1e-9, 0)
			}
			require.Len(t, x.Shared, len(s.Shared), what)
			for k := range x.Shared {
				assert.Equal(t, s.Shared[k].ID, x.Shared[k].ID)
				approx(t, what+x.Shared[k].ID, x.Shared[k].CV, s.Shared[k].CV, 1e-9, 0)
			}
			assert.Equal(t, [4]int{s.Quadrats, s.QuadratsWith, s.PSU, s.PSUWith},
				[4]int{x.Quadrats, x.QuadratsWith, x.PSU, x.PSUWith}, what)
		}
	}
	t.Log(kinds)
	assert.NotZero(t, kinds["direct "])
	assert.NotZero(t, kinds["ratio survey"])
	assert.NotZero(t, kinds["linear survey"])
	assert.NotZero(t, kinds["power survey"])
	assert.NotZero(t, kinds["ratio shore and year"])
}

// Sums are sums: species of a bed, strata of a bed, beds of a shore; and shared errors of one ID add up before they are
// squared, v = Σ own² + Σ_id (Σ B cv)².
func TestSumsOfTheDemo(t *testing.T) {
	f, opt := demoFolder(t), DefaultOptions()
	stocks := Stocks(f, opt)
	for _, x := range Totals(f, opt, ByShore|BySpecies) {
		if !x.Kg.OK || !(x.Kg.Value > 0) {
			continue
		}
		value, own := 0.0, 0.0
		shared := map[string]float64{}
		for _, s := range stocks {
			if s.Species == x.Species && s.Survey == x.Survey && slices.Contains(x.Beds, s.Bed) {
				value += s.Kg.Value
				if s.Kg.Value > 0 {
					own += math.Pow(s.OwnCV*s.Kg.Value, 2)
				}
				for _, e := range s.Shared {
					shared[e.ID] += e.CV * s.Kg.Value
				}
			}
		}
		for _, kg := range shared {
			own += kg * kg
		}
		what := x.Shore + x.Species + x.Survey
		approx(t, what, x.Kg.Value, value, 1e-9, 0)
		approx(t, what+" se", x.Kg.SE, math.Sqrt(own), 1e-9, 0)
		assert.LessOrEqual(t, x.Kg.Lo, x.Kg.Value)
		assert.GreaterOrEqual(t, x.Kg.Hi, x.Kg.Value)
	}
	// All species of a bed.
	for _, x := range Totals(f, opt, ByBed) {
		value, ok := 0.0, true
		for _, s := range stocks {
			if s.Bed == x.Bed && s.Survey == x.Survey {
				value += orZero(s.Kg.Value)
				ok = ok && s.Kg.OK
			}
		}
		assert.Equal(t, ok, x.Kg.OK, x.Bed+x.Survey)
		approx(t, x.Bed+x.Survey, x.Known.Value, value, 1e-9, 0)
	}
	// Strata of a bed.
	beds := Totals(f, opt, ByBed|BySpecies)
	strata := Totals(f, opt, ByStratum|BySpecies)
	for _, x := range beds {
		sum := 0.0
		for _, h := range strata {
			if h.Bed == x.Bed && h.Species == x.Species && h.Survey == x.Survey {
				sum += orZero(h.Kg.Value)
			}
		}
		approx(t, x.Bed+x.Species+x.Survey, sum, orZero(x.Kg.Value), 1e-9, 1e-9)
	}
}

// Where a species could not be weighed the sum of all is not known; what is known stands beside, with what to do.
func TestTotalOfWhatWasNeverWeighed(t *testing.T) {
	rows := []quad{clipped("A", "", "1", "Fucus", testDay, 50, 500), clipped("A", "", "2", "Fucus", testDay, 40, 400),
		seen("A", "", "1", "Ulva", testDay, 20), seen("A", "", "2", "Ulva", testDay, 10)}
	x := oneTotal(t, Totals(folderOf([]Bed{bedOf("A", 100)}, rows), DefaultOptions(), ByBed), anyTotal)
	assert.Equal(t, NotEstimable, x.Status)
	assert.False(t, x.Kg.OK)
	assert.Equal(t, "Ulva: nothing weighed; weigh at least 10 quadrats that hold it", x.Reason)
	approx(t, "known", x.Known.Value, 180, 1e-12, 0) // 1.8 kg/m2 on 100 m2
	approx(t, "cover", x.Cover.Value, 60, 1e-12, 0)
	assert.True(t, math.IsNaN(x.KgM2.Value) && !x.KgM2.OK)
	r := Ratios(folderOf([]Bed{bedOf("A", 100)}, rows), DefaultOptions(), ByBed, Amount{Of: InKg}, Amount{Of: InArea})
	assert.Equal(t, NotEstimable, r[0].Status)
	assert.False(t, r[0].Value.OK)
	r = Ratios(folderOf([]Bed{bedOf("A", 100)}, rows), DefaultOptions(), ByBed, Amount{Of: InKg, Species: "Fucus"}, Amount{Of: InCover, Species: "Ulva"})
	approx(t, "kg Fucus per m2 Ulva", r[0].Value.Value, 180/15., 1e-12, 0)
}

// A bed of the shore that was not surveyed, or under another name, is named; so is a species not looked for.
func TestTotalsLeaveNothingOutSilently(t *testing.T) {
	rows := []quad{clipped("A", "", "1", "Fucus", testDay, 50, 500), clipped("A", "", "2", "Fucus", testDay, 40, 400),
		clipped("B", "", "1", "Fucus", testDay, 20, 200), clipped("B", "", "2", "Fucus", testDay, 30, 200)}
	beds := []Bed{bedOf("A", 100), bedOf("B", 100), bedOf("C", 100)}
	later := bedOf("D", 100)
	later.Periods[0].From = testDay + 100
	south := bedOf("S", 100)
	south.Periods[0].Shore = "South"
	f := folderOf(append(beds, later, south), rows)
	x := oneTotal(t, Totals(f, DefaultOptions(), ByShore), anyTotal)
	assert.Equal(t, SurveyedPart, x.Status)
	assert.Equal(t, "bed C: no survey 2024", x.Reason)
	assert.Equal(t, []string{"A", "B"}, x.Beds)
	approx(t, "kg", x.Kg.Value, 260, 1e-12, 0)

	f.Surveys = []Declared{{Bed: "B", Survey: "spring", From: testDay, To: testDay}}
	x = oneTotal(t, Totals(f, DefaultOptions(), ByShore), func(x Total) bool { return x.Survey == "2024" })
	assert.Contains(t, x.Reason, "bed B: surveyed under another name (spring); give surveys that belong together one name")

	f.Surveys = []Declared{{Bed: "A", Survey: "2024", From: testDay, To: testDay}, {Bed: "B", Survey: "2024", From: testDay,
		To: testDay, Sought: []string{"Fucus"}}, {Bed: "C", Survey: "2024", From: testDay, To: testDay}}
	f.Surveys[0].Sought = []string{"Fucus", "Ulva"}
	x = oneTotal(t, Totals(f, DefaultOptions(), ByShore|BySpecies), forSpecies("Ulva"))
	assert.Contains(t, x.Reason, "bed B: Ulva not looked for; name it in species_sought next time")
	assert.Contains(t, x.Reason, "bed C: survey 2024 not done")
	x = oneTotal(t, Totals(f, DefaultOptions(), ByShore), anyTotal)
	assert.Contains(t, x.Warnings, "not looked for on every bed: Ulva")
}

// A stratum not visited gives no number and says so; the bed without it is the surveyed part.
func TestTotalOfAStratumNotVisited(t *testing.T) {
	rows := []quad{clipped("A", "", "1", "Fucus", testDay, 50, 500), clipped("A", "", "2", "Fucus", testDay, 40, 400)}
	rows[0].stratum, rows[1].stratum = "low", "low"
	f := folderOf([]Bed{bedOf("A", 100)}, rows)
	f.Strata = []Stratum{{Bed: "A", Stratum: "low", Area: 60}, {Bed: "A", Stratum: "high", Area: 40}}
	strata := Totals(f, DefaultOptions(), ByStratum)
	require.Len(t, strata, 2)
	assert.Equal(t, "no quadrat: reach the stratum first next time; not visited: stratum high", strata[0].Reason)
	assert.Equal(t, NotEstimable, strata[0].Status)
	assert.False(t, strata[0].Kg.OK || strata[0].Cover.OK || strata[0].Area.OK)
	assert.Equal(t, OK, strata[1].Status)
	assert.Equal(t, SurveyedPart, oneTotal(t, Totals(f, DefaultOptions(), ByBed), anyTotal).Status)

	f.Beds[0].Periods[0].Area, f.Strata = 0, nil
	x := oneTotal(t, Totals(f, DefaultOptions(), ByBed), anyTotal)
	assert.Equal(t, "area of bed A not known: give area_m2 in beds.csv", x.Reason)
	assert.True(t, x.Cover.OK && !x.Kg.OK && !x.Area.OK)
}

// Zones sum the beds that are in them on the day; a domain of the zone is the same.
func TestTotalsByZone(t *testing.T) {
	f := designFolder(t, "nested", "transects", "strata")
	for i, zone := range []string{"lower", "mid", "lower"} {
		f.Beds[i].Periods[0].Zone = zone
	}
	opt := DefaultOptions()
	zones := Totals(f, opt, ByZone)
	require.Len(t, zones, 2)
	lower := zones[0]
	assert.Equal(t, "lower", lower.Zone)
	assert.Equal(t, []string{"nested", "transects"}, lower.Beds)
	domain := oneTotal(t, DomainTotals(f, opt, ByShore, Domain{Zone: "lower"}), anyTotal)
	approx(t, "kg", domain.Kg.Value, lower.Kg.Value, 0, 0)
	approx(t, "se", domain.Kg.SE, lower.Kg.SE, 0, 0)
	assert.Equal(t, OK, domain.Status)
	assert.Panics(t, func() { Ratios(f, opt, ByBed, Amount{Of: "weight"}, Amount{Of: InKg}) })
}

// A calibration used on two beds: its errors add, they do not average away. And it cancels in a ratio of the two.
func TestSharedErrorsAdd(t *testing.T) {
	var rows []quad
	for _, bed := range []string{"A", "B"} {
		rows = append(rows, grid(bed, "Fucus", testDay, steps, 0, 0)...)
	}
	f := folderOf([]Bed{bedOf("A", 100), bedOf("B", 100)}, rows)
	f.Species = []Species{{Name: "Fucus", CoverA: Some(0.1), CoverCV: Some(0.3)}}
	opt := DefaultOptions()
	bed := oneTotal(t, Totals(f, opt, ByBed), func(x Total) bool { return x.Bed == "A" })
	shore := oneTotal(t, Totals(f, opt, ByShore), anyTotal)
	approx(t, "value", shore.Kg.Value, 2*bed.Kg.Value, 1e-12, 0)
	approx(t, "shared", shore.Shared[0].CV, 0.3, 1e-12, 0)
	approx(t, "own", shore.OwnCV, bed.OwnCV/math.Sqrt2, 1e-12, 0)
	share := Ratios(f, opt, ByShore, Amount{Of: InKg}, Amount{Of: InCover})
	approx(t, "kg per m2 covered", share[0].Value.Value, 10, 1e-12, 0)
	approx(t, "its cv", share[0].Value.CV(), 0.3, 1e-9, 0) // all of it the conversion's
	in := Domain{Holding: "Fucus"}
	share = Ratios(f, opt, ByShore, Amount{Of: InKg, In: in}, Amount{Of: InKg})
	approx(t, "part in whole", share[0].Value.Value, 1, 1e-12, 0)
	approx(t, "of the same conversion", share[0].Value.SE, 0, 0, 1e-9)
}

// Degrees of freedom by units promise much where a single pair of quadrats carries the error: that is said, and with
// df = "satterthwaite" the interval is as wide as it must be.
func TestTotalsWarnOfFewThatCarryTheError(t *testing.T) {
	var rows []quad
	for i := range 20 {
		rows = append(rows, clipped("A", "", name("q", i), "Fucus", testDay, 10, 100+float64(i%3)))
	}
	rows = append(rows, clipped("B", "", "1", "Fucus", testDay, 10, 100), clipped("B", "", "2", "Fucus", testDay, 90, 900))
	f := folderOf([]Bed{bedOf("A", 100), bedOf("B", 100)}, rows)
	opt := DefaultOptions()
	x := oneTotal(t, Totals(f, opt, ByShore), anyTotal)
	approx(t, "df", x.Kg.DF, 20, 0, 0)
	assert.True(t, slices.ContainsFunc(x.Warnings, func(w string) bool {
		return strings.HasPrefix(w, "interval too narrow: most of the error comes from few strata or beds, with about 1 degrees")
	}), "%q", x.Warnings)
	opt.DF = "satterthwaite"
	y := oneTotal(t, Totals(f, opt, ByShore), anyTotal)
	approx(t, "df", y.Kg.DF, 1, 1e-3, 0)
	assert.Greater(t, y.Kg.Hi-y.Kg.Lo, x.Kg.Hi-x.Kg.Lo)
	for _, x := range Totals(designFolder(t, "nested"), DefaultOptions(), ByBed) {
		assert.False(t, slices.ContainsFunc(x.Warnings, func(w string) bool { return strings.Contains(w, "carr") || strings.Contains(w, "few strata") }))
	}
}

// A correction for a finite population is in stocks as in totals, and so are degrees of freedom by group.
func TestOptionsReachStocks(t *testing.T) {
	f := designFolder(t, "strata")
	opt := DefaultOptions()
	plain := only(t, Stocks(f, opt), "strata", "a", "2024")
	opt.FPC, opt.DF = true, "satterthwaite"
	s := only(t, Stocks(f, opt), "strata", "a", "2024")
	x := oneTotal(t, Totals(f, opt, ByBed|BySpecies), forSpecies("a"))
	approx(t, "se", s.Kg.SE, x.Kg.SE, 1e-12, 0)
	approx(t, "df", s.Kg.DF, x.Kg.DF, 1e-12, 0)
	assert.Less(t, s.Kg.SE, plain.Kg.SE)
	assert.Less(t, s.Kg.DF, plain.Kg.DF)
	opt.DF = "guessed"
	assert.PanicsWithValue(t, `survey: unknown degrees of freedom "guessed"`, func() { Totals(f, opt, ByBed) })
}

// A bed visited in every quadrat it has holds no error of sampling.
func TestFPCOfAllQuadrats(t *testing.T) {
	rows := []quad{clipped("A", "", "1", "Fucus", testDay, 50, 500), clipped("A", "", "2", "Fucus", testDay, 40, 100)}
	opt := DefaultOptions()
	opt.FPC = true
	x := oneTotal(t, Totals(folderOf([]Bed{bedOf("A", 0.5)}, rows), opt, ByBed), anyTotal)
	approx(t, "kg", x.Kg.Value, 0.6, 1e-15, 0)
	approx(t, "se", x.Kg.SE, 0, 0, 0)
}

// BenchmarkTotals sums the demo by shore and species and prints ns a row of quadrats.csv.
func BenchmarkTotals(b *testing.B) {
	f, opt := demoFolder(b), DefaultOptions()
	for b.Loop() {
		Totals(f, opt, ByShore|BySpecies)
	}
	b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N)/float64(f.Quadrats.Len()), "ns/row")
}
