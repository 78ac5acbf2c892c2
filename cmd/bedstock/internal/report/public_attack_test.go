package report

import (
	"bytes"
	"fmt"
	"math/rand/v2"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"bedstock/cmd/bedstock/internal/table"
	"bedstock/model"
	"bedstock/survey"
)

func TestTells(t *testing.T) {
	for _, c := range []struct {
		kg   []float64
		want bool
	}{
		{nil, false}, {[]float64{5}, true}, {[]float64{5, 5}, true}, {[]float64{5, 5, 5}, false},
		{[]float64{100, 50, 9.9}, true}, {[]float64{100, 50, 10}, false}, // the second knows the first to 10 %, at best
		{[]float64{100, 1, 1, 1, 1, 1, 1}, true}, {[]float64{100, 80, 4, 3, 3}, false},
	} {
		x := amounts{}
		for i, kg := range c.kg {
			x[strconv.Itoa(i)] = kg
		}
		assert.Equal(t, c.want, x.tells(10), "%v", c.kg)
	}
	assert.False(t, amounts{"a": 100, "b": 1, "c": 1}.tells(0), "0 %: the number of permits alone counts")
}

// Sums that tell nothing make sums that tell nothing, whoever is in both.
func TestSumsOfWhatTellsNothing(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		percent := rapid.Float64Range(0, 100).Draw(t, "percent")
		draw := func(label string) amounts {
			return rapid.MapOfN(rapid.SampledFrom([]string{"a", "b", "c", "d", "e", "f"}), rapid.Float64Range(0.1, 100), 3, 6).
				Filter(func(x map[string]float64) bool { return !amounts(x).tells(percent) }).Draw(t, label)
		}
		sum := draw("one")
		for name, kg := range draw("other") {
			sum[name] += kg
		}
		assert.False(t, sum.tells(percent*(1-1e-9)), "%v", sum)
	})
}

// attacked is a shore of four beds, surveyed in three years, with two seasons; what is cut is put in by recut.
func attacked(t *testing.T) *model.Assessment {
	var b, q strings.Builder
	b.WriteString("bed,area_m2\n")
	q.WriteString("bed,date,transect,quadrat,quadrat_m2,species,cover_pct,biomass_g\n")
	var h strings.Builder
	h.WriteString("bed,date,species,wet_kg,permit\n")
	for i := range 4 {
		bed := string(rune('a' + i))
		fmt.Fprintf(&b, "%s,100000\n", bed)
		for _, year := range []string{"2023", "2024", "2025"} {
			for n := range 6 {
				fmt.Fprintf(&q, "%s,%s-07-01,T%d,Q%d,0.25,Laminaria digitata,%d,%d\n", bed, year, n, n, 40+n, 900+10*n)
			}
		}
		h.WriteString(bed + ",2024-09-01,Laminaria digitata,100,P1\n")
	}
	rules := "as_of = 2025-11-30\n[[season]]\nname = \"spring\"\nfrom = \"03-15\"\nto = \"06-15\"\nshare = 0.5\n[[season]]\nname = \"autumn\"\nfrom = \"08-15\"\nto = \"11-30\"\nshare = 0.5\n"
	return assessWith(t, folderOf(map[string]string{"beds.csv": b.String(), "quadrats.csv": q.String(), "harvest.csv": h.String(), "rules.toml": rules}), 400)
}

// part is a piece of a return: what figures count it in by its day, by the middle of the whole return, or both.
type part struct {
	bed, permit string
	t           float64 // days
	year        int
	kg          float64
}

func partsOf(cuts []survey.Cut) (out []part) {
	for _, c := range cuts {
		n := (int(c.To-c.From) + 30) / 30
		days := float64(c.To-c.From) + 1
		for i := range n {
			out = append(out, part{c.Bed, c.Permit, float64(c.From) + (float64(i)+0.5)*days/float64(n) - 0.5, (c.From + (c.To-c.From)/2).Year(), c.Kg / float64(n)})
		}
	}
	return out
}

// recut is the assessment with other cuts: all that counts them is counted anew, by code of its own.
func recut(a *model.Assessment, cuts []survey.Cut) *model.Assessment {
	out, folder := *a, *a.Folder
	folder.Cuts = cuts
	out.Folder, out.Units = &folder, slices.Clone(a.Units)
	parts := partsOf(cuts)
	sum := func(bed string, from, before survey.Day) (kg float64) {
		for _, p := range parts {
			if p.bed == bed && p.t >= float64(from) && p.t < float64(before) {
				kg += p.kg
			}
		}
		return kg
	}
	for i := range out.Units {
		u := &out.Units[i]
		u.Seasons, u.Pressure = slices.Clone(u.Seasons), slices.Clone(u.Pressure)
		for k := range u.Seasons {
			u.Seasons[k].CutKg = sum(u.Bed, u.Seasons[k].From, u.Seasons[k].To+1)
			u.Seasons[k].Warnings, u.Seasons[k].ShutKg = nil, 0
		}
		for k := range u.Pressure {
			u.Pressure[k].CutKg = sum(u.Bed, u.Pressure[k].From, u.Pressure[k].To)
		}
		if u.Last != nil {
			u.Last = &u.Pressure[len(u.Pressure)-1]
		}
	}
	return &out
}

