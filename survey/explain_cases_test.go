package survey

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// onlyExplained is the one explanation of Fucus on bed A.
func onlyExplained(t *testing.T, f *Folder) Explanation {
	t.Helper()
	all := explained(t, f, DefaultOptions())
	require.NotEmpty(t, all)
	followed(t, all[0])
	return all[0]
}

// By hand as TestStockByHand: densities 2, 2 and 0 kg/m2 on 100 m2; Z = 100/3 (y - 4/3), V = 3/2 Σ Z² = 200²/9.
func TestExplainByHand(t *testing.T) {
	rows := []quad{clipped("A", "", "1", "Fucus", testDay, 50, 500), clipped("A", "", "2", "Fucus", testDay, 40, 250),
		seen("A", "", "3", "", testDay, 0)}
	rows[1].weighed = 0.125
	x := onlyExplained(t, folderOf([]Bed{bedOf("A", 100)}, rows))
	assert.Equal(t, "quadrat", x.Unit)
	approx(t, "m2", x.SampledM2, 0.75, 0, 0)
	require.Len(t, x.Units, 3)
	assert.Equal(t, []string{"1", "2", "3"}, []string{x.Units[0].Label, x.Units[1].Label, x.Units[2].Label})
	approx(t, "z", x.Units[0].Z, 200./9, 1e-14, 0)
	approx(t, "z of none", x.Units[2].Z, -400./9, 1e-14, 0)
	approx(t, "v", x.Parts[0].V, 40000./9, 1e-13, 0)
	assert.Len(t, x.Parts, 1)
	h := x.Strata[0]
	assert.Equal(t, [4]int{3, 3, 2, 2}, [4]int{h.Units, h.Quadrats, h.With, h.Weighed})
	approx(t, "cover", h.Cover, 30, 1e-14, 0)
	approx(t, "converted", x.Conversion.Converted, 0, 0, 0)
}

// k = 0.05 kg/m2 per percent, exact: nothing is left of the weighed, and B = k X.
func TestExplainOwnRatio(t *testing.T) {
	x := onlyExplained(t, folderOf([]Bed{bedOf("A", 100)}, grid("A", "Fucus", testDay, steps, 10, 0.05)))
	c := x.Conversion
	require.Equal(t, "ratio", c.Model)
	require.Len(t, c.Params, 1)
	approx(t, "k", c.Params[0].Value, 0.05, 1e-12, 0)
	approx(t, "X", c.X, 100*590./12, 1e-12, 0)
	approx(t, "B", c.Converted, x.Stock.Kg.Value, 1e-12, 0)
	assert.Equal(t, [2]int{10, 10}, [2]int{c.Pairs, c.Units})
	assert.Equal(t, 8.0, c.VKDF)
	assert.Equal(t, PartWeighing, x.Parts[1].Kind)
}

// A conversion that the species table gives, a bed with an uncertain area and quadrats without weight.
func TestExplainGiven(t *testing.T) {
	f := folderOf([]Bed{bedOf("A", 100)}, grid("A", "Fucus", testDay, steps, 0, 0))
	f.Beds[0].Periods[0].AreaSE = Some(10)
	f.Species = []Species{{Name: "Fucus", CoverA: Some(0.05)}}
	x := onlyExplained(t, f)
	require.Len(t, x.Parts, 3)
	assert.Equal(t, []string{PartSampling, PartGiven, PartArea}, []string{x.Parts[0].Kind, x.Parts[1].Kind, x.Parts[2].Kind})
	approx(t, "given", math.Sqrt(x.Parts[1].V), 0.5*x.Stock.Kg.Value, 1e-12, 0)
	approx(t, "cv", x.Conversion.CV, 0.5, 0, 0)
	assert.NotEmpty(t, x.Parts[1].ID)
	approx(t, "all of it", x.Conversion.Converted, x.Stock.Kg.Value, 1e-12, 0)
}

// What has no number says what to measure: nothing weighed, one sampling unit, a stratum not visited.
func TestExplainSaysWhatToMeasure(t *testing.T) {
	none := onlyExplained(t, folderOf([]Bed{bedOf("A", 100)}, grid("A", "Fucus", testDay, steps, 0, 0)))
	assert.Contains(t, none.Next, "weigh at least 10 quadrats")
	assert.True(t, math.IsNaN(none.Strata[0].KgM2))
	approx(t, "cover is there", none.Strata[0].Cover, 590./12, 1e-12, 0)

	one := onlyExplained(t, folderOf([]Bed{bedOf("A", 100)}, []quad{clipped("A", "", "1", "Fucus", testDay, 50, 500)}))
	assert.Contains(t, one.Next, "place at least two quadrats in every stratum")
	assert.Empty(t, one.Parts)

	rows := grid("A", "Fucus", testDay, steps, 12, 0.05)
	for i := range rows {
		rows[i].stratum = "low"
	}
	f := folderOf([]Bed{bedOf("A", 100)}, rows)
	f.Strata = []Stratum{{Bed: "A", Stratum: "high", Area: 40}, {Bed: "A", Stratum: "low", Area: 60}}
	part := onlyExplained(t, f)
	assert.Equal(t, SurveyedPart, part.Stock.Status)
	assert.Equal(t, []string{"high"}, part.Unvisited)
	assert.Equal(t, "visit stratum high", part.Next)

	assert.Empty(t, Explain(f, DefaultOptions(), "A", "Ulva"))
	assert.Empty(t, Explain(f, DefaultOptions(), "B", "Fucus"))
}

