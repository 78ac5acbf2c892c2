package survey

import (
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
)

// warns says whether a warning with the text is there.
func warns(s Stock, text string) bool {
	return slices.ContainsFunc(s.Warnings, func(w string) bool { return strings.Contains(w, text) })
}

// grid is a bed of n quadrats with the given cover, of which the first so many are weighed at k kg/m2 per percent.
func grid(bed, species string, day Day, cover []float64, weighed int, k float64) []quad {
	var rows []quad
	for i, c := range cover {
		q := seen(bed, "", name("q", i), species, day, c)
		if i < weighed {
			q.grams = k * c * q.m2 * 1000
		}
		rows = append(rows, q)
	}
	return rows
}

var steps = []float64{10, 20, 30, 40, 50, 60, 70, 80, 90, 100, 15, 25}

// Worked by hand: three quadrats of 0.25 m2, 500 g, 250 g of half a quadrat and none, on 100 m2.
// Density 2, 2, 0 kg/m2; mean 4/3, variance 4/3, se sqrt(4/9).
func TestStockByHand(t *testing.T) {
	rows := []quad{clipped("A", "", "1", "Fucus", testDay, 50, 500), clipped("A", "", "2", "Fucus", testDay, 40, 250),
		seen("A", "", "3", "", testDay, 0)}
	rows[1].weighed = 0.125
	s := only(t, Stocks(folderOf([]Bed{bedOf("A", 100)}, rows), DefaultOptions()), "A", "Fucus", "2024")
	approx(t, "kg", s.Kg.Value, 400./3, 1e-15, 0)
	approx(t, "se", s.Kg.SE, 200./3, 1e-14, 0)
	approx(t, "df", s.Kg.DF, 2, 0, 0)
	approx(t, "cover", s.Cover.Value, 30, 1e-15, 0)
	approx(t, "density where found", s.DensityWith, 2, 1e-15, 0)
	approx(t, "effect", s.DesignEffect, 1, 1e-14, 0)
	assert.Equal(t, [5]int{3, 2, 3, 2, 2}, [5]int{s.Quadrats, s.QuadratsWith, s.PSU, s.PSUWith, s.Weighed})
	approx(t, "lo", s.Kg.Lo, 0, 0, 0) // the t interval reaches below 0, and 2 degrees of freedom are too few for the log
	assert.Equal(t, []string{"interval too narrow: only 2 quadrats hold the species; where it is patchy, a 95 % interval holds the stock about 87 % of the time"}, s.Warnings)
	assert.LessOrEqual(t, s.Cover.Hi, 100.0)
}

// Species sought and absent are 0, not missing; those found without being sought are told apart.
func TestStockSought(t *testing.T) {
	rows := []quad{clipped("A", "", "1", "Fucus", testDay, 50, 500), seen("A", "", "2", "", testDay, 0),
		clipped("B", "", "1", "Ulva", testDay, 5, 50), seen("B", "", "2", "", testDay, 0)}
	f := folderOf([]Bed{bedOf("A", 100), bedOf("B", 100)}, rows)
	f.Surveys = []Declared{{Bed: "B", Survey: "spring", From: testDay, To: testDay, Sought: []string{"Chondrus", "Fucus"}}}
	stocks := Stocks(f, DefaultOptions())
	var got []string
	for _, s := range stocks {
		got = append(got, s.Bed+" "+s.Species)
	}
	assert.Equal(t, []string{"A Chondrus", "A Fucus", "A Ulva", "B Chondrus", "B Fucus", "B Ulva"}, got)
	none := stocks[0]
	assert.True(t, none.Kg.OK && none.Cover.OK)
	assert.Equal(t, [2]float64{0, 0}, [2]float64{none.Kg.Value, none.Cover.Value})
	for what, v := range map[string]float64{"kg se": none.Kg.SE, "kg lo": none.Kg.Lo, "kg hi": none.Kg.Hi,
		"cover se": none.Cover.SE, "cover lo": none.Cover.Lo, "cover hi": none.Cover.Hi} {
		assert.True(t, math.IsNaN(v), "%s: the sample gives no bounds", what)
	}
	assert.Equal(t, []string{"none found"}, none.Warnings)
	assert.True(t, warns(stocks[5], "not among the species sought"))
}

