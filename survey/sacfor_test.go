package survey

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// inClasses reads every cover above 0 of a folder as a letter of the scale.
func inClasses(f *Folder, scale string) {
	s := (&Mapping{}).FindScale(scale)
	q := &f.Quadrats
	q.Classes = s.Classes
	q.Class = make([]uint8, q.Len())
	for i, x := range q.Cover {
		for k, c := range s.Classes {
			if x > 0 && (x < c.Hi || c.Hi == 100) {
				q.Class[i], q.Cover[i] = uint8(k+1), c.Mid()
				break
			}
		}
	}
}

// By hand: middles 70 (S), 30 (A), 0 and, measured, 12.5 give 28.125; s² = 930.7292, so s²/4 = 232.6823; S adds 60²/12/16 =
// 18.75 and A 20²/12/16 = 2.0833.
func TestCoverOfLetters(t *testing.T) {
	f := folderOf([]Bed{bedOf("A", 100)}, []quad{
		seen("A", "", "1", "Fucus", testDay, 55), seen("A", "", "2", "Fucus", testDay, 21),
		seen("A", "", "3", "Fucus", testDay, 0), seen("A", "", "4", "Fucus", testDay, 12.5)})
	inClasses(f, "sacfor massive")
	f.Quadrats.Class[3], f.Quadrats.Cover[3] = 0, 12.5
	st := only(t, Stocks(f, DefaultOptions()), "A", "Fucus", "2024")
	approx(t, "cover", st.Cover.Value, 28.125, 1e-12, 0)
	approx(t, "variance", st.Cover.SE*st.Cover.SE, 232.6822917+18.75+2.0833333, 1e-8, 0)
	approx(t, "df", st.Cover.DF, math.Pow(232.6822917+18.75+2.0833333, 2)/(232.6822917*232.6822917/3), 1e-8, 0)
	assert.Contains(t, fmt.Sprint(st.Warnings), "cover read in classes (sacfor massive)")
}

// A class errs alike in all quadrats and beds: the error of a total over beds is the sum of theirs, and that of a sum over
// one bed is the bed's.
func TestTotalOfLetters(t *testing.T) {
	var rows []quad
	for _, bed := range []string{"A", "B"} {
		for i := range 6 {
			rows = append(rows, seen(bed, "", fmt.Sprint(i), "Fucus", testDay, 90))
		}
	}
	f := folderOf([]Bed{bedOf("A", 100), bedOf("B", 300)}, rows)
	inClasses(f, "sacfor massive")
	se := 60 / math.Sqrt(12) // all quadrats are S: nothing differs between them
	for _, st := range Stocks(f, DefaultOptions()) {
		approx(t, "bed", st.Cover.SE, se, 1e-12, 0)
		assert.Equal(t, 70.0, st.Cover.Value)
	}
	for _, total := range Totals(f, DefaultOptions(), ByShore|BySpecies) {
		approx(t, "shore", total.Cover.SE, se, 1e-9, 0)
	}
}

// kg/m2 = 0.1 x: a class of width d adds (0.1 d W)²/12, W the m2 that its quadrats stand for; the parts of an explanation
// make the whole.
func TestWeightOfLetters(t *testing.T) {
	var rows []quad
	for i, x := range []float64{90, 50, 30, 25, 0, 7} {
		rows = append(rows, seen("A", "", fmt.Sprint(i), "Fucus", testDay, x))
	}
	f := folderOf([]Bed{bedOf("A", 600)}, rows)
	f.Species = []Species{{Name: "Fucus", CoverA: Some(0.1), CoverB: Some(1), CoverCV: Some(0.2), InTable: true}}
	inClasses(f, "sacfor massive")
	letters := f.Quadrats.Class
	f.Quadrats.Class = nil
	plain := only(t, Stocks(f, DefaultOptions()), "A", "Fucus", "2024")
	f.Quadrats.Class = letters
	st := only(t, Stocks(f, DefaultOptions()), "A", "Fucus", "2024")
	require.Len(t, st.Shared, 4, "conversion and three classes")
	want := map[string]float64{"S": 0.1 * 60 * 200, "A": 0.1 * 20 * 200, "F": 0.1 * 5 * 100}
	for letter, kg := range want {
		found := false
		for _, e := range st.Shared {
			if e.ID == "class|sacfor massive|"+letter+"|Fucus" {
				found = true
				approx(t, letter, e.CV*st.Kg.Value, kg/math.Sqrt(12), 1e-9, 0)
			}
		}
		assert.True(t, found, letter)
	}
	letter := (1200.*1200 + 400*400 + 50*50) / 12
	approx(t, "variance", st.Kg.SE*st.Kg.SE-plain.Kg.SE*plain.Kg.SE, letter, 1e-9, 0)
	sum := 0.0
	for _, p := range Explain(f, DefaultOptions(), "A", "Fucus")[0].Parts {
		sum += p.V
	}
	approx(t, "parts", sum, st.Kg.SE*st.Kg.SE, 1e-9, 0)
}

