package report

import (
	"encoding/csv"
	"fmt"
	"maps"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"bedstock/model"
	"bedstock/survey"
)

// publicFiles makes the public edition of an assessment.
func publicFiles(t *testing.T, a *model.Assessment) (*model.Assessment, Options, map[string][]byte) {
	t.Helper()
	shown, opt := Public(a, invented)
	files, err := Files(shown, opt)
	require.NoError(t, err)
	return shown, opt, files
}

// No permit, observer or other person of the demo occurs in any file of the folder, nor in what goes into the manifest.
func TestPublicLeavesPeopleOut(t *testing.T) {
	a := demoOnce()
	shown, _, files := publicFiles(t, a)
	var names []string
	f := a.Folder
	for _, p := range f.Permits {
		names = append(names, p.Permit)
	}
	for _, c := range f.Cuts {
		names = append(names, c.Permit)
	}
	for _, d := range f.Decisions {
		names = append(names, d.Permit, d.DecidedBy, d.Reference)
	}
	for _, s := range f.Surveys {
		names = append(names, strings.Split(s.People, "; ")...)
	}
	for _, id := range f.Quadrats.Observer {
		names = append(names, f.Names[id])
	}
	slices.Sort(names)
	names = slices.DeleteFunc(slices.Compact(names), func(s string) bool { return s == "" })
	require.Greater(t, len(names), 10)
	files["warnings"] = []byte(strings.Join(shown.AllWarnings(), "\n"))
	before, err := Files(a, invented)
	require.NoError(t, err)
	before["warnings"] = []byte(strings.Join(a.AllWarnings(), "\n"))
	for i, n := range names {
		names[i] = regexp.QuoteMeta(n)
	}
	word := regexp.MustCompile(`(?i)\b(?:` + strings.Join(names, "|") + `)\b`)
	found := 0
	for _, name := range slices.Sorted(maps.Keys(files)) {
		assert.Empty(t, word.Find(files[name]), name)
		if word.Match(before[name]) {
			found++
		}
	}
	assert.Greater(t, found, 1, "the full edition names some, in the page and in its warnings")
}

// What is withheld of the demo, and what is told, can be recounted from harvest.csv.
func TestPublicWithholdsSmallGroups(t *testing.T) {
	a := demoOnce()
	shown, opt, files := publicFiles(t, a)
	require.NotEmpty(t, opt.public.Withheld)
	told, withheld := 0, 0
	for i := range a.Units {
		u, s := &a.Units[i], &shown.Units[i]
		for k, p := range u.Pressure {
			n := permitsOf(a.Folder, u.Pair, p.From, p.To)
			if isNumber(s.Pressure[k].CutKg) {
				assert.Equal(t, p.CutKg, s.Pressure[k].CutKg)
				assert.False(t, p.CutKg > 0 && n < leastHolders, "%v %s: %d permits", u.Pair, p.From, n)
				told++
				continue
			}
			withheld++
			assert.False(t, isNumber(s.Pressure[k].Recovery.Median) || isNumber(s.Pressure[k].Ratio.Median) || isNumber(s.Pressure[k].PAbove), "the cut follows from the recovery")
			assert.Equal(t, p.Verdict, s.Pressure[k].Verdict)
		}
		for k, x := range u.Seasons {
			if y := s.Seasons[k]; isNumber(y.CutKg) {
				assert.False(t, x.CutKg > 0 && permitsOf(a.Folder, u.Pair, x.From, x.To) < leastHolders, "%v", u.Pair)
				continue
			}
			assert.Equal(t, x.Over(), s.Seasons[k].Over(), "more than advised stays more than advised")
			assert.False(t, isNumber(s.Seasons[k].LeftKg()) && !x.Over())
		}
	}
	assert.Positive(t, told)
	assert.Positive(t, withheld)
	for _, r := range csvRows(t, files["pressure.csv"]) {
		if r["reason"] == withheldNote {
			assert.Empty(t, r["cut_kg"]+r["cast_kg"]+r["recovery_kg"]+r["recovery_lo"]+r["recovery_hi"]+r["p_above"]+r["ratio"])
		}
	}
	// No weight of a withheld stand's returns is told anywhere in the page: the season's sums of each of them are looked for.
	page := string(files["report.html"])
	for i := range a.Units {
		u := &a.Units[i]
		if !withheldStand(&shown.Units[i]) {
			continue
		}
		for _, p := range u.Pressure {
			if p.CutKg > 1000 {
				assert.NotContains(t, page, kilos(p.CutKg)+" kg was cut", "%v", u.Pair)
			}
		}
	}
	assert.Contains(t, page, "This is the public edition")
}

