package survey

import (
	"fmt"
	"math"
	"testing"

	"github.com/stretchr/testify/require"
)

// publishedFolder is a sample of published.R as a bed: an element is a quadrat of 1 m2, a stratum's area the number of
// its elements (the sum of the weights), enrolment, students tested and score the kg of species.
func publishedFolder(t testing.TB, sample string, equal bool) *Folder {
	t.Helper()
	var rows []quad
	area := map[string]float64{}
	var order []string
	for i, r := range designRows(t, "published.csv") {
		if r[0] != sample {
			continue
		}
		stratum, w := r[1], designNumber(t, r[3])
		if equal {
			w = 1
		}
		if area[stratum] == 0 {
			order = append(order, stratum)
		}
		area[stratum] += w
		for k, species := range []string{"enroll", "api_stu", "api00"} {
			v := designNumber(t, r[4+k])
			q := clipped("A", r[2], fmt.Sprint("q", i), species, testDay, 1, 1000*v)
			q.stratum, q.m2 = stratum, 1
			rows = append(rows, q)
		}
		if designNumber(t, r[6]) > 600 {
			q := clipped("A", r[2], fmt.Sprint("q", i), "above 600", testDay, 1, 1)
			q.stratum, q.m2 = stratum, 1
			rows = append(rows, q)
		}
	}
	require.NotEmpty(t, rows)
	all := 0.0
	for _, stratum := range order {
		all += area[stratum]
	}
	f := folderOf([]Bed{bedOf("A", all)}, rows)
	for _, stratum := range order {
		if len(order) > 1 {
			f.Strata = append(f.Strata, Stratum{Bed: "A", Stratum: stratum, Area: area[stratum]})
		}
	}
	return f
}

func publishedReference(t testing.TB) map[string]float64 {
	out := map[string]float64{}
	for _, r := range designRows(t, "published_R.csv") {
		out[r[0]] = designNumber(t, r[1])
	}
	return out
}

// printed holds a value against one that R survey printed with so many digits.
func printed(t testing.TB, what string, got, want, half float64) {
	t.Helper()
	approx(t, what+" as printed", got, want, 0, half)
}

// Stratified and simple random samples of schools with finite population correction: the examples of R survey
// (svydesign, svytotal, svymean, svyratio on data(api)), to 1e-9 of R and to the digits printed.
func TestPublishedElementSamples(t *testing.T) {
	ref, opt := publishedReference(t), DefaultOptions()
	opt.FPC = true
	f := publishedFolder(t, "strat", false)
	by := Totals(f, opt, ByBed|BySpecies)
	enroll, score := oneTotal(t, by, forSpecies("enroll")), oneTotal(t, by, forSpecies("api00"))
	sameAs(t, "strat", enroll.Kg, ref, "strat enroll")
	printed(t, "strat enroll", enroll.Kg.Value, 3687177.532, 0.0005)
	printed(t, "strat enroll se", enroll.Kg.SE, 114641.7161, 0.00005)
	sameAs(t, "strat", score.KgM2, ref, "strat api00")
	printed(t, "strat api00", score.KgM2.Value, 662.2873632, 5e-8)
	printed(t, "strat api00 se", score.KgM2.SE, 9.40894, 5e-6)
	tested, all := Amount{Of: InKg, Species: "api_stu"}, Amount{Of: InKg, Species: "enroll"}
	ratio := Ratios(f, opt, ByBed, tested, all)[0].Value
	sameAs(t, "strat", ratio, ref, "strat ratio")
	printed(t, "ratio", ratio.Value, 0.836956886941, 5e-13)
	printed(t, "ratio se", ratio.SE, 0.00775710316664, 5e-12) // the area is the sum of weights given to 15 digits
	tested.In, all.In = Domain{Holding: "above 600"}, Domain{Holding: "above 600"}
	sameAs(t, "strat", Ratios(f, opt, ByBed, tested, all)[0].Value, ref, "strat ratio above 600")
	in := oneTotal(t, Totals(f, opt, ByStratum|BySpecies), func(x Total) bool { return x.Species == "enroll" && x.Stratum == "E" })
	sameAs(t, "strat", in.Kg, ref, "strat E enroll")
	plain := oneTotal(t, Totals(f, DefaultOptions(), ByBed|BySpecies), forSpecies("enroll"))
	approx(t, "deff", plain.DesignEffect, ref["strat deff"], 1e-9, 0)

	f = publishedFolder(t, "srs", false)
	by = Totals(f, opt, ByBed|BySpecies)
	sameAs(t, "srs", oneTotal(t, by, forSpecies("enroll")).Kg, ref, "srs enroll")
	printed(t, "srs se", oneTotal(t, by, forSpecies("enroll")).Kg.SE, 169519.6543, 0.00005)
	printed(t, "srs mean se", oneTotal(t, by, forSpecies("api00")).KgM2.SE, 9.24972, 5e-6)
	plain = oneTotal(t, Totals(f, DefaultOptions(), ByBed|BySpecies), forSpecies("api00"))
	sameAs(t, "srs", plain.KgM2, ref, "srs api00 without fpc")
	printed(t, "srs mean se without", plain.KgM2.SE, 9.40277, 5e-6)

	births := oneTotal(t, Totals(publishedFolder(t, "hospital", false), opt, ByBed|BySpecies), forSpecies("enroll"))
	sameAs(t, "hospital", births.Kg, ref, "hospital births fpc")
	printed(t, "births", births.Kg.Value, 183983, 1e-6)
	printed(t, "births se", births.Kg.SE, 34014.34988, 5e-6)
}

