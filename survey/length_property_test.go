package survey

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"pgregory.net/rapid"
)

// drawnLengths is a folder of a few transects with fronds in some quadrats and mean lengths in others.
func drawnLengths(t *rapid.T) *Folder {
	var rows []quad
	n := rapid.IntRange(1, 5).Draw(t, "transects")
	for c := range n {
		for q := range rapid.IntRange(1, 3).Draw(t, "quadrats") {
			r := clipped("A", name("T", c), name("q", q), "Fucus", testDay, 50, float64(rapid.IntRange(0, 900).Draw(t, "grams")))
			if rapid.Bool().Draw(t, "mean") {
				r.frond = rapid.Float64Range(2, 90).Draw(t, "frond")
			}
			rows = append(rows, r)
		}
	}
	f := folderOf([]Bed{bedOf("A", 100)}, rows)
	f.Species = []Species{{Name: "Fucus", MinLength: Some(25), Leave: Some(10), RecruitLen: Some(12)}}
	for range rapid.IntRange(0, 25).Draw(t, "fronds") {
		r := rows[rapid.IntRange(0, len(rows)-1).Draw(t, "row")]
		frondAt(f, "", r.transect, r.quadrat, "Fucus", float64(rapid.IntRange(2, 90).Draw(t, "length")), blank)
	}
	return f
}

// numbers are all numbers of a summary.
func (s LengthSummary) numbers() []float64 {
	all := []Estimate{s.Mean, s.Recruits, s.LongEnough, s.AboveLeave, s.Exploitable}
	for _, p := range s.Percentiles {
		all = append(all, p.Estimate)
	}
	out := []float64{s.Known, s.Effective, s.Longest.V}
	for _, e := range all {
		out = append(out, e.Value, e.SE, e.Lo, e.Hi)
	}
	for _, b := range s.Bins {
		out = append(out, b.Fronds, b.Weight)
	}
	return out
}

func sameNumbers(t *rapid.T, what string, a, b []float64) {
	if len(a) != len(b) {
		t.Fatalf("%s: %d numbers and %d", what, len(a), len(b))
	}
	for i := range a {
		if a[i] != b[i] && !(math.IsNaN(a[i]) && math.IsNaN(b[i])) && !(math.Abs(a[i]-b[i]) <= 1e-6*math.Abs(a[i])+1e-9) {
			t.Fatalf("%s: number %d was %v and is %v", what, i, a[i], b[i])
		}
	}
}

// The order of fronds does not matter, nor the unit of weight, nor how often the same fronds of every quadrat are
// measured (but for percentiles, which run between neighbours). What is estimated lies where it can: shares in [0, 1],
// bounds about values, percentiles rising, what may be cut below what is long enough.
func TestLengthsProperties(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		f := drawnLengths(t)
		all := Lengths(f, DefaultOptions())
		if len(all) == 0 {
			return
		}
		s := all[0]
		plausible(t, s)

		order := rand.New(rand.NewPCG(1, rapid.Uint64().Draw(t, "order"))).Perm(f.Fronds.Len())
		shuffled := *f
		shuffled.Fronds = pick(f.Fronds, order)
		if a, b := fmt.Sprintf("%v", s), fmt.Sprintf("%v", Lengths(&shuffled, DefaultOptions())[0]); a != b {
			t.Fatalf("order of rows: %s and %s", a, b)
		}

		heavier := *f
		heavier.Quadrats.Biomass = slices.Clone(f.Quadrats.Biomass)
		for i := range heavier.Quadrats.Biomass {
			heavier.Quadrats.Biomass[i] *= 8
		}
		sameNumbers(t, "unit", s.numbers(), Lengths(&heavier, DefaultOptions())[0].numbers())

		twice := *f
		twice.Fronds = pick(f.Fronds, append(slices.Clone(order), order...))
		if newLengths(f, frondRows(f)).spread("Fucus").spread != newLengths(&twice, frondRows(&twice)).spread("Fucus").spread || s.Means > 0 {
			return // twice the fronds measure the spread of lengths better
		}
		d := Lengths(&twice, DefaultOptions())[0]
		sameNumbers(t, "twice", []float64{s.Mean.Value, s.Mean.SE, s.Recruits.Value, s.Recruits.SE, s.Exploitable.Value, s.Exploitable.SE},
			[]float64{d.Mean.Value, d.Mean.SE, d.Recruits.Value, d.Recruits.SE, d.Exploitable.Value, d.Exploitable.SE})
	})
}

// pick are the rows of fronds in the given order.
func pick(f Fronds, rows []int) Fronds {
	var out Fronds
	for _, i := range rows {
		out.Bed, out.Stratum, out.Transect = append(out.Bed, f.Bed[i]), append(out.Stratum, f.Stratum[i]), append(out.Transect, f.Transect[i])
		out.Quadrat, out.Species, out.Stage = append(out.Quadrat, f.Quadrat[i]), append(out.Species, f.Species[i]), append(out.Stage, f.Stage[i])
		out.Day, out.Length, out.Wet, out.Line = append(out.Day, f.Day[i]), append(out.Length, f.Length[i]), append(out.Wet, f.Wet[i]), append(out.Line, f.Line[i])
	}
	return out
}

func plausible(t *rapid.T, s LengthSummary) {
	if (s.Status == NotEstimable) != (s.Source == "") {
		t.Fatalf("status %q from %q", s.Status, s.Source)
	}
	before := 0.0
	for _, p := range s.Percentiles {
		if p.OK && (p.Value < before-1e-9 || p.Lo > p.Value+1e-9 || p.Hi < p.Value-1e-9) {
			t.Fatalf("percentile %+v after %v", p, before)
		}
		before = p.Value
	}
	for _, e := range []Estimate{s.Recruits, s.LongEnough, s.AboveLeave, s.Exploitable} {
		if e.OK && !(e.Value >= 0 && e.Value <= 1) || e.Lo < 0 || e.Hi > 1 || e.Lo > e.Value+1e-12 || e.Hi < e.Value-1e-12 {
			t.Fatalf("share %+v", e)
		}
	}
	if s.Exploitable.OK && (s.Exploitable.Value > s.LongEnough.Value+1e-9 || s.Exploitable.Value > s.AboveLeave.Value+1e-9) {
		t.Fatal("more may be cut than is long enough or stands above what is left")
	}
}