// A species found in one survey but never weighed has no weight where none was found either, unless it can be converted.
func TestStockNoneFoundOfWhatWasNeverWeighed(t *testing.T) {
	later := testDay + 365
	rows := []quad{seen("A", "", "1", "Fucus", testDay, 50), seen("A", "", "2", "", testDay, 0),
		seen("A", "", "1", "", later, 0), seen("A", "", "2", "", later, 0)}
	f := folderOf([]Bed{bedOf("A", 100)}, rows)
	s := only(t, Stocks(f, DefaultOptions()), "A", "Fucus", "2025")
	assert.True(t, s.Cover.OK && s.Cover.Value == 0)
	assert.False(t, s.Kg.OK)
	assert.Equal(t, NotEstimable, s.Status)
	assert.Equal(t, "nothing weighed", s.Reason)

	f.Species = []Species{{Name: "Fucus", CoverA: Some(0.1)}}
	s = only(t, Stocks(f, DefaultOptions()), "A", "Fucus", "2025")
	assert.True(t, s.Kg.OK && s.Kg.Value == 0 && s.Status == OK, "a conversion is given")

	f.Species = nil
	f.Quadrats.Biomass[0] = 500
	s = only(t, Stocks(f, DefaultOptions()), "A", "Fucus", "2025")
	assert.True(t, s.Kg.OK && s.Kg.Value == 0 && s.Status == OK, "weighed in the other survey")
}

func TestStockOneUnit(t *testing.T) {
	rows := []quad{clipped("A", "T1", "1", "Fucus", testDay, 50, 500), clipped("A", "T1", "2", "Fucus", testDay, 30, 300)}
	s := only(t, Stocks(folderOf([]Bed{bedOf("A", 100)}, rows), DefaultOptions()), "A", "Fucus", "2024")
	assert.True(t, s.Kg.OK)
	approx(t, "kg", s.Kg.Value, 160, 1e-14, 0)
	for what, v := range map[string]float64{"se": s.Kg.SE, "df": s.Kg.DF, "lo": s.Kg.Lo, "cv": s.OwnCV, "cover": s.Cover.SE} {
		approx(t, what, v, math.NaN(), 0, 0)
	}
	assert.Equal(t, OK, s.Status)
	assert.True(t, warns(s, "one sampling unit: no standard error"))
}

func TestStockSurveyedPart(t *testing.T) {
	f := folderOf([]Bed{bedOf("A", 5000)}, slices.DeleteFunc(tableQuads(t, "nested.csv", true),
		func(q quad) bool { return q.stratum == "low" }))
	f.Strata = threeStrata()
	s := only(t, Stocks(f, DefaultOptions()), "A", "Fucus", "2024")
	assert.Equal(t, SurveyedPart, s.Status)
	assert.Equal(t, "not visited: stratum low", s.Reason)
	assert.Equal(t, [2]float64{2500, 5000}, [2]float64{s.Area, s.BedArea})
}

// An old survey keeps the bed's old area; strata follow it.
func TestStockOldArea(t *testing.T) {
	bed := bedOf("A", 4000)
	bed.Periods = append(bed.Periods, BedPeriod{Shore: "North", Area: 5000, AreaSE: Some(100), From: testDay + 100})
	rows := tableQuads(t, "nested.csv", true)
	for _, r := range slices.Clone(rows) {
		r.day += 365
		rows = append(rows, r)
	}
	f := folderOf([]Bed{bed}, rows)
	f.Strata = threeStrata()
	stocks := Stocks(f, DefaultOptions())
	old, now := stocks[0], stocks[1]
	approx(t, "old area", old.Area, 4000, 1e-12, 0)
	approx(t, "old kg", old.Kg.Value, 0.8*now.Kg.Value, 1e-12, 0)
	assert.True(t, warns(old, "strata scaled to the bed"))
	assert.Empty(t, old.Shared)
	assert.Equal(t, "area|A|"+(testDay+100).String(), now.Shared[0].ID)
}