// A power model fitted to two beds gives what was not weighed on a third: the scale times the model, summed.
func TestExplainWideModel(t *testing.T) {
	var rows []quad
	for b, bed := range []string{"A", "B", "C"} {
		for i, c := range steps {
			q := seen(bed, "", name("q", i), "Fucus", testDay, c)
			if weighed := b > 0 || i < 2; weighed {
				q.grams = 0.01 * math.Pow(c, 1.5) * (1 + 0.1*math.Sin(float64(7*i+b))) * q.m2 * 1000
			}
			rows = append(rows, q)
		}
	}
	opt := DefaultOptions()
	opt.Conversion = byPower
	f := folderOf([]Bed{bedOf("A", 100), bedOf("B", 100), bedOf("C", 100)}, rows)
	all := Explain(f, opt, "A", "Fucus")
	require.Len(t, all, 1)
	followed(t, all[0])
	c := all[0].Conversion
	require.Equal(t, []string{byPower, "shore and year"}, []string{c.Model, c.Domain})
	param := map[string]float64{}
	for _, p := range c.Params {
		param[p.Name] = p.Value
	}
	sum := 0.0
	for _, x := range steps[2:] {
		sum += 100. / 12 * c.Scale * param["a"] * param["smearing"] * math.Pow(x, param["b"])
	}
	approx(t, "converted", c.Converted, sum, 1e-12, 0)
	approx(t, "near the truth", param["b"], 1.5, 0, 0.1)
	assert.Equal(t, 3, c.Beds)
	assert.Equal(t, []string{PartSampling, PartCalibration, PartBeds}, []string{all[0].Parts[0].Kind, all[0].Parts[1].Kind, all[0].Parts[2].Kind})
}

// A species looked for and not found has 0 kg from every stratum.
func TestExplainNoneFound(t *testing.T) {
	f := folderOf([]Bed{bedOf("A", 100)}, []quad{seen("A", "", "1", "", testDay, 0), seen("A", "", "2", "", testDay, 0)})
	f.Surveys = []Declared{{Bed: "A", Survey: "spring", From: testDay, To: testDay, Sought: []string{"Fucus"}}}
	x := onlyExplained(t, f)
	assert.Empty(t, x.Parts)
	approx(t, "kg/m2", x.Strata[0].KgM2, 0, 0, 0)
	assert.Equal(t, 2, x.Strata[0].Quadrats)
}

func TestExplainPanics(t *testing.T) {
	assert.Panics(t, func() { Explain(&Folder{}, Options{}, "A", "Fucus") })
}

// Weight from the lengths of fronds: checked against weighed quadrats, by the survey's own fronds alone, and by those of
// another bed, whose error other stocks share.
func TestExplainFronds(t *testing.T) {
	kinds := func(x Explanation) (out []string) {
		for _, p := range x.Parts {
			out = append(out, p.Kind)
		}
		return out
	}
	f, _ := counted40(15)
	checked := onlyExplained(t, f)
	assert.Equal(t, []string{byAllometry, "survey"}, []string{checked.Conversion.Model, checked.Conversion.Domain})
	assert.Equal(t, []string{PartSampling, PartWeighing, PartCurve}, kinds(checked))
	assert.Equal(t, 15, checked.Conversion.Pairs)

	f, _ = counted40(0)
	f.Surveys = []Declared{{Bed: "A", Survey: "spring", From: testDay, To: testDay, Protocol: "all fronds"}}
	alone := onlyExplained(t, f)
	assert.Equal(t, []string{PartSampling, PartCurve}, kinds(alone))
	assert.Empty(t, alone.Parts[1].ID)
	approx(t, "all from lengths", alone.Conversion.Converted, alone.Stock.Kg.Value, 1e-12, 0)

	g, _ := counted40(0)
	for i := range f.Fronds.Wet {
		f.Fronds.Wet[i] = math.NaN()
	}
	for i := range g.Fronds.Wet {
		addFrond(&f.Fronds, 0, 0, f.Fronds.Species[0], g.Fronds.Length[i], g.Fronds.Wet[i])
	}
	other := onlyExplained(t, f)
	assert.Equal(t, []string{PartSampling, PartCurve}, kinds(other))
	assert.Equal(t, "fronds|Fucus", other.Parts[1].ID)
	assert.Equal(t, "fronds|Fucus", other.Conversion.ID)
}
