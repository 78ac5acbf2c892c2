package survey

import (
	"math"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"pgregory.net/rapid"
)

// An error that both sides share counts with the difference of what it makes in each, others with the sum of squares.
func TestDifferenceOfShared(t *testing.T) {
	a := []sharedKg{{"k", 300, 5}, {"old", 40, 3}}
	b := []sharedKg{{"new", 30, 4}, {"k", 200, 5}}
	assert.Equal(t, []part{{100 * 100, 5}, {1600, 3}, {900, 4}}, differenceOfShared(a, b))
}

// A bed's uncertain area: v = s_A² ((ybar2 - ybar1)² - v(ybar2) - v(ybar1)), worked by hand with 10 and 6 kg/m2 of
// variances 1 and 1/2 (three quadrats of variances 3 and 1.5), on 100 m2 with standard error 10. The relative change
// does not depend on the area.
func TestChangeOfUncertainArea(t *testing.T) {
	rows := grid("A", "Fucus", day2023, []float64{10 - math.Sqrt(3), 10, 10 + math.Sqrt(3)}, 3, 1)
	rows = append(rows, grid("A", "Fucus", testDay, []float64{6 - math.Sqrt(1.5), 6, 6 + math.Sqrt(1.5)}, 3, 1)...)
	f := folderOf([]Bed{bedOf("A", 100)}, rows)
	sure := onlyChange(t, f)
	approx(t, "change", sure.Kg.Value, -400, 1e-12, 0)
	approx(t, "se", sure.Kg.SE, 100*math.Sqrt(1.5), 1e-12, 0)
	f.Beds[0].Periods[0].AreaSE = Some(10)
	unsure := onlyChange(t, f)
	approx(t, "se with area", unsure.Kg.SE, math.Sqrt(15000+100*(16-1.5)), 1e-12, 0)
	approx(t, "relative se", unsure.Relative.SE, sure.Relative.SE, 1e-14, 0)
}

// A bed measured again: the change is that on the smaller area, and its error that of the smaller area.
func TestChangeOfArea(t *testing.T) {
	f := quadratsTwice(t)
	before := onlyChange(t, f)
	p := f.Beds[0].Periods[0]
	p.Area, p.From = 80, testDay-30
	f.Beds[0].Periods = append(f.Beds[0].Periods, p)
	c := onlyChange(t, f)
	approx(t, "area", c.Area, 80, 0, 0)
	approx(t, "change", c.Kg.Value, 0.8*before.Kg.Value, 1e-12, 0)
	approx(t, "se", c.Kg.SE, 0.8*before.Kg.SE, 1e-12, 0)
	approx(t, "relative", c.Relative.Lo, before.Relative.Lo, 1e-12, 0)
	assert.True(t, remarked(c, "the bed was 100 m2 and is 80 m2 now"), c.Warnings)
	f.Beds[0].Periods[1].Area = 100 // listed again for another reason: the same area, the same error
	f.Beds[0].Periods[0].AreaSE, f.Beds[0].Periods[1].AreaSE = Some(20), Some(20)
	c = onlyChange(t, f)
	approx(t, "relative with the area listed again", c.Relative.SE, before.Relative.SE, 1e-12, 0)
	assert.Less(t, c.Kg.SE, 1.2*before.Kg.SE)
}

// Neither survey was weighed and both lean on the calibration of bed B: k cancels in the relative change, and enters
// the change in kg with its CV times the difference.
func TestChangeSharedCalibration(t *testing.T) {
	less := make([]float64, len(steps))
	for i := range steps {
		less[i] = steps[i] * (0.4 + 0.04*float64(i%5))
	}
	rows := append(grid("A", "Fucus", day2023, steps, 0, 0), grid("A", "Fucus", testDay, less, 0, 0)...)
	for i, q := range grid("B", "Fucus", MakeDay(2020, 5, 1), steps, 12, 0.05) {
		q.grams *= 1 + 0.2*float64(i%3-1)
		rows = append(rows, q)
	}
	f := folderOf([]Bed{bedOf("A", 100), bedOf("B", 100)}, rows)
	stocks := Stocks(f, DefaultOptions())
	a, b := only(t, stocks, "A", "Fucus", "2023"), only(t, stocks, "A", "Fucus", "2024")
	c := onlyChange(t, f)
	d := b.Kg.Value - a.Kg.Value
	v := math.Pow(a.OwnCV*a.Kg.Value, 2) + math.Pow(b.OwnCV*b.Kg.Value, 2)
	assert.Len(t, a.Shared, 2)
	for i, e := range a.Shared {
		assert.Equal(t, e.ID, b.Shared[i].ID)
		v += e.CV * e.CV * d * d
	}
	approx(t, "se", c.Kg.SE, math.Sqrt(v), 1e-12, 0)
	r := b.Kg.Value / a.Kg.Value
	approx(t, "relative se", c.Relative.SE, r*math.Hypot(a.OwnCV, b.OwnCV), 1e-12, 0)
}