func TestStockWithoutArea(t *testing.T) {
	s := only(t, Stocks(folderOf([]Bed{bedOf("A", 0)}, grid("A", "Fucus", testDay, steps, 12, 0.05)), DefaultOptions()), "A", "Fucus", "2024")
	assert.Equal(t, NotEstimable, s.Status)
	assert.False(t, s.Kg.OK)
	approx(t, "cover", s.Cover.Value, mean(steps), 1e-14, 0)
}

// The domain of the conversion widens step by step, and its error is shared from the second step on.
func TestConversionDomains(t *testing.T) {
	beds := []Bed{bedOf("A", 100), bedOf("B", 100), bedOf("C", 100)}
	beds[2].Periods[0].Shore = "South"
	last := testDay - 365
	for _, c := range []struct {
		rows               []quad
		conversion, domain string
		shared             bool
		reason             string
	}{
		{grid("A", "Fucus", testDay, steps, 12, 0.05), "direct", "", false, ""},
		{grid("A", "Fucus", testDay, steps, 10, 0.05), "ratio", "survey", false, ""},
		{append(grid("A", "Fucus", testDay, steps, 5, 0.05), grid("B", "Fucus", testDay, steps, 5, 0.05)...), "ratio",
			"shore and year", true, ""},
		{append(grid("A", "Fucus", testDay, steps, 5, 0.05), grid("C", "Fucus", testDay, steps, 12, 0.05)...), "ratio",
			"species and year", true, ""},
		{append(grid("A", "Fucus", testDay, steps, 5, 0.05), grid("B", "Fucus", last, steps, 12, 0.05)...), "ratio",
			"species", true, ""},
		{grid("A", "Fucus", testDay, steps, 3, 0.05), "ratio", "species", true, ""},
		{grid("A", "Fucus", testDay, steps, 2, 0.05), "none", "", false, "only 2 quadrats weighed, at least 3 needed"},
		{grid("A", "Fucus", testDay, steps, 0, 0.05), "none", "", false, "nothing weighed"},
	} {
		s := only(t, Stocks(folderOf(beds, c.rows), DefaultOptions()), "A", "Fucus", "2024")
		assert.Equal(t, c.conversion, s.Conversion)
		assert.Equal(t, c.domain, s.Domain)
		assert.Equal(t, c.reason, s.Reason)
		if c.shared { // k is the same everywhere: no error of the calibration, that between beds stays with the bed
			assert.Len(t, s.Shared, 1)
			assert.Equal(t, "bed|A|Fucus", s.Shared[0].ID)
		}
		assert.True(t, s.Cover.OK)
		if c.reason != "" {
			assert.Equal(t, NotEstimable, s.Status)
			assert.False(t, s.Kg.OK)
			continue
		}
		approx(t, c.domain+" kg", s.Kg.Value, 100*0.05*mean(steps), 1e-12, 0) // k is the same everywhere
		if c.shared {
			assert.True(t, warns(s, "leans on a conversion from outside"))
		}
	}
}

// A wider domain without scatter: v(k) = 0 and τ = 0.3 k, so the shared CV is 0.3 times the part that was converted.
func TestConversionBetweenBeds(t *testing.T) {
	rows := append(grid("A", "Fucus", testDay, steps, 5, 0.05), grid("B", "Fucus", testDay, steps, 12, 0.05)...)
	s := only(t, Stocks(folderOf([]Bed{bedOf("A", 100), bedOf("B", 100)}, rows), DefaultOptions()), "A", "Fucus", "2024")
	part := 1 - (10+20+30+40+50.)/590
	approx(t, "shared", s.Shared[0].CV, 0.3*part, 1e-9, 0)
	approx(t, "whole", s.Kg.CV(), math.Hypot(s.OwnCV, 0.3*part), 1e-9, 0)

	// Five beds that differ: τ² by REML. Without scatter within beds it is the variance of the beds' ratios.
	k := []float64{0.04, 0.06, 0.05, 0.07, 0.03}
	beds := []Bed{bedOf("A", 100)}
	rows = grid("A", "Fucus", testDay, steps, 0, 0)
	for i, ki := range k {
		beds = append(beds, bedOf(name("B", i), 100))
		rows = append(rows, grid(name("B", i), "Fucus", testDay, steps, 12, ki)...)
	}
	s = only(t, Stocks(folderOf(beds, rows), DefaultOptions()), "A", "Fucus", "2024")
	// Of a new bed τ² (1 + 1/5). Each quadrat is a unit here, so v(k) adds Σ x² d² 60/59 / (Σ x)², d = k_b - k.
	sx, sxx := 5*sumOf(steps), 0.0
	for _, x := range steps {
		sxx += x * x
	}
	vk := 60. / 59 * sxx * 4 * variance(k) / (sx * sx)
	if !assert.Len(t, s.Shared, 2) {
		return
	}
	assert.Equal(t, "calibration|Fucus|shore and year|North|2024", s.Shared[0].ID)
	approx(t, "of the calibration", s.Shared[0].CV, math.Sqrt(vk)/0.05, 1e-6, 0)
	approx(t, "of the bed", s.Shared[1].CV, math.Sqrt(1.2*variance(k))/0.05, 1e-6, 0)
}