func cutOn(bed string, from, to string, kg float64, permit string) survey.Cut {
	first, _ := survey.ParseDay(from)
	last, _ := survey.ParseDay(to)
	return survey.Cut{Bed: bed, From: first, To: last, Species: "Laminaria digitata", Kg: kg, Permit: permit}
}

// Two shores that differ in what is withheld alone give the same files, byte for byte: nothing in any table, page or figure
// tells it, by itself or by any reckoning. Where the sum of the withheld is told it is the same on both.
func TestPublicEditionsOfOneFace(t *testing.T) {
	base := attacked(t)
	shownCuts := []survey.Cut{cutOn("c", "2025-09-01", "2025-09-01", 300, "P1"), cutOn("c", "2025-09-02", "2025-09-02", 200, "P2"), cutOn("c", "2025-09-03", "2025-09-03", 250, "P3"),
		cutOn("d", "2024-09-01", "2024-09-01", 110, "P1"), cutOn("d", "2024-09-02", "2024-09-02", 120, "P2"), cutOn("d", "2024-09-03", "2024-09-03", 130, "P3")}
	edition := func(cuts ...survey.Cut) (map[string][]byte, *publicEdition) {
		shown, opt, files := publicFiles(t, recut(base, append(slices.Clone(shownCuts), cuts...)))
		for _, bed := range []int{0, 1} {
			assert.True(t, withheldStand(&shown.Units[bed]), "bed %d", bed)
		}
		for _, bed := range []int{2, 3} {
			assert.False(t, withheldStand(&shown.Units[bed]), "bed %d", bed)
		}
		return files, opt.public
	}
	same := func(one, other map[string][]byte) {
		t.Helper()
		for name := range one {
			assert.True(t, bytes.Equal(one[name], other[name]), name)
		}
	}
	on := func(bed string, day int, kg float64, permit string) survey.Cut {
		date := fmt.Sprintf("2025-09-%02d", day)
		return cutOn(bed, date, date, kg, permit)
	}
	// Of b's three one holds nearly all. Together with a's the withheld tell nothing of one: their sum is told.
	one, edit := edition(on("a", 1, 500, "P4"), on("b", 1, 600, "P5"), on("b", 2, 50, "P6"), on("b", 3, 40, "P7"))
	require.Len(t, edit.Joined, 1)
	assert.Equal(t, joinedUse{Season: "autumn 2025", Stands: 2, Permits: 4, Kg: kilos(1190) + " kg"}, edit.Joined[0])
	other, _ := edition(on("a", 1, 510, "P4"), on("b", 1, 590, "P5"), on("b", 2, 45, "P6"), on("b", 3, 45, "P7"))
	same(one, other)
	// One permit cut nearly all of what is withheld: neither its sum nor that of all is told, and it may be any.
	one, edit = edition(on("a", 1, 2000, "P4"), on("b", 1, 60, "P5"), on("b", 2, 5, "P6"), on("b", 3, 5, "P7"))
	assert.Contains(t, edit.Joined[0].Kg, "withheld too")
	other, _ = edition(on("a", 1, 900, "P4"), on("b", 1, 80, "P5"), on("b", 2, 2, "P6"), on("b", 3, 2, "P7"))
	same(one, other)
	full := func(kg float64) table.Table {
		return Quota(recut(base, append(slices.Clone(shownCuts), on("a", 1, kg, "P4"))))
	}
	assert.NotEqual(t, full(2000), full(900), "the full edition tells it")
}

// figure is a number of the public edition and which parts of returns it counts.
type shownFigure struct {
	kg    float64
	parts map[int]bool
}

// figures are what quota.csv, pressure.csv and the bars of the years tell of a stand.
func figures(t *testing.T, shown *model.Assessment, files map[string][]byte, u *model.Unit, parts []part) (out []shownFigure) {
	add := func(kg float64, counts func(part) bool) {
		f := shownFigure{kg, map[int]bool{}}
		sum := 0.0
		for i, p := range parts {
			if p.bed == u.Bed && counts(p) {
				f.parts[i] = true
				sum += p.kg
			}
		}
		require.InDelta(t, sum, kg, 1e-5*sum+1e-9) // six digits are written
		out = append(out, f)
	}
	between := func(from, to string, last int) func(part) bool {
		a, err := survey.ParseDay(from)
		require.NoError(t, err)
		b, err := survey.ParseDay(to)
		require.NoError(t, err)
		return func(p part) bool { return p.t >= float64(a) && p.t < float64(int(b)+last) }
	}
	for name, last := range map[string]int{"quota.csv": 1, "pressure.csv": 0} {
		for _, r := range csvRows(t, files[name]) {
			if kg, err := strconv.ParseFloat(r["cut_kg"], 64); err == nil && r["bed"] == u.Bed {
				add(kg, between(r["from"], r["to"], last))
			}
		}
	}
	for _, b := range newDrawing(shown, invented).historyInput(u).Cuts {
		add(b.Cut, func(p part) bool { return p.year == b.Year })
	}
	return out
}

