package survey

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"
)

// Three transects of two weighed quadrats, worked by hand: means 2, 4, 9 kg/m2 with variance 13; within 2, 2, 8 with mean
// 4, so that the transects' own variance is 13 - 4/2 = 11.
func TestComponentsByHand(t *testing.T) {
	var rows []quad
	for i, kg := range [][2]float64{{1, 3}, {3, 5}, {7, 11}} {
		for j, y := range kg {
			rows = append(rows, clipped("A", name("T", i), name("q", j), "Fucus", testDay, 50, 250*y))
		}
	}
	all := VarianceComponents(folderOf([]Bed{bedOf("A", 100)}, rows), DefaultOptions())
	require.Len(t, all, 1)
	require.Len(t, all[0].Groups, 1)
	g := all[0].Groups[0]
	approx(t, "mean", g.Mean, 5, 1e-12, 0)
	approx(t, "means", g.Means, 13, 1e-12, 0)
	approx(t, "within", g.Within, 4, 1e-12, 0)
	approx(t, "per mean", g.PerMean, 2, 1e-12, 0)
	approx(t, "df", g.MeansDF, 2, 0, 0)
	approx(t, "df within", g.WithinDF, 3, 0, 0)
	require.True(t, all[0].Transects)
	// The stock's own error is that of the same means: A² 13/3.
	approx(t, "se", all[0].Stock.Kg.SE, 100*math.Sqrt(13.0/3), 1e-12, 0)
}

// trueComponents are the variances between the true means of transects, less what 20 quadrats add, and within, by
// stratum.
func (s *shore) trueComponents() (between, within [3]float64) {
	for h := range 3 {
		var means []float64
		for _, kg := range s.kg[h] {
			within[h] += variance(kg) / float64(len(s.kg[h]))
			means = append(means, mean(kg))
		}
		between[h] = variance(means) - within[h]/20
	}
	return between, within
}

// Over 400 surveys the mean components are those of the population: where all was weighed within 6 % of the true ones for
// those within transects and 20 % between (each is a small difference, with a Monte Carlo error of 5 to 10 %), where 40
// of 100 were, and cover tells the rest, within 10 % and 35 %.
func TestComponentsOfAPopulation(t *testing.T) {
	for _, weighed := range []float64{1, 0.4} {
		tolWithin, tolBetween := 0.06, 0.2
		if weighed < 1 {
			tolWithin, tolBetween = 0.1, 0.35
		}
		rng := newStream(12, "components")
		pop := newShore(rng, [3]float64{900, 1600, 2500})
		between, within := pop.trueComponents()
		var b, w [3]float64
		const surveys = 400
		for range surveys {
			f := folderOf([]Bed{bedOf("A", 5000)}, pop.sample(rng, weighed))
			f.Strata = threeStrata()
			c := VarianceComponents(f, DefaultOptions())[0]
			require.Empty(t, c.Reason)
			for k, h := range []int{0, 2, 1} { // high, low, mid: by label
				g := c.Groups[k]
				require.Equal(t, []string{[]string{"high", "mid", "low"}[h]}, g.Strata)
				w[h] += g.Within / surveys
				b[h] += (g.Means - g.Within/g.PerMean) / surveys
			}
		}
		for h := range 3 {
			approx(t, name("within ", h), w[h], within[h], tolWithin, 0)
			approx(t, name("between ", h), b[h], between[h], tolBetween, 0)
		}
		t.Logf("weighed %g: between %.3g of %.3g, within %.3g of %.3g", weighed, b, between, w, within)
	}
}

// Transects that cross strata form one group; quadrats without transects have no variance between.
func TestComponentsOfGroups(t *testing.T) {
	var rows, loose []quad
	for i := range 4 {
		for j, label := range []string{"high", "mid"} {
			for k := range 2 {
				r := clipped("A", name("T", i), name(label, k), "Fucus", testDay, 50, 250*float64(1+i+3*j+k))
				r.stratum = label
				rows = append(rows, r)
				r.transect, r.quadrat = "", name(r.quadrat, i)
				loose = append(loose, r)
			}
		}
	}
	strata := []Stratum{{Bed: "A", Stratum: "high", Area: 25}, {Bed: "A", Stratum: "mid", Area: 75}}
	f := folderOf([]Bed{bedOf("A", 100)}, rows)
	f.Strata = strata
	c := VarianceComponents(f, DefaultOptions())[0]
	require.Len(t, c.Groups, 1)
	g := c.Groups[0]
	require.Equal(t, []string{"high", "mid"}, g.Strata)
	require.Equal(t, []float64{0.25, 0.75}, g.Shares)
	approx(t, "mean", g.Mean, 0.25*3+0.75*6, 1e-12, 0)
	approx(t, "means", g.Means, variance([]float64{0, 1, 2, 3}), 1e-12, 0)
	approx(t, "within", g.Within, 0.5, 1e-12, 0)
	approx(t, "per mean", g.PerMean, 1/(0.25*0.25/2+0.75*0.75/2), 1e-12, 0)

	f = folderOf([]Bed{bedOf("A", 100)}, loose)
	f.Strata = strata
	c = VarianceComponents(f, DefaultOptions())[0]
	require.False(t, c.Transects)
	require.Len(t, c.Groups, 2)
	require.True(t, math.IsNaN(c.Groups[0].Means))
	approx(t, "all of it", c.Groups[0].Within, variance([]float64{1, 2, 2, 3, 3, 4, 4, 5}), 1e-12, 0)
}

// What was weighed nowhere, or too few times, says why there is nothing to plan from.
func TestComponentsNotToBeHad(t *testing.T) {
	rows := []quad{seen("A", "T1", "q1", "Fucus", testDay, 30), seen("A", "T1", "q2", "Fucus", testDay, 50), seen("A", "T2", "q1", "Fucus", testDay, 20)}
	c := VarianceComponents(folderOf([]Bed{bedOf("A", 100)}, rows), DefaultOptions())[0]
	require.Nil(t, c.Groups)
	require.Equal(t, "nothing weighed", c.Reason)
	require.Zero(t, c.RestDF)
}