// sumOf is the sum.
func sumOf(x []float64) float64 { return mean(x) * float64(len(x)) }

func TestConversionGiven(t *testing.T) {
	f := folderOf([]Bed{bedOf("A", 100)}, grid("A", "Fucus", testDay, steps, 0, 0))
	f.Species = []Species{{Name: "Fucus", CoverA: Some(0.02), CoverB: Some(1.2), CoverCV: Some(0.25)}}
	s := only(t, Stocks(f, DefaultOptions()), "A", "Fucus", "2024")
	sum := 0.0
	for _, c := range steps {
		sum += 0.02 * math.Pow(c, 1.2)
	}
	assert.Equal(t, "given", s.Conversion)
	approx(t, "kg", s.Kg.Value, 100*sum/12, 1e-12, 0)
	assert.Equal(t, "conversion|Fucus", s.Shared[0].ID)
	approx(t, "shared", s.Shared[0].CV, 0.25, 1e-12, 0)
	approx(t, "all", s.Kg.CV(), math.Hypot(0.25, s.OwnCV), 1e-12, 0)
	f.Species[0].CoverCV = Num{}
	s = only(t, Stocks(f, DefaultOptions()), "A", "Fucus", "2024")
	approx(t, "assumed", s.Shared[0].CV, 0.5, 1e-12, 0)
	assert.True(t, warns(s, "0.5 assumed"))
}

// Quadrats without a cover but weighed join by their weight; the cover itself is then not to be had.
func TestBlankCover(t *testing.T) {
	rows := grid("A", "Fucus", testDay, steps, 11, 0.05)
	rows[0].cover, rows[0].grams = blank, 2500 // 10 kg/m2
	s := only(t, Stocks(folderOf([]Bed{bedOf("A", 100)}, rows), DefaultOptions()), "A", "Fucus", "2024")
	assert.Equal(t, "survey", s.Domain)
	approx(t, "kg", s.Kg.Value, 100*(10+0.05*580)/12, 1e-12, 0)
	assert.False(t, s.Cover.OK)
	assert.True(t, warns(s, "cover blank in 1 quadrat "))
	assert.Greater(t, s.Kg.SE, 0.0)
}

func TestQuadratSizeDoubts(t *testing.T) {
	rows := append(grid("A", "Fucus", testDay, steps, 12, 0.05), grid("A", "Fucus", testDay+365, steps, 12, 0.05)...)
	for i := 12; i < len(rows); i++ {
		rows[i].m2 = 0.5
	}
	rows[20].m2 = 1
	stocks := Stocks(folderOf([]Bed{bedOf("A", 100)}, rows), DefaultOptions())
	assert.Empty(t, stocks[0].Warnings)
	assert.True(t, warns(stocks[1], "quadrat size changed since the survey before: 0.25 to 0.5 m2"))
	assert.True(t, warns(stocks[1], "quadrat sizes differ: 0.5 to 1 m2"))
}