// Clusters of schools, 15 of 757: the mean is that of the clusters' sums over their sizes. The correction for clusters
// is not ours to make (how many transects a bed would hold is not known); with it made by hand R's printed errors come
// out, also that of the expansion total, whose parts are not centred by size.
func TestPublishedClusterSamples(t *testing.T) {
	ref, opt := publishedReference(t), DefaultOptions()
	f := publishedFolder(t, "clus1", false)
	score := oneTotal(t, Totals(f, opt, ByBed|BySpecies), forSpecies("api00"))
	sameAs(t, "clus1", score.KgM2, ref, "clus1 api00 without fpc")
	approx(t, "df", score.Kg.DF, ref["clus1 df"], 1e-9, 0)
	approx(t, "deff", score.DesignEffect, ref["clus1 deff"], 1e-9, 0)
	fpc := math.Sqrt(1 - 15/757.)
	printed(t, "mean", score.KgM2.Value, 644.1693989, 5e-8)
	printed(t, "se", score.KgM2.SE*fpc, 23.54224, 5e-6)

	s := newTotaler(f, opt).visits[0]
	parts, weight, all := make([]float64, s.design.units), designNumber(t, designRows(t, "published.csv")[400][3]), 0.0
	for _, at := range s.species[speciesID(f, "enroll")] {
		v := weight * f.Quadrats.Biomass[at.row] / 1000
		parts[s.design.unit[at.quad]] += v
		all += v
	}
	approx(t, "expansion total", all, ref["clus1 enroll"], 1e-9, 0)
	printed(t, "its se", math.Sqrt(s.design.cov(parts, parts))*fpc, 932235.027, 0.0005)

	f = publishedFolder(t, "clus2", true)
	sameAs(t, "clus2", oneTotal(t, Totals(f, opt, ByBed|BySpecies), forSpecies("api00")).KgM2, ref, "clus2 api00 equal weights")
	ratio := Ratios(f, opt, ByBed, Amount{Of: InKg, Species: "api_stu"}, Amount{Of: InKg, Species: "enroll"})
	sameAs(t, "clus2", ratio[0].Value, ref, "clus2 ratio")
}

// Dead trees counted on photos of 100 plots (mean 11.3) and in the field on 25 (Lohr, Sampling: Design and Analysis,
// data deadtrees as printed by R's SDaA): regression line and estimate, to the digits printed there.
func TestPublishedRegression(t *testing.T) {
	photo := []float64{10, 12, 7, 13, 13, 6, 17, 16, 15, 10, 14, 12, 10, 5, 12, 10, 10, 9, 6, 11, 7, 9, 11, 10, 10}
	field := []float64{15, 14, 9, 14, 8, 5, 18, 15, 13, 15, 11, 15, 12, 8, 13, 9, 11, 12, 9, 12, 13, 11, 10, 9, 8}
	line, ok := leastSquares(field, photo)
	require.True(t, ok)
	printed(t, "intercept", line.meanY-line.slope*line.meanX, 5.059292035398, 5e-13)
	printed(t, "slope", line.slope, 0.613274336283, 5e-13)
	printed(t, "estimate", line.meanY+line.slope*(11.3-line.meanX), 11.9892920354, 5e-11)
	printed(t, "se", math.Sqrt(line.rss/23/25*(1-25/100.)), 0.41675794819, 5e-12)
	printed(t, "se, divisor n - 1", math.Sqrt(line.rss/24/25*(1-25/100.)), 0.407983113914, 5e-13)
	e := TwoPhaseRegression(field, photo, []float64{11.3}, false)
	printed(t, "as two phases", e.Value, 11.9892920354, 5e-11)
}