// knownTo is an attack: whoever holds a permit takes its own off a sum, and knows each other's to be at most what is left.
// It says whether that bound lies within p % of the truth, or fewer than three hold the sum.
func knownTo(parts []part, of map[int]bool, percent float64) bool {
	kg, sum := map[string]float64{}, 0.0
	for i := range of {
		kg[parts[i].permit] += parts[i].kg
		sum += parts[i].kg
	}
	for a, own := range kg {
		for b, truth := range kg {
			if a != b && sum-own-truth < percent/100*truth*(1-1e-9) {
				return true
			}
		}
	}
	return len(kg) > 0 && len(kg) < 3
}

// without is one set less others that lie in it and apart from one another; ok is false where they do not.
func without(f map[int]bool, others ...map[int]bool) (map[int]bool, bool) {
	rest := map[int]bool{}
	for i := range f {
		rest[i] = true
	}
	for _, o := range others {
		for i := range o {
			if !rest[i] {
				return nil, false
			}
			delete(rest, i)
		}
	}
	return rest, true
}

// Shores with returns at random, some over many days: no figure of a public edition, and no difference of two or of three,
// tells what a permit cut; nor does the sum of a season over all stands less those that are shown.
func TestPublicUnderAttack(t *testing.T) {
	base := attacked(t)
	rng := rand.New(rand.NewPCG(8, 8))
	told, differences, sums, masked := 0, 0, 0, 0
	for range 60 {
		var cuts []survey.Cut
		for _, bed := range []string{"a", "b", "c", "d"} {
			permits := 2 + rng.IntN(5)
			for _, start := range []string{"2024-05-01", "2024-09-10", "2025-04-20", "2025-09-01"} {
				if rng.IntN(3) == 0 {
					continue
				}
				for p := range permits {
					day, _ := survey.ParseDay(start)
					c := survey.Cut{Bed: bed, Species: "Laminaria digitata", Permit: fmt.Sprintf("P%d", p), Kg: 10 + 90*rng.Float64()*rng.Float64()}
					if rng.IntN(12) == 0 {
						c.Kg *= 15 // nearly all
					}
					c.From = day + survey.Day(rng.IntN(40))
					c.To = c.From + survey.Day([]int{0, 0, 0, 3, 45}[rng.IntN(5)])
					cuts = append(cuts, c)
				}
			}
		}
		a := recut(base, cuts)
		shown, opt := Public(a, invented)
		files := map[string][]byte{}
		for name, of := range map[string]table.Table{"quota.csv": Quota(shown), "pressure.csv": Pressure(shown)} {
			var b bytes.Buffer
			require.NoError(t, of.CSV(&b))
			files[name] = b.Bytes()
		}
		parts := partsOf(cuts)
		for k := range shown.Units {
			u := &shown.Units[k]
			all := figures(t, shown, files, u, parts)
			if withheldStand(u) {
				masked++
				assert.Empty(t, all, "%s is withheld", u.Bed)
				continue
			}
			for _, f := range all {
				told++
				assert.False(t, knownTo(parts, f.parts, 10))
				for x, g := range all {
					rest, ok := without(f.parts, g.parts)
					if !ok {
						continue
					}
					differences++
					assert.False(t, knownTo(parts, rest, 10))
					for _, h := range all[x+1:] {
						if rest, ok := without(f.parts, g.parts, h.parts); ok {
							assert.False(t, knownTo(parts, rest, 10))
						}
					}
				}
			}
		}
		for _, use := range opt.public.uses {
			if !(use.CutKg > 0) {
				continue
			}
			left := map[int]bool{} // of the season's sum, when what is shown is taken off
			stands := map[string]bool{}
			for i, p := range parts {
				k := slices.IndexFunc(shown.Units, func(u model.Unit) bool { return u.Bed == p.bed })
				if p.t >= float64(use.From) && p.t < float64(use.To+1) && withheldStand(&shown.Units[k]) {
					left[i], stands[p.bed] = true, true
				}
			}
			sums++
			assert.False(t, knownTo(parts, left, 10))
			assert.NotEqual(t, 1, len(stands), "the sum less the shown stands is one stand's")
			assert.True(t, len(stands) == 0 || !isNumber(use.LeftKg), "what is left tells what was cut")
		}
	}
	assert.Greater(t, told, 200)
	assert.Greater(t, differences, 200)
	assert.Greater(t, sums, 20)
	assert.Greater(t, masked, 40)
}
