package model

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"sync"
	"testing"
	"testing/fstest"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"bedstock/data"
	"bedstock/model/growth"
	"bedstock/survey"
)

// along makes units of one species on shores of so many beds each, by bed.
func along(shores ...int) (out []*Unit) {
	for s, n := range shores {
		for range n {
			u := &Unit{Pair: Pair{fmt.Sprintf("b%04d", len(out)), egg}}
			u.Where.Shore = fmt.Sprintf("shore %02d", s)
			out = append(out, u)
		}
	}
	return out
}

// reached are the sizes of the reaches, and their names.
func reached(units []*Unit) (sizes []int, names []string) {
	for _, r := range reaches(units) {
		sizes, names = append(sizes, len(r)), append(names, r[0].reach)
	}
	return sizes, names
}

func TestALongCoastIsDividedBetweenShores(t *testing.T) {
	sizes, names := reached(along(40, 40, 20))
	assert.Equal(t, []int{100}, sizes, "a hundred are asked together")
	assert.Equal(t, []string{""}, names)
	sizes, names = reached(along(20, 23, 12, 45, 8))
	assert.Equal(t, []int{55, 53}, sizes)
	assert.Equal(t, []string{"shore 00 to shore 02", "shore 03 to shore 04"}, names)
	sizes, names = reached(along(20, 23, 70, 22, 8))
	assert.Equal(t, []int{43, 52, 48}, sizes, "48 each were even; no shore ends within eleven beds of the 95th, which divides one")
	assert.Equal(t, []string{"shore 00 to shore 01", "shore 02 to b0094", "b0095 to shore 04"}, names)
}

func TestALongShoreIsDivided(t *testing.T) {
	sizes, names := reached(along(130))
	assert.Equal(t, []int{43, 43, 44}, sizes)
	assert.Equal(t, []string{"shore 00 to b0042", "b0043 to b0085", "b0086 to shore 00"}, names)
	units := along(101)
	for _, u := range units {
		u.Where.Shore = ""
	}
	_, names = reached(units)
	assert.Equal(t, []string{"b0000 to b0049", "b0050 to b0100"}, names)
}

// renamed gives the units each other's beds, so that beds do not follow the shores by name.
func renamed(units []*Unit, seed uint64) []*Unit {
	for i, j := range rand.New(rand.NewPCG(seed, 1)).Perm(len(units)) {
		units[i].Bed = fmt.Sprintf("b%04d", j)
	}
	slices.SortFunc(units, func(x, y *Unit) int { return strings.Compare(x.Bed, y.Bed) })
	return units
}

// on tells whether some of the reaches have beds of a shore.
func on(parts [][]*Unit, shore string) bool {
	return slices.ContainsFunc(parts, func(part []*Unit) bool {
		return slices.ContainsFunc(part, func(u *Unit) bool { return u.Where.Shore == shore })
	})
}

// Each unit is on one reach, under a name that is that reach's alone and that names a shore at an end only where no bed of the shore
// lies beyond it; a reach is never much smaller or larger than the others.
func TestReachesShareTheCoast(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		units := along(rapid.SliceOfN(rapid.IntRange(1, 90), 2, 12).Draw(t, "beds of each shore")...)
		if rapid.Bool().Draw(t, "beds do not follow the shores") {
			units = renamed(units, rapid.Uint64().Draw(t, "seed"))
		}
		parts := reaches(units)
		for i, part := range parts {
			if first, last, ends := strings.Cut(part[0].reach, " to "); ends && (on(parts[:i], first) || on(parts[i+1:], last)) {
				t.Fatal(part[0].reach, " divides a shore it names as whole")
			}
		}
		seen, names := map[string]bool{}, map[string]bool{}
		for _, part := range parts {
			if len(units) > MostPooled && (len(part) < ReachBeds/3 || len(part) > 2*ReachBeds) {
				t.Fatalf("%d of %d beds", len(part), len(units))
			}
			if !slices.IsSortedFunc(part, func(x, y *Unit) int { return strings.Compare(x.Bed, y.Bed) }) {
				t.Fatal("not by bed")
			}
			if names[part[0].reach] {
				t.Fatal("two reaches ", part[0].reach)
			}
			names[part[0].reach] = true
			for _, u := range part {
				if seen[u.Bed] || u.reach != part[0].reach {
					t.Fatal(u.Bed)
				}
				seen[u.Bed] = true
			}
		}
		if len(seen) != len(units) {
			t.Fatalf("%d of %d", len(seen), len(units))
		}
	})
}