// A survey that weighs its own quadrats takes letters as any auxiliary: the classes add nothing.
func TestOwnWeightsOfLetters(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 8))
	var rows []quad
	for i := range 30 {
		x := 1 + 98*rng.Float64()
		q := clipped("A", "", fmt.Sprint(i), "Fucus", testDay, x, 10*x)
		if i >= 15 {
			q.grams = blank
		}
		rows = append(rows, q)
	}
	f := folderOf([]Bed{bedOf("A", 100)}, rows)
	inClasses(f, "daubenmire")
	st := only(t, Stocks(f, DefaultOptions()), "A", "Fucus", "2024")
	assert.Equal(t, "survey", st.Domain)
	assert.Empty(t, st.Shared)
}

// The 95 % interval of cover holds the truth of beds that fill their classes in different ways, also a full canopy, in which
// every quadrat lies near the top of S. Without the class's error it holds it never there (testdata/sacfor has 88 cases).
func TestIntervalsOfLettersHoldTheTruth(t *testing.T) {
	rng := rand.New(rand.NewPCG(4, 9))
	beds := map[string]func() (x, truth float64){
		"even": func() (float64, float64) { return 100 * rng.Float64(), 50 },
		"full": func() (float64, float64) { return 100 * math.Pow(rng.Float64(), 1./9), 90 },
		"thin": func() (float64, float64) { return 100 * (1 - math.Pow(rng.Float64(), 1./9)), 10 },
	}
	for name, draw := range beds {
		held, apart, surveys := 0, 0, 300
		for range surveys {
			var rows []quad
			truth := 0.0
			for i := range 24 {
				x, mean := draw()
				truth = mean
				rows = append(rows, seen("A", "", fmt.Sprint(i), "Fucus", testDay, x))
			}
			f := folderOf([]Bed{bedOf("A", 100)}, rows)
			inClasses(f, "sacfor massive")
			c := Stocks(f, DefaultOptions())[0].Cover
			if c.Lo <= truth && truth <= c.Hi {
				held++
			}
			f.Quadrats.Class = nil
			if c = Stocks(f, DefaultOptions())[0].Cover; c.Lo <= truth && truth <= c.Hi {
				apart++
			}
		}
		assert.GreaterOrEqual(t, float64(held)/float64(surveys), 0.93, name)
		if name == "full" {
			assert.Zero(t, apart)
		}
	}
}

// Class limits as the sources of [scales] have them, without a gap from 0 to 100.
func TestScales(t *testing.T) {
	for _, s := range scales {
		require.NoError(t, s.Check(), s.Name)
		assert.Zero(t, s.Classes[0].Lo)
		assert.Equal(t, 100.0, s.Classes[len(s.Classes)-1].Hi)
		for i := 1; i < len(s.Classes); i++ {
			assert.Equal(t, s.Classes[i-1].Hi, s.Classes[i].Lo, s.Name)
		}
	}
	assert.Equal(t, CoverClass{"sacfor massive", "S", 40, 100}, *(&Mapping{}).FindScale("SACFOR massive").find("s"))
	assert.Equal(t, CoverClass{"sacfor crust", "S", 80, 100}, *(&Mapping{}).FindScale("sacfor crust").find("S"))
}