// Results do not depend on the order of the rows, to the last bit, and scale with area and weight.
func TestStocksInvariants(t *testing.T) {
	rows := tableQuads(t, "crossing.csv", false)
	build := func(rows []quad, area float64) []Stock {
		f := folderOf([]Bed{bedOf("A", 5000*area)}, rows)
		f.Strata = threeStrata()
		for i := range f.Strata {
			f.Strata[i].Area *= area
		}
		return Stocks(f, DefaultOptions())
	}
	want := build(rows, 1)
	shuffled := slices.Clone(rows)
	rand.New(rand.NewPCG(1, 2)).Shuffle(len(rows), func(i, j int) { shuffled[i], shuffled[j] = shuffled[j], shuffled[i] })
	assert.Equal(t, want, build(shuffled, 1))
	double := build(rows, 2)[0]
	approx(t, "area", double.Kg.Value, 2*want[0].Kg.Value, 1e-12, 0)
	approx(t, "area se", double.Kg.SE, 2*want[0].Kg.SE, 1e-12, 0)
	approx(t, "cover", double.Cover.SE, want[0].Cover.SE, 1e-12, 0)
	for i := range rows {
		rows[i].grams *= 3
	}
	triple := build(rows, 1)[0]
	approx(t, "weight", triple.Kg.Value, 3*want[0].Kg.Value, 1e-12, 0)
	approx(t, "weight se", triple.Kg.SE, 3*want[0].Kg.SE, 1e-12, 0)
	approx(t, "weight df", triple.Kg.DF, want[0].Kg.DF, 1e-9, 0)
}

func TestStocksOptions(t *testing.T) {
	f := folderOf([]Bed{bedOf("A", 1)}, nil)
	assert.Empty(t, Stocks(f, DefaultOptions()))
	for _, spoil := range []func(*Options){func(o *Options) { o.Lonely = "" }, func(o *Options) { o.Conversion = "x" },
		func(o *Options) { o.WindowDays = -1 }, func(o *Options) { o.Confidence = 95 }} {
		opt := DefaultOptions()
		spoil(&opt)
		assert.Panics(t, func() { Stocks(f, opt) })
	}
}

// Labels of strata that fit nothing: quadrats without one are left out, and where none fits the bed is one stratum.
func TestStockStratumLabels(t *testing.T) {
	rows := tableQuads(t, "nested.csv", true)
	strata := func(rows []quad) Stock {
		f := folderOf([]Bed{bedOf("A", 5000)}, rows)
		f.Strata = threeStrata()
		return only(t, Stocks(f, DefaultOptions()), "A", "Fucus", "2024")
	}
	whole := strata(rows)
	stray := seen("A", "T1", "99", "Fucus", testDay, 100)
	stray.grams = 5000
	some := strata(append(slices.Clone(rows), stray))
	assert.Equal(t, whole.Kg, some.Kg)
	assert.True(t, warns(some, "1 quadrat without a stratum of the bed left out"))

	for i := range rows {
		rows[i].stratum = ""
	}
	none := strata(rows)
	assert.True(t, warns(none, "no quadrat names a stratum of the bed: taken as one stratum"))
	assert.Equal(t, only(t, Stocks(folderOf([]Bed{bedOf("A", 5000)}, rows), DefaultOptions()), "A", "Fucus", "2024").Kg, none.Kg)
	approx(t, "degrees of freedom", none.Kg.DF, 14, 0, 0)
}

// Where all weighing was done on one transect, the error of k is that between quadrats, and the result says so.
func TestConversionOnOneTransect(t *testing.T) {
	var rows []quad
	for i := range 48 {
		q := seen("A", name("T", i/12), name("q", i), "Fucus", testDay, steps[i%12]+float64(i/12))
		if i < 12 {
			q.grams = 12.5 * q.cover * (1 + 0.1*float64(i%3-1))
		}
		rows = append(rows, q)
	}
	s := only(t, Stocks(folderOf([]Bed{bedOf("A", 100)}, rows), DefaultOptions()), "A", "Fucus", "2024")
	assert.Equal(t, "survey", s.Domain)
	assert.True(t, warns(s, "weighed in one transect only"))
	assert.False(t, math.IsNaN(s.Kg.SE))
	assert.Greater(t, s.Kg.SE/s.Kg.Value, s.Cover.SE/s.Cover.Value, "more than the error of cover alone")
}