// plotsOn are fits of plots on beds, of which those told tell of r.
func plotsOn(species string, tell bool, beds ...string) (out []growth.PlotFit) {
	for _, b := range beds {
		f := growth.PlotFit{Plot: fmt.Sprintf("D%d", len(out)), Species: species, Bed: b, Status: growth.PlotNot, Reason: "too few measures"}
		if tell {
			f.Status, f.Level, f.LogR, f.RLo, f.RHi = growth.PlotOK, 0.95, math.Log(0.5), 0.4, 0.6
		}
		out = append(out, f)
	}
	return out
}

func TestPlotsSpeakForTheirReachOrNearIt(t *testing.T) {
	parts := reaches(along(50, 50, 50, 50))
	require.Len(t, parts, 4)
	first, second, third, fourth := "b0001", "b0050", "b0149", "b0199"
	many := slices.Repeat([]string{second}, ReachPlots)
	fits := slices.Concat(plotsOn(egg, true, fourth, first), plotsOn(egg, true, many...), plotsOn(egg, false, third), plotsOn("Osmundea pinnatifida", true, first),
		plotsOn(egg, true, "", "b9999"))
	got := plotsOfReaches(parts, fits)
	places := func(from, n int) (out []int) {
		for i := range n {
			out = append(out, from+i)
		}
		return out
	}
	here, nowhere := places(2, ReachPlots), []int{ReachPlots + 4, ReachPlots + 5}
	assert.Equal(t, slices.Concat(here, nowhere), got[1], "twenty of its own, and those of no reach")
	assert.Equal(t, slices.Concat([]int{1}, here, nowhere), got[0], "one of its own, and the next reach's")
	assert.Equal(t, slices.Concat([]int{0}, here, []int{ReachPlots + 2}, nowhere), got[2], "one that tells nothing, and both sides'")
	assert.Equal(t, slices.Concat([]int{0}, here, []int{ReachPlots + 2}, nowhere), got[3], "as far along the coast as it takes, and no further")
	few := plotsOfReaches(parts, fits[:2])
	for i := range parts {
		assert.Equal(t, []int{0, 1}, few[i], "all there are, where they are few")
	}
	assert.Equal(t, make([][]int, 4), plotsOfReaches(parts, nil))
}

// regrown are rows of regrowth.csv, of twenty plots on the first twenty beds and 25 more from the sixtieth on, which grow faster.
func regrown(rng *rand.Rand) string {
	var rows strings.Builder
	rows.WriteString("plot,species,bed,date,event,biomass_g,plot_m2\n")
	for i := range 45 {
		bed, r := i, 0.5
		if i >= 20 {
			bed, r = 40+i, 1.5
		}
		kg := 400.0
		for n := range 8 {
			day := time.Date(2022, 3, 1+n*91, 0, 0, 0, 0, time.UTC).Format(time.DateOnly)
			fmt.Fprintf(&rows, "D%02d,%s,b%03d,%s,measure,%.0f,1\n", i, egg, bed, day, kg*math.Exp(0.05*rng.NormFloat64()))
			kg *= math.Exp(r / 4 * (1 - kg/6000))
		}
	}
	return rows.String()
}

// longCoast is a folder of one species on so many beds, eight to a shore, surveyed once, with regrowth plots.
func longCoast(beds int) fstest.MapFS {
	rng := rand.New(rand.NewPCG(1, 1))
	var names, quadrats strings.Builder
	names.WriteString("bed,shore,area_m2\n")
	quadrats.WriteString("bed,date,quadrat,quadrat_m2,visit,species,cover_pct,biomass_g\n")
	for b := range beds {
		fmt.Fprintf(&names, "b%03d,shore %02d,%d\n", b, b/8, 2000+rng.IntN(3000))
		for q := range 8 {
			cover := 20 + rng.IntN(80)
			fmt.Fprintf(&quadrats, "b%03d,2026-07-10,Q%d,0.25,done,%s,%d,%d\n", b, q, egg, cover, cover*20+rng.IntN(400))
		}
	}
	return fstest.MapFS{"beds.csv": {Data: []byte(names.String())}, "quadrats.csv": {Data: []byte(quadrats.String())},
		"regrowth.csv": {Data: []byte(regrown(rng))}}
}