// drawnTwice is a bed with two surveys of quadrats in two strata, weighed in all or in part, permanent or not.
func drawnTwice(t *rapid.T) *Folder {
	var rows []quad
	part := rapid.Bool().Draw(t, "two phases")
	for _, stratum := range []string{"high", "low"} {
		n := rapid.IntRange(8, 14).Draw(t, "n")
		for _, day := range []Day{day2023, testDay} {
			for i := range n {
				q := seen("A", "", name(stratum, i), "Fucus", day, float64(rapid.IntRange(1, 100).Draw(t, "cover")))
				q.stratum = stratum
				if !part || i%2 == 0 || i < 6 {
					q.grams = float64(rapid.IntRange(1, 900).Draw(t, "grams"))
				}
				rows = append(rows, q)
			}
		}
	}
	f := folderOf([]Bed{bedOf("A", 300)}, rows)
	f.Strata = []Stratum{{Bed: "A", Stratum: "high", Area: 100}, {Bed: "A", Stratum: "low", Area: 200}}
	words := rapid.SampledFrom([]string{"", "permanent"}).Draw(t, "protocol")
	f.Surveys = declaredTwice(words, words)
	return f
}

func changeOf(f *Folder) Change {
	opt := DefaultOptions()
	opt.Conversion = "ratio"
	return Changes(f, Stocks(f, opt), opt)[0]
}

// The change back is the change with the sign turned, with the same error.
func TestChangeSwapsSign(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		f := drawnTwice(t)
		there := changeOf(f)
		for i, d := range f.Quadrats.Day {
			f.Quadrats.Day[i] = day2023 + testDay - d
		}
		back := changeOf(f)
		approx2(t, "kg", back.Kg.Value, -there.Kg.Value)
		approx2(t, "se", back.Kg.SE, there.Kg.SE)
		approx2(t, "df", back.Kg.DF, there.Kg.DF)
		approx2(t, "lo", back.Kg.Lo, -there.Kg.Hi)
		approx2(t, "cover", back.Cover.SE, there.Cover.SE)
		approx2(t, "relative", (1+back.Relative.Hi)*(1+there.Relative.Lo), 1)
	})
}

// The order of rows does not matter, to the last bit.
func TestChangeOrderOfRows(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		f := drawnTwice(t)
		there := changeOf(f)
		q := &f.Quadrats
		for _, col := range [][]uint32{q.Bed, q.Stratum, q.Transect, q.Quadrat, q.Species} {
			slices.Reverse(col)
		}
		for _, col := range [][]float64{q.M2, q.Cover, q.Frond, q.Biomass, q.Weighed} {
			slices.Reverse(col)
		}
		slices.Reverse(q.Day)
		slices.Reverse(q.Visit)
		back := changeOf(f)
		approx2(t, "kg", back.Kg.Value, there.Kg.Value)
		approx2(t, "se", back.Kg.SE, there.Kg.SE)
		approx2(t, "df", back.Kg.DF, there.Kg.DF)
		if back.Kg.SE != there.Kg.SE || back.Relative.Lo != there.Relative.Lo {
			t.Fatal("differs in the last bits")
		}
	})
}

// An error that all quadrats of both surveys have in common, so many kg per m2, leaves the paired change and its
// standard error as they are; an error of scale leaves the relative change.
func TestChangeCommonError(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		f := drawnTwice(t)
		whole := !slices.ContainsFunc(f.Quadrats.Biomass, math.IsNaN)
		there := changeOf(f)
		add := float64(rapid.IntRange(1, 500).Draw(t, "added"))
		times := 1 + float64(rapid.IntRange(1, 20).Draw(t, "times"))/10
		for i := range f.Quadrats.Biomass {
			f.Quadrats.Biomass[i] += add
		}
		if added := changeOf(f); whole {
			approx2(t, "kg with a constant error", added.Kg.Value, there.Kg.Value)
			approx2(t, "se with a constant error", added.Kg.SE, there.Kg.SE)
		}
		for i := range f.Quadrats.Biomass {
			f.Quadrats.Biomass[i] = (f.Quadrats.Biomass[i] - add) * times
		}
		scaled := changeOf(f)
		approx2(t, "relative", scaled.Relative.Value, there.Relative.Value)
		approx2(t, "relative hi", scaled.Relative.Hi, there.Relative.Hi)
		approx2(t, "kg", scaled.Kg.SE, there.Kg.SE*times)
	})
}

// An error of the same kg on both sides, or of the same CV, adds nothing to the change or to the relative change.
func TestChangeSharedErrorCancels(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		draw := rapid.Float64Range(0, 1e4)
		a := []sharedKg{{"one", draw.Draw(t, "a"), 3}}
		b := []sharedKg{{"other", draw.Draw(t, "b"), 4}}
		before := satterthwaite(differenceOfShared(a, b)...)
		same := sharedKg{"same", draw.Draw(t, "same"), 2}
		after := satterthwaite(differenceOfShared(append(a, same), append([]sharedKg{same}, b...))...)
		if before.v != after.v {
			t.Fatalf("%v, %v", before, after)
		}
	})
}

// approx2 is approx within 1e-8 for property tests.
func approx2(t *rapid.T, name string, got, want float64) {
	if diff := math.Abs(got - want); !(got == want || math.IsNaN(got) && math.IsNaN(want) || diff <= 1e-8*math.Max(1, math.Abs(want))) {
		t.Fatalf("%s: got %.17g, want %.17g", name, got, want)
	}
}
