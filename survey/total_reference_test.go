package survey

import (
	"math"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// designRows reads a table of testdata/designs.
func designRows(t testing.TB, name string) [][]string {
	t.Helper()
	return readTable(t, "designs/"+name)[1:]
}

func designNumber(t testing.TB, s string) float64 {
	t.Helper()
	if s == "NA" || s == "NaN" {
		return math.NaN()
	}
	return number(t, s)
}

// designQuads are the quadrats of a design of designs.R as rows of a bed, species a and b.
func designQuads(t testing.TB, design, bed string) []quad {
	t.Helper()
	var out []quad
	for _, r := range designRows(t, "designs.csv") {
		if r[0] != design {
			continue
		}
		m2 := designNumber(t, r[4])
		for i, species := range []string{"a", "b"} {
			q := clipped(bed, r[2], r[3], species, testDay, designNumber(t, r[5+i]), designNumber(t, r[7+i])*m2*1000)
			q.stratum, q.m2 = r[1], m2
			out = append(out, q)
		}
	}
	require.NotEmpty(t, out, design)
	return out
}

// designFolder is a folder whose beds hold designs of designs.R.
func designFolder(t testing.TB, designs ...string) *Folder {
	t.Helper()
	var beds []Bed
	var rows []quad
	var strata []Stratum
	for _, d := range slices.Sorted(slices.Values(designs)) {
		quads := designQuads(t, d, d)
		area := 0.0
		for _, r := range designRows(t, "areas.csv") {
			if slices.ContainsFunc(quads, func(q quad) bool { return q.stratum == r[0] }) {
				area += designNumber(t, r[1])
				if r[0] != "" {
					strata = append(strata, Stratum{Bed: d, Stratum: r[0], Area: designNumber(t, r[1])})
				}
			}
		}
		beds, rows = append(beds, bedOf(d, area)), append(rows, quads...)
	}
	f := folderOf(beds, rows)
	f.Strata = strata
	f.Species = []Species{{Name: "a", Group: "wrack"}, {Name: "b", Group: "wrack"}}
	return f
}

// designReference reads the results of designs.R by design and name.
func designReference(t testing.TB) map[string]map[string]float64 {
	t.Helper()
	out := map[string]map[string]float64{}
	for _, r := range designRows(t, "designs_R.csv") {
		if out[r[0]] == nil {
			out[r[0]] = map[string]float64{}
		}
		out[r[0]][r[1]] = designNumber(t, r[2])
	}
	return out
}

// oneTotal is the only total of a kind.
func oneTotal(t testing.TB, totals []Total, is func(Total) bool) Total {
	t.Helper()
	var out []Total
	for _, x := range totals {
		if is(x) {
			out = append(out, x)
		}
	}
	require.Len(t, out, 1)
	return out[0]
}

func anyTotal(Total) bool { return true }

func forSpecies(name string) func(Total) bool {
	return func(t Total) bool { return t.Species == name }
}

// sameAs compares an estimate and its standard error with those of R, to 1e-9; a standard error of R that is rounding
// (a total known without error) is 0 here.
func sameAs(t testing.TB, what string, e Estimate, ref map[string]float64, name string) {
	t.Helper()
	v, known := ref[name]
	require.True(t, known, "%s: no reference %s", what, name)
	approx(t, what+" "+name, e.Value, v, 1e-9, 1e-12)
	if se, ok := ref[name+" se"]; ok && v != 0 {
		approx(t, what+" "+name+" se", e.SE, se, 1e-9, 1e-9*math.Abs(v)*1e-3)
	}
}

// scaledBy is an estimate times a factor.
func scaledBy(e Estimate, by float64) Estimate {
	e.Value *= by
	e.SE *= by
	return e
}

// referenceDesigns are those of designs.R that are compared in full.
var referenceDesigns = []string{"random", "sizes", "transects", "unequal", "strata", "stratasizes", "pairs", "nested",
	"crossing", "halfcrossing", "emptystratum", "patchy"}

// Totals, means, covers, covariances, ratios, design effects and degrees of freedom of twelve designs are those of R
// survey 4.1.1 (testdata/designs/designs.R): svytotal, svymean, svyratio on svydesign and postStratify. Tolerance 1e-9.
func TestTotalsAsRSurvey(t *testing.T) {
	all := designReference(t)
	for _, name := range referenceDesigns {
		ref, f := all[name], designFolder(t, name)
		opt := DefaultOptions()
		single := Totals(f, opt, ByBed|BySpecies)
		a, b := oneTotal(t, single, forSpecies("a")), oneTotal(t, single, forSpecies("b"))
		ab := oneTotal(t, Totals(f, opt, ByBed), anyTotal)
		for what, x := range map[string]Total{"a_kg": a, "b_kg": b, "ab_kg": ab} {
			sameAs(t, name, x.Kg, ref, what)
			approx(t, name+what+" deff", x.DesignEffect, ref[what+" deff"], 1e-9, 0)
			approx(t, name+what+" df", x.Kg.DF, ref["df"], 1e-9, 0)
		}
		sameAs(t, name, ab.KgM2, ref, "mean ab_kg")
		sameAs(t, name, a.Cover, ref, "mean a_cover")
		sameAs(t, name, ab.Cover, ref, "mean ab_cover")
		sameAs(t, name, scaledBy(ab.Held, 0.01), ref, "mean ab_held")
		sameAs(t, name, ab.KgM2Held, ref, "held ab_kg")
		cov := (ab.Kg.SE*ab.Kg.SE - a.Kg.SE*a.Kg.SE - b.Kg.SE*b.Kg.SE) / 2
		approx(t, name+" covariance", cov, ref["covariance"], 1e-9, 1e-10*a.Kg.SE*b.Kg.SE)
		assert.Equal(t, []string{"a", "b"}, ab.Summed)
		group := oneTotal(t, Totals(f, opt, ByGroup), anyTotal)
		approx(t, name+" group", group.Kg.SE, ab.Kg.SE, 0, 0)

		ratio := Ratios(f, opt, ByBed, Amount{Of: InKg, Species: "b"}, Amount{Of: InKg, Species: "a"})
		sameAs(t, name, ratio[0].Value, ref, "ratio b a")
		ratio = Ratios(f, opt, ByBed, Amount{Of: InKg}, Amount{Of: InCover})
		sameAs(t, name, scaledBy(ratio[0].Value, 0.01), ref, "ratio kg cover")
	}
}

// Domains are those of subset on R's design objects: quadrats outside stay in the design.
func TestDomainsAsRSurvey(t *testing.T) {
	all := designReference(t)
	for _, name := range referenceDesigns {
		ref, f := all[name], designFolder(t, name)
		opt := DefaultOptions()
		holding := Domain{Holding: "a"}
		ab := oneTotal(t, DomainTotals(f, opt, ByBed, holding), anyTotal)
		sameAs(t, name, ab.Kg, ref, "holding a ab_kg")
		sameAs(t, name, ab.Area, ref, "holding a area")
		approx(t, name+" df", ab.Kg.DF, ref["holding a df"], 1e-9, 0)
		b := oneTotal(t, DomainTotals(f, opt, ByBed|BySpecies, holding), forSpecies("b"))
		sameAs(t, name, b.KgM2, ref, "holding a mean b_kg")
		ratio := Ratios(f, opt, ByBed, Amount{Of: InKg, Species: "b", In: holding}, Amount{Of: InKg, Species: "a", In: holding})
		sameAs(t, name, ratio[0].Value, ref, "holding a ratio")
		b = oneTotal(t, DomainTotals(f, opt, ByBed|BySpecies, Domain{Without: "a"}), forSpecies("b"))
		sameAs(t, name, b.Kg, ref, "without a b_kg")
		for _, x := range Totals(f, opt, ByStratum) {
			if x.Stratum == "" {
				continue
			}
			sameAs(t, name, x.Kg, ref, x.Stratum+" ab_kg")
			sameAs(t, name, x.KgM2, ref, x.Stratum+" mean ab_kg")
			approx(t, name+x.Stratum+" df", x.Kg.DF, ref[x.Stratum+" df"], 0, 0)
			same := oneTotal(t, DomainTotals(f, opt, ByBed, Domain{Stratum: x.Stratum}), anyTotal)
			approx(t, name+x.Stratum, same.Kg.SE, x.Kg.SE, 0, 0)
		}
	}
}

// Three beds of a shore are one design with strata within beds.
func TestShoreAsRSurvey(t *testing.T) {
	ref := designReference(t)["shore"]
	f := designFolder(t, "nested", "transects", "emptystratum")
	opt := DefaultOptions()
	ab := oneTotal(t, Totals(f, opt, ByShore), anyTotal)
	sameAs(t, "shore", ab.Kg, ref, "ab_kg")
	sameAs(t, "shore", ab.KgM2, ref, "mean ab_kg")
	approx(t, "df", ab.Kg.DF, ref["df"], 1e-9, 0)
	approx(t, "deff", ab.DesignEffect, ref["deff"], 1e-9, 0)
	sameAs(t, "shore", oneTotal(t, Totals(f, opt, ByShore|BySpecies), forSpecies("a")).Kg, ref, "a_kg")
	sameAs(t, "shore", oneTotal(t, DomainTotals(f, opt, ByShore, Domain{Holding: "a"}), anyTotal).Kg, ref, "holding a ab_kg")
	ratio := Ratios(f, opt, ByShore, Amount{Of: InKg, Species: "b"}, Amount{Of: InKg, Species: "a"})
	sameAs(t, "shore", ratio[0].Value, ref, "ratio b a")
	assert.Equal(t, []string{"emptystratum", "nested", "transects"}, ab.Beds)
}

// One quadrat and one transect give a total but no standard error; all zeros give 0 without error or bounds.
func TestTotalsOfOddDesigns(t *testing.T) {
	all := designReference(t)
	for _, name := range []string{"onequadrat", "onetransect"} {
		ab := oneTotal(t, Totals(designFolder(t, name), DefaultOptions(), ByBed), anyTotal)
		sameAs(t, name, ab.Kg, all[name], "ab_kg")
		assert.True(t, ab.Kg.OK && math.IsNaN(ab.Kg.SE) && math.IsNaN(ab.Kg.Lo), name)
		assert.True(t, slices.Contains(ab.Warnings, "one sampling unit: no standard error"), "%q", ab.Warnings)
	}
	ab := oneTotal(t, Totals(designFolder(t, "zeros"), DefaultOptions(), ByBed), anyTotal)
	assert.True(t, ab.Kg.OK && ab.Kg.Value == 0 && math.IsNaN(ab.Kg.SE) && math.IsNaN(ab.Kg.Hi))
	assert.Equal(t, 0, ab.QuadratsWith)
	assert.Contains(t, ab.Warnings, "none found")
	empty := oneTotal(t, DomainTotals(designFolder(t, "zeros"), DefaultOptions(), ByBed, Domain{Holding: "a"}), anyTotal)
	assert.Equal(t, NotEstimable, empty.Status)
	assert.False(t, empty.Kg.OK)
	assert.Equal(t, "no quadrat of the domain (holding a)", empty.Reason)
}

// Strata of one unit as survey.lonely.psu says for the mean, times the area, with and without fpc.
func TestLonelyTotalsAsRSurvey(t *testing.T) {
	all := designReference(t)
	for _, name := range []string{"lonely", "lonelyquadrats"} {
		for _, how := range []string{"adjust", "average", "certainty"} {
			opt := DefaultOptions()
			opt.Lonely = how
			ab := oneTotal(t, Totals(designFolder(t, name), opt, ByBed), anyTotal)
			sameAs(t, name, ab.Kg, all[name], how+" ab_kg")
			opt.FPC = true
			ab = oneTotal(t, Totals(designFolder(t, name), opt, ByBed), anyTotal)
			approx(t, name+how+" fpc", ab.Kg.SE, all[name][how+" fpc ab_kg se"], 1e-9, 0)
		}
		opt := DefaultOptions()
		opt.Lonely = "fail"
		ab := oneTotal(t, Totals(designFolder(t, name), opt, ByBed), anyTotal)
		assert.Equal(t, NotEstimable, ab.Status)
		assert.Contains(t, ab.Reason, "lay at least two there")
		strata := Totals(designFolder(t, name), DefaultOptions(), ByStratum)
		high := oneTotal(t, strata, func(x Total) bool { return x.Stratum == "high" })
		assert.True(t, high.Kg.OK && math.IsNaN(high.Kg.SE), "a stratum of one unit alone has no standard error")
	}
}

// A stratum of one unit says nothing of another stratum: that has the error it has without it.
func TestLonelyStratumOutsideTheDomain(t *testing.T) {
	in := func(x Total) bool { return x.Stratum == "mid" }
	mid := oneTotal(t, Totals(designFolder(t, "lonely"), DefaultOptions(), ByStratum), in)
	rows := slices.DeleteFunc(designQuads(t, "lonely", "A"), func(q quad) bool { return q.stratum == "high" })
	f := folderOf([]Bed{bedOf("A", 41)}, rows)
	f.Strata = []Stratum{{Bed: "A", Stratum: "mid", Area: 16}, {Bed: "A", Stratum: "low", Area: 25}}
	alone := oneTotal(t, Totals(f, DefaultOptions(), ByStratum), in)
	for what, e := range map[string][2]Estimate{"kg": {mid.Kg, alone.Kg}, "kg/m2": {mid.KgM2, alone.KgM2}, "area": {mid.Area, alone.Area}} {
		approx(t, what, e[0].Value, e[1].Value, 1e-12, 0)
		approx(t, what+" se", e[0].SE, e[1].SE, 1e-12, 0)
		approx(t, what+" df", e[0].DF, e[1].DF, 1e-12, 0)
	}
}

// The correction 1 - n/N, N the area over the size of a quadrat, is that of svydesign(fpc =). Transects get none and say so.
func TestFPCAsRSurvey(t *testing.T) {
	all := designReference(t)
	opt := DefaultOptions()
	opt.FPC = true
	for _, name := range []string{"random", "strata"} {
		f := designFolder(t, name)
		sameAs(t, name, oneTotal(t, Totals(f, opt, ByBed), anyTotal).Kg, all[name], "fpc ab_kg")
		sameAs(t, name, oneTotal(t, DomainTotals(f, opt, ByBed, Domain{Holding: "a"}), anyTotal).Kg, all[name], "fpc holding a ab_kg")
		ratio := Ratios(f, opt, ByBed, Amount{Of: InKg, Species: "b"}, Amount{Of: InKg, Species: "a"})
		sameAs(t, name, ratio[0].Value, all[name], "fpc ratio b a")
	}
	plain := oneTotal(t, Totals(designFolder(t, "nested"), DefaultOptions(), ByBed), anyTotal)
	ab := oneTotal(t, Totals(designFolder(t, "nested"), opt, ByBed), anyTotal)
	approx(t, "transects", ab.Kg.SE, plain.Kg.SE, 0, 0)
	assert.True(t, slices.ContainsFunc(ab.Warnings, func(w string) bool { return strings.Contains(w, "correction not applied") }))
	assert.True(t, warns(only(t, Stocks(designFolder(t, "nested"), opt), "nested", "a", "2024"), "correction not applied"))
}

// Degrees of freedom from the variances of the strata: by hand in designs.R.
func TestSatterthwaiteOnRequest(t *testing.T) {
	opt := DefaultOptions()
	opt.DF = "satterthwaite"
	ab := oneTotal(t, Totals(designFolder(t, "strata"), opt, ByBed), anyTotal)
	approx(t, "df", ab.Kg.DF, designReference(t)["strata"]["satterthwaite df"], 1e-9, 0)
	assert.Less(t, ab.Kg.DF, oneTotal(t, Totals(designFolder(t, "strata"), DefaultOptions(), ByBed), anyTotal).Kg.DF)
}

// Replicate weights (subbootstrap, 4000 replicates) see about the linearised error: a rough check, 15 %.
func TestTotalsNearBootstrap(t *testing.T) {
	a := oneTotal(t, Totals(designFolder(t, "nested"), DefaultOptions(), ByBed|BySpecies), forSpecies("a"))
	approx(t, "se", a.Kg.SE, designReference(t)["nested"]["bootstrap a_kg se"], 0.15, 0)
}
