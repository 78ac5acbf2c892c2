package survey

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"pgregory.net/rapid"
)

// drawnBed is a bed of up to three strata and two species with transects of unequal quadrats, at random.
func drawnBed(t *rapid.T) (*Folder, []quad) {
	seed := rapid.Uint64().Draw(t, "seed")
	strata := rapid.IntRange(1, 3).Draw(t, "strata")
	transects := rapid.Bool().Draw(t, "transects")
	rng := rand.New(rand.NewPCG(seed, 7))
	var rows []quad
	f := &Folder{}
	for h := range strata {
		label := ""
		if strata > 1 {
			label = name("h", h)
			f.Strata = append(f.Strata, Stratum{Bed: "A", Stratum: label, Area: float64(100 + rng.IntN(900))})
		}
		for c := range 2 + rng.IntN(3) {
			for q := range 1 + rng.IntN(4) {
				rows = append(rows, drawnQuadrat(rng, label, transects, h, c, q)...)
			}
		}
	}
	area := 500.0
	if strata > 1 {
		area = 0
		for _, s := range f.Strata {
			area += s.Area
		}
	}
	all := folderOf([]Bed{bedOf("A", area)}, rows)
	all.Strata = f.Strata
	return all, rows
}

// drawnQuadrat is a quadrat with two species, each absent from some.
func drawnQuadrat(rng *rand.Rand, stratum string, transects bool, h, c, q int) []quad {
	transect := ""
	if transects {
		transect = fmt.Sprintf("T%d.%d", h, c)
	}
	m2 := []float64{0.25, 0.25, 0.5}[rng.IntN(3)]
	var out []quad
	for _, species := range []string{"a", "b"} {
		row := clipped("A", transect, fmt.Sprintf("q%d.%d.%d", h, c, q), species, testDay, 0, 0)
		row.stratum, row.m2 = stratum, m2
		if rng.Float64() < 0.7 {
			row.cover = float64(1 + rng.IntN(60))
			row.grams = math.Round(500 * row.cover / 60 * (0.5 + rng.Float64()))
		}
		out = append(out, row)
	}
	return out
}

// bedTotalOf is the total of all species of the bed.
func bedTotalOf(t *rapid.T, f *Folder) Total {
	totals := Totals(f, DefaultOptions(), ByBed)
	if len(totals) != 1 {
		t.Fatalf("%d totals", len(totals))
	}
	return totals[0]
}

func withRows(f *Folder, rows []quad) *Folder {
	out := folderOf(f.Beds, rows)
	out.Strata = f.Strata
	return out
}

// alike compares all that a total says, numbers times a factor.
func alike(t *rapid.T, what string, got, want Total, kg float64) {
	for name, e := range map[string][2]Estimate{"kg": {got.Kg, scaledBy(want.Kg, kg)}, "cover": {got.Cover, want.Cover},
		"held": {got.Held, want.Held}, "kg/m2 held": {got.KgM2Held, scaledBy(want.KgM2Held, kg)}} {
		near(t, what+" "+name, e[0].Value, e[1].Value, 1e-9)
		near(t, what+" "+name+" se", e[0].SE, e[1].SE, 1e-9)
		near(t, what+" "+name+" df", e[0].DF, e[1].DF, 1e-9)
	}
	near(t, what+" effect", got.DesignEffect, want.DesignEffect, 1e-9)
}

// near fails the property unless got is within rel of want (or 1e-9 of 0); two NaN are equal.
func near(t *rapid.T, what string, got, want, rel float64) {
	if got == want || math.IsNaN(got) && math.IsNaN(want) {
		return
	}
	if !(math.Abs(got-want) <= max(1e-9, rel*math.Abs(want))) {
		t.Errorf("%s: got %.17g, want %.17g", what, got, want)
	}
}

// The order of the rows is of no account, to the last bit.
func TestTotalsRowOrder(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		f, rows := drawnBed(t)
		want := fmt.Sprint(Totals(f, DefaultOptions(), ByBed), Totals(f, DefaultOptions(), ByStratum|BySpecies))
		shuffled := rapid.Permutation(rows).Draw(t, "order")
		g := withRows(f, shuffled)
		got := fmt.Sprint(Totals(g, DefaultOptions(), ByBed), Totals(g, DefaultOptions(), ByStratum|BySpecies))
		assert.Equal(t, want, got)
	})
}

// Weights times c: kg and its error times c, nothing else changes. Areas and quadrats times c (another unit of area): kg
// per m2 divided by c.
func TestTotalsUnits(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		f, rows := drawnBed(t)
		want := bedTotalOf(t, f)
		c := rapid.Float64Range(0.1, 10).Draw(t, "factor")
		heavy := slices.Clone(rows)
		for i := range heavy {
			heavy[i].grams *= c
		}
		alike(t, "weight", bedTotalOf(t, withRows(f, heavy)), want, c)
		large := slices.Clone(rows)
		for i := range large {
			large[i].m2 *= c
		}
		g := withRows(&Folder{Beds: []Bed{bedOf("A", f.Beds[0].Periods[0].Area*c)}}, large)
		for _, s := range f.Strata {
			s.Area *= c
			g.Strata = append(g.Strata, s)
		}
		got := bedTotalOf(t, g)
		near(t, "kg", got.Kg.Value, want.Kg.Value, 1e-9)
		near(t, "se", got.Kg.SE, want.Kg.SE, 1e-9)
		near(t, "kg/m2", got.KgM2.Value*c, want.KgM2.Value, 1e-9)
	})
}