func permitsOf(f *survey.Folder, key model.Pair, from, to survey.Day) int {
	seen := map[string]bool{}
	for _, c := range f.Cuts {
		if c.Bed == key.Bed && c.Species == key.Species && c.Kg > 0 && c.From <= to && from <= c.To {
			seen[c.Permit] = true
		}
	}
	return len(seen)
}

func csvRows(t *testing.T, data []byte) (out []map[string]string) {
	t.Helper()
	all, err := csv.NewReader(strings.NewReader(string(data))).ReadAll()
	require.NoError(t, err)
	for _, row := range all[1:] {
		cells := map[string]string{}
		for i, name := range all[0] {
			cells[name] = row[i]
		}
		out = append(out, cells)
	}
	return out
}

// threeBeds is a shore of three beds cut in one autumn; permits are those of each bed's returns.
func threeBeds(permits ...[]string) map[string]string {
	var b, q, h strings.Builder
	b.WriteString("bed,area_m2\n")
	q.WriteString("bed,date,transect,quadrat,quadrat_m2,species,cover_pct,biomass_g\n")
	h.WriteString("bed,date,species,wet_kg,permit\n")
	for i, list := range permits {
		bed := string(rune('a' + i))
		fmt.Fprintf(&b, "%s,1000\n", bed)
		for _, year := range []string{"2024", "2025"} {
			for n := range 6 {
				fmt.Fprintf(&q, "%s,%s-07-01,T%d,Q%d,0.25,Laminaria digitata,%d,%d\n", bed, year, n, n, 40+n, 900+10*n)
			}
		}
		for k, p := range list {
			fmt.Fprintf(&h, "%s,2025-09-%02d,Laminaria digitata,%d,%s\n", bed, k+1, 11*(i+1), p)
		}
	}
	return map[string]string{"beds.csv": b.String(), "quadrats.csv": q.String(), "harvest.csv": h.String(), "rules.toml": "as_of = 2025-09-30\n"}
}

// The sum over all stands minus those that are told is the cut of the withheld ones: it must not be that of one or two.
func TestPublicSumsTellNothingOfFew(t *testing.T) {
	three := []string{"P1", "P2", "P3"}
	whole := assessWith(t, folderOf(threeBeds(three, three, three)), 400)
	for name, c := range map[string]struct {
		permits [][]string
		sum     bool // the sum over all stands is told
	}{
		"one bed of one permit":            {[][]string{{"P1", "P1", "P1"}, {"P1", "P2", "P3"}, {"P1", "P2", "P4"}}, false},
		"two beds of the same two":         {[][]string{{"P1", "P2", "P1"}, {"P2", "P1", "P2"}, {"P1", "P2", "P3"}}, false},
		"two beds of three in all":         {[][]string{{"P1", "P2", "P2"}, {"P3", "P3", "P3"}, {"P1", "P2", "P3"}}, true},
		"all beds of three":                {[][]string{{"P1", "P2", "P3"}, {"P1", "P2", "P3"}, {"P1", "P2", "P4"}}, true},
		"rows without a permit are one":    {[][]string{{"", "", ""}, {"P1", "P2", "P3"}, {"P1", "P2", "P3"}}, false},
		"the same permit in other letters": {[][]string{{"P1", "p1", "P1"}, {"P1", "P2", "P3"}, {"P1", "P2", "P3"}}, false},
	} {
		t.Run(name, func(t *testing.T) {
			copied, folder := *whole, *whole.Folder
			a := &copied
			folder.Cuts = slices.Clone(folder.Cuts)
			a.Folder = &folder
			for i := range folder.Cuts { // three of each bed, as they stand in the file
				folder.Cuts[i].Permit = c.permits[i/3][i%3]
			}
			shown, opt, files := publicFiles(t, a)
			sum := 0.0
			for _, u := range a.Uses() {
				if u.CutKg > 0 {
					sum = u.CutKg
				}
			}
			require.Positive(t, sum)
			told := false
			for _, u := range opt.public.uses {
				told = told || u.CutKg > 0
			}
			assert.Equal(t, c.sum, told)
			for i, permits := range c.permits {
				few := map[string]bool{}
				for _, p := range permits {
					few[strings.ToLower(strings.TrimSpace(p))] = true
				}
				assert.Equal(t, len(few) < leastHolders, withheldStand(&shown.Units[i]), "bed %d", i)
			}
			rest := sum
			for _, r := range csvRows(t, files["quota.csv"]) {
				if kg, err := strconv.ParseFloat(r["cut_kg"], 64); err == nil {
					rest -= kg
				}
			}
			if !c.sum {
				assert.NotContains(t, string(files["report.html"]), kilos(sum)+" kg is cut")
				assert.NotContains(t, string(files["report.html"]), ": "+kilos(rest)+" kg.")
			}
		})
	}
}

