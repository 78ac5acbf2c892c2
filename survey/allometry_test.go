package survey

import (
	"math"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Weight on length of testdata/convert/fronds.csv: R's lm, the sandwich variance between quadrats, and the sum over one
// quadrat (testdata/convert/convert.R), 1e-9.
func TestAllometryAgainstR(t *testing.T) {
	ref := convertReference(t)
	var fr Fronds
	for _, rec := range readTable(t, "convert/fronds.csv")[1:] {
		addFrond(&fr, 1, uint32(number(t, rec[0])), 1, number(t, rec[1]), number(t, rec[2]))
	}
	rows := frondRows(&Folder{Fronds: fr})[1]
	var a allometry
	require.True(t, a.fit(&fr, rows))
	approx(t, "a", math.Exp(a.a), ref["frond a"], 1e-9, 0)
	approx(t, "b", a.b, ref["frond b"], 1e-9, 0)
	approx(t, "s2", a.s2, ref["frond s2"], 1e-9, 0)
	approx(t, "smearing", a.smearing, ref["frond smearing"], 1e-9, 0)
	approx(t, "baskerville", a.baskerville, ref["frond baskerville"], 1e-9, 0)
	approx(t, "se of b", math.Sqrt(a.cov[1][1]), ref["frond b se"], 1e-9, 0)
	approx(t, "df", a.df, 11, 0, 0)
	s := &fieldwork{design: &design{m2: []float64{0.5, 0.5}}, quads: make([]quadKey, 2)}
	var mine []placed
	for _, row := range rows {
		if fr.Quadrat[row] == 5 {
			mine = append(mine, placed{row, 1})
		}
	}
	a.sum(s, &fr, mine)
	approx(t, "quadrat 5", a.kg[1], ref["frond quadrat 5 g"]/1000/0.5, 1e-9, 0)
	assert.True(t, math.IsNaN(a.kg[0]))
}

func addFrond(fr *Fronds, bed, quadrat, species uint32, cm, g float64) {
	fr.Bed, fr.Stratum, fr.Transect = append(fr.Bed, bed), append(fr.Stratum, 0), append(fr.Transect, 0)
	fr.Quadrat, fr.Species, fr.Stage = append(fr.Quadrat, quadrat), append(fr.Species, species), append(fr.Stage, 0)
	fr.Day, fr.Length, fr.Wet = append(fr.Day, testDay), append(fr.Length, cm), append(fr.Wet, g)
	fr.Line = append(fr.Line, int32(len(fr.Line)+2))
}

// counted40 is a bed of 40 quadrats, all fronds of each measured and every third frond weighed. Weight goes with the
// square of length, cover hardly with weight. Of the quadrats so many are weighed whole.
func counted40(weighed int) (*Folder, float64) {
	rng := newStream(8, "fronds")
	var rows []quad
	fronds := make([][]float64, 40)
	truth := 0.0
	for i := range 40 {
		q := seen("A", "", name("q", 10+i), "Fucus", testDay, math.Round(20+60*rng.Float64()))
		sum := 0.0
		for range 3 + rng.IntN(12) {
			cm := 40 * math.Exp(0.3*rng.NormFloat64())
			fronds[i] = append(fronds[i], cm)
			sum += 0.05 * cm * cm
		}
		if i < weighed {
			q.grams = sum
		}
		truth += sum / 0.25 / 1000 / 40 * 1000
		rows = append(rows, q)
	}
	f := folderOf([]Bed{bedOf("A", 1000)}, rows)
	id := func(s string) uint32 { i, _ := slices.BinarySearch(f.Names, s); return uint32(i) }
	for i, ls := range fronds {
		for j, cm := range ls {
			g := math.NaN()
			if j%3 == 0 {
				g = 0.05 * cm * cm * math.Exp(0.1*rng.NormFloat64())
			}
			addFrond(&f.Fronds, id("A"), id(name("q", 10+i)), id("Fucus"), cm, g)
		}
	}
	return f, truth
}

// All fronds measured and 15 quadrats weighed whole: their sums leave the smallest error by far.
func TestAllometryChosen(t *testing.T) {
	f, truth := counted40(15)
	s := only(t, Stocks(f, DefaultOptions()), "A", "Fucus", "2024")
	assert.Equal(t, byAllometry, s.Conversion)
	assert.Equal(t, "survey", s.Domain)
	approx(t, "kg", s.Kg.Value, truth, 0.03, 0)
	assert.LessOrEqual(t, math.Abs(s.Kg.Value-truth), s.Kg.Hi-s.Kg.Value)
	require.Len(t, s.Candidates, 5)
	assert.True(t, s.Candidates[4].Chosen)
	approx(t, "b", param(t, s.Candidates[4], "b"), 2, 0, 0.1)

	// Fronds of one quadrat were not measured: the sums do not tell what stands there.
	last := f.Fronds.Quadrat[len(f.Fronds.Quadrat)-1]
	for i, q := range f.Fronds.Quadrat {
		if q == last {
			f.Fronds.Length[i] = math.NaN()
		}
	}
	s = only(t, Stocks(f, DefaultOptions()), "A", "Fucus", "2024")
	assert.NotEqual(t, byAllometry, s.Conversion)
	assert.Equal(t, "no frond measured in 1 quadrat holding it: measure all fronds in each", s.Candidates[4].Note)
}

// A few fronds of each quadrat do not add up to what stands there, and are not taken for it.
func TestAllometryOfSomeFronds(t *testing.T) {
	f, _ := counted40(15)
	for i := range f.Fronds.Length {
		if i > 0 && i%4 != 0 && f.Fronds.Quadrat[i] == f.Fronds.Quadrat[i-1] {
			f.Fronds.Length[i] = math.NaN()
		}
	}
	s := only(t, Stocks(f, DefaultOptions()), "A", "Fucus", "2024")
	assert.NotEqual(t, byAllometry, s.Conversion)
}

// Nothing weighed whole: fronds give a stock only where the protocol or the rules say that all were measured.
func TestAllometryAlone(t *testing.T) {
	f, truth := counted40(0)
	s := only(t, Stocks(f, DefaultOptions()), "A", "Fucus", "2024")
	assert.Equal(t, NotEstimable, s.Status)
	assert.Equal(t, "nothing weighed", s.Reason)

	f.Surveys = []Declared{{Bed: "A", Survey: "spring", From: testDay, To: testDay, Protocol: "All fronds measured; permanent transects"}}
	s = only(t, Stocks(f, DefaultOptions()), "A", "Fucus", "spring")
	assert.Equal(t, byAllometry, s.Conversion)
	approx(t, "kg", s.Kg.Value, truth, 0.03, 0)
	assert.True(t, warns(s, "not checked against weighed quadrats"))
	assert.Empty(t, s.Shared)

	f.Surveys = nil
	opt := DefaultOptions()
	opt.Conversion = byAllometry
	asked := only(t, Stocks(f, opt), "A", "Fucus", "2024")
	assert.Equal(t, s.Kg, asked.Kg)

	// No frond weighed here: the relation comes from another bed and its error is shared.
	g, _ := counted40(0)
	f.Fronds.Wet = make([]float64, len(f.Fronds.Wet))
	for i := range f.Fronds.Wet {
		f.Fronds.Wet[i] = math.NaN()
	}
	for i := range g.Fronds.Wet {
		addFrond(&f.Fronds, 0, 0, f.Fronds.Species[0], g.Fronds.Length[i], g.Fronds.Wet[i])
	}
	other := only(t, Stocks(f, opt), "A", "Fucus", "2024")
	assert.Equal(t, "species", other.Domain)
	require.Len(t, other.Shared, 1)
	assert.Equal(t, "fronds|Fucus", other.Shared[0].ID)
	approx(t, "same fronds", other.Kg.Value, s.Kg.Value, 1e-9, 0)

	for i := range f.Fronds.Wet {
		f.Fronds.Wet[i] = math.NaN()
	}
	none := only(t, Stocks(f, opt), "A", "Fucus", "2024")
	assert.Equal(t, NotEstimable, none.Status)
	assert.True(t, warns(none, "0 fronds of different lengths weighed, at least 10 needed: weigh single fronds"), none.Warnings)
}

// The order of the rows of fronds.csv does not matter, to the last bit.
func TestAllometryOrder(t *testing.T) {
	f, _ := counted40(15)
	want := Stocks(f, DefaultOptions())
	newStream(1, "order").Shuffle(len(f.Fronds.Day), func(i, j int) {
		fr := &f.Fronds
		fr.Quadrat[i], fr.Quadrat[j] = fr.Quadrat[j], fr.Quadrat[i]
		fr.Length[i], fr.Length[j] = fr.Length[j], fr.Length[i]
		fr.Wet[i], fr.Wet[j] = fr.Wet[j], fr.Wet[i]
	})
	got := Stocks(f, DefaultOptions())
	assert.Equal(t, want[0].Kg, got[0].Kg)
	assert.Equal(t, want[0].Candidates, got[0].Candidates)
}