// A bed split into halves with the same quadrats each (twice as many in all): the total stays, and v is that of two
// independent halves, v = 2 (1/2)² v_1 = v_1/2, with twice the degrees of freedom.
func TestTotalsIdenticalHalves(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		f, rows := drawnBed(t)
		if len(f.Strata) > 0 {
			for i := range rows {
				rows[i].stratum = ""
			}
			f.Strata = nil
			f = withRows(f, rows)
		}
		want := bedTotalOf(t, f)
		area := f.Beds[0].Periods[0].Area
		var both []quad
		for _, half := range []string{"east", "west"} {
			for _, r := range rows {
				r.stratum, r.quadrat = half, r.quadrat+half
				if r.transect != "" {
					r.transect += half
				}
				both = append(both, r)
			}
		}
		g := folderOf(f.Beds, both)
		g.Strata = []Stratum{{Bed: "A", Stratum: "east", Area: area / 2}, {Bed: "A", Stratum: "west", Area: area / 2}}
		got := bedTotalOf(t, g)
		near(t, "kg", got.Kg.Value, want.Kg.Value, 1e-9)
		near(t, "se", got.Kg.SE, want.Kg.SE/math.Sqrt2, 1e-9)
		near(t, "df", got.Kg.DF, 2*want.Kg.DF, 1e-9)
		near(t, "cover", got.Cover.Value, want.Cover.Value, 1e-9)
		near(t, "held", got.Held.Value, want.Held.Value, 1e-9)
	})
}

// Every quadrat entered twice (as another quadrat of its transect) says nothing new about the transects: same total,
// same error. Where quadrats are the units, n independent units more: v (n - 1)/(2n - 1).
func TestTotalsRowsTwice(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		f, rows := drawnBed(t)
		for i := range rows {
			rows[i].stratum = ""
		}
		f.Strata = nil
		f = withRows(f, rows)
		want := bedTotalOf(t, f)
		twice := slices.Clone(rows)
		for _, r := range rows {
			r.quadrat += " again"
			twice = append(twice, r)
		}
		got := bedTotalOf(t, withRows(f, twice))
		factor := 1.0
		if n := float64(len(rows) / 2); rows[0].transect == "" {
			factor = math.Sqrt((n - 1) / (2*n - 1))
		}
		near(t, "kg", got.Kg.Value, want.Kg.Value, 1e-9)
		near(t, "se", got.Kg.SE, want.Kg.SE*factor, 1e-9)
	})
}

// An empty quadrat of m2 square metres in a bed of one stratum lowers the mean by the factor Σm2/(Σm2 + m2), and the
// total with it; that of the ground that holds something stays.
func TestTotalsEmptyQuadrat(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		f, rows := drawnBed(t)
		for i := range rows {
			rows[i].stratum = ""
		}
		f.Strata = nil
		want := bedTotalOf(t, withRows(f, rows))
		m2 := 0.0
		for _, r := range rows {
			m2 += r.m2 / 2 // two rows a quadrat
		}
		empty := clipped("A", "T0.0", "empty", "", testDay, 0, 0)
		empty.grams = blank
		empty.m2 = rapid.SampledFrom([]float64{0.25, 1}).Draw(t, "size")
		if rows[0].transect == "" {
			empty.transect = ""
		}
		got := bedTotalOf(t, withRows(f, append(slices.Clone(rows), empty)))
		by := m2 / (m2 + empty.m2)
		near(t, "kg", got.Kg.Value, want.Kg.Value*by, 1e-9)
		near(t, "kg/m2", got.KgM2.Value, want.KgM2.Value*by, 1e-9)
		near(t, "cover", got.Cover.Value, want.Cover.Value*by, 1e-9)
		near(t, "held", got.Held.Value, want.Held.Value*by, 1e-9)
		near(t, "kg/m2 held", got.KgM2Held.Value, want.KgM2Held.Value, 1e-9)
	})
}

// The species of a bed sum to its total, strata to the bed, where a species was found and where not to the whole; and
// the variance is that of the quadrats' sums, as if the two species were one.
func TestTotalsAddUp(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		f, rows := drawnBed(t)
		opt := DefaultOptions()
		whole := bedTotalOf(t, f)
		sum := func(totals []Total) (kg float64) {
			for _, x := range totals {
				kg += orZero(x.Kg.Value)
			}
			return kg
		}
		near(t, "species", sum(Totals(f, opt, ByBed|BySpecies)), whole.Kg.Value, 1e-9)
		near(t, "strata", sum(Totals(f, opt, ByStratum)), whole.Kg.Value, 1e-9)
		parts := sum(DomainTotals(f, opt, ByBed, Domain{Holding: "a"})) + sum(DomainTotals(f, opt, ByBed, Domain{Without: "a"}))
		near(t, "domains", parts, whole.Kg.Value, 1e-9)

		var joined []quad
		for i := 0; i < len(rows); i += 2 {
			r := rows[i]
			r.grams += rows[i+1].grams
			r.cover += rows[i+1].cover
			joined = append(joined, r)
		}
		one := bedTotalOf(t, withRows(f, joined))
		near(t, "as one: kg", one.Kg.Value, whole.Kg.Value, 1e-9)
		near(t, "as one: se", one.Kg.SE, whole.Kg.SE, 1e-9)
		near(t, "as one: cover se", one.Cover.SE, whole.Cover.SE, 1e-9)
		near(t, "as one: effect", one.DesignEffect, whole.DesignEffect, 1e-9)
	})
}