// Of a long coast each reach is asked for itself: every stand has the growth of its own, what is asked of one stand is asked of its reach
// alone, and gives the same numbers.
func TestGrowthOfALongCoastIsByReach(t *testing.T) {
	table, problems := survey.ReadSpecies(data.FS, "species.csv")
	require.Empty(t, problems.Faults())
	folder, rules, err := Load(longCoast(MostPooled+4), table, LoadOptions{})
	require.NoError(t, err)
	cfg := Config{Rules: rules, Seed: 1, Draws: 400}
	var mu sync.Mutex
	told := map[string][2]int{}
	cfg.Progress = func(stage string, done, of int) {
		mu.Lock()
		defer mu.Unlock()
		told[stage] = [2]int{max(done, told[stage][0]), of}
	}
	all := Assess(folder, cfg)
	require.Len(t, all.Species, 2)
	beds, draws := 0, map[float64]bool{}
	for i := range all.Species {
		s := &all.Species[i]
		assert.Equal(t, egg+", "+s.Reach, s.Name())
		beds += len(s.Beds)
		require.Equal(t, "ok", s.Pool.Status, s.Pool.Reason)
		draws[s.Pool.Draws.X[0]] = true
		for j, b := range s.Beds {
			u := unit(t, all, b.Bed, egg)
			assert.Same(t, s, all.SpeciesOf(&u))
			assert.Equal(t, s.Pool.Beds[j].Draws, u.Growth.Draws)
		}
	}
	assert.Equal(t, MostPooled+4, beds)
	assert.Len(t, draws, 2, "each has random numbers of its own")
	slow, fast := unit(t, all, "b000", egg), unit(t, all, "b100", egg)
	assert.Equal(t, []int{20, 25}, []int{all.PlotsUsed(&slow), all.PlotsUsed(&fast)}, "plots speak for their reach")
	assert.Less(t, slow.Growth.R.Hi, fast.Growth.R.Hi)
	for u, r := range map[*Unit]float64{&slow: 0.5, &fast: 1.5} {
		row := all.EvidenceOf(u.Pair)[1]
		assert.Equal(t, all.PlotsUsed(u), row.N)
		assert.InEpsilon(t, r, row.R.Median, 0.3)
	}
	for _, r := range all.EvidenceTable() {
		assert.NotEmpty(t, r.Status, "%s %s", r.Bed, r.Source)
	}
	for _, stage := range []string{StageGrowth, StageOfftake, StageEvidence} {
		assert.Equal(t, [2]int{MostPooled + 4, MostPooled + 4}, told[stage], stage)
	}
	cfg.Progress = nil
	cfg.Only = func(p Pair) bool { return p.Bed == "b050" }
	one := Assess(folder, cfg)
	require.Len(t, one.Species, 1)
	whole := unit(t, all, "b050", egg)
	assert.Equal(t, whole.Growth.Draws, one.Units[0].Growth.Draws)
	assert.Equal(t, whole.Status, one.Units[0].Status)
	cfg.Only, cfg.Thrift = nil, &Thrift{Folder: t.TempDir()}
	folder, _, err = Load(longCoast(MostPooled+4), table, LoadOptions{})
	require.NoError(t, err)
	thrifty := Assess(folder, cfg)
	for i := range all.Units {
		assert.Equal(t, all.Units[i].Growth.R, thrifty.Units[i].Growth.R)
		assert.Equal(t, all.Units[i].Seasons[0].AdvisedKg, thrifty.Units[i].Seasons[0].AdvisedKg)
		share, b := rules.Offtake.TriggerOfK, thrifty.Units[i].Basis
		require.Equal(t, share, b.below[0].share)
		assert.Equal(t, all.Units[i].Basis.PBelow(share), b.PBelow(share))
	}
}