// A year holds two seasons; three permits cut in the year, two of them in spring and one in autumn: no figure is told, since
// year minus season would be the cut of one.
func TestPublicLooksAtEveryStretchOfTime(t *testing.T) {
	files := threeBeds([]string{"P1"}, []string{"P1", "P2", "P3"})
	files["harvest.csv"] += "a,2025-04-01,Laminaria digitata,5,P2\na,2025-04-01,Laminaria digitata,5,P3\n"
	a := assess(t, folderOf(files))
	shown, _ := Public(a, invented)
	assert.True(t, withheldStand(&shown.Units[0]))
	assert.False(t, withheldStand(&shown.Units[1]))
	assert.Empty(t, newDrawing(shown, invented).historyInput(&shown.Units[0]).Cuts)
	assert.NotEmpty(t, newDrawing(shown, invented).historyInput(&shown.Units[1]).Cuts)
	assert.NotEmpty(t, newDrawing(a, invented).historyInput(&a.Units[0]).Cuts, "the assessment itself is as it was")
}

func TestHushedTexts(t *testing.T) {
	for text, want := range map[string]string{
		"granted 1600 kg, advised 705": "granted undisclosed kg, advised 705",
		"1410 kg are cut already in the autumn season from 2026-08-15, 705 kg are advised: stop": "undisclosed kg are cut already in the autumn season from 2026-08-15, undisclosed kg are advised: stop",
		"more was cut after the survey of 2025-07-10 (90 000 kg) than it found":                  "more was cut after the survey of 2025-07-10 (undisclosed kg) than it found",
		"only 9 transects hold the species":                                                      "only 9 transects hold the species",
		"30 kg/m2 is a lot":                                                                      "30 kg/m2 is a lot",
	} {
		assert.Equal(t, want, hushed(text))
	}
}

func TestScrubbedTexts(t *testing.T) {
	s := newScrubber(&survey.Folder{Permits: []survey.Permit{{Permit: "OM-1"}, {Permit: "OM-11"}}, Surveys: []survey.Declared{{People: "R. Marl; T. Kestle"}},
		SetAside: []survey.SetAside{{By: "left"}}})
	assert.Equal(t, "(left out) and (left out) saw OM-111 cut by (left out)", s.text("R. Marl and T. Kestle saw OM-111 cut by om-11"))
	assert.Equal(t, "Marlin", s.text("Marlin"))
	assert.Equal(t, "all", scrubber{}.text("all"))
}

// Whatever was landed without a bed or species, neither its weight nor its lines are told.
func TestPublicTextsOfUnallocatedLandings(t *testing.T) {
	var list []survey.Unallocated
	for i, kg := range []float64{0.001, 1234567.891, 5, 3, 2.5, 7, 8, 9, 1e9} {
		list = append(list, survey.Unallocated{Cut: survey.Cut{Kg: kg, Line: 3 + i, Species: ifElse(i == 2, "Fucus serratus", "")}})
		for _, some := range [][]survey.Unallocated{list, list[i:]} {
			assert.Equal(t, "cannot tell: landings without a bed or species may have been cut here", unplaced("cannot tell: "+survey.LandingWords(some)+" may have been cut here"))
			assert.Equal(t, "landings without a bed or species may be of this", unplaced(survey.LandingWords(some)+" may be of this: as little as 1230.5 kg may still be cut"))
		}
	}
	assert.Equal(t, "more was or may have been cut beyond the advice before the spring season", unplaced("16.7 kg were or may have been cut beyond the advice before the spring season"))
	assert.Equal(t, "16.7 kg were cut beyond the advice", unplaced("16.7 kg were cut beyond the advice"))
}
