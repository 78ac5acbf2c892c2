package model

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"bedstock/data"
	"bedstock/survey"
)

// bookOf is the ledger of the dulse on one bed of the demo with its own returns, grants and permits, on 2026-09-20.
func bookOf(t *testing.T, change func(fstest.MapFS)) Ledger {
	t.Helper()
	files := demoOf(t, "marrowgate")
	if change != nil {
		change(files)
	}
	return dulseOn(t, files, "2026-09-20").Ledger(LedgerOptions{})
}

// dulseOn is the assessment of the dulse alone with what was known on a day.
func dulseOn(t *testing.T, files fstest.MapFS, day string) *Assessment {
	t.Helper()
	return dulseWith(t, files, day, testDraws)
}

func dulseWith(t *testing.T, files fstest.MapFS, day string, draws int) *Assessment {
	t.Helper()
	table, problems := survey.ReadSpecies(data.FS, "species.csv")
	require.Empty(t, problems.Faults())
	folder, rules, err := Load(files, table, LoadOptions{Change: func(r *Rules) error {
		r.Survey.LeaveLater = true
		return r.Override("as_of", "--on", day)
	}})
	require.NoError(t, err)
	return Assess(folder, Config{Rules: rules, Seed: 1, Draws: draws, Only: func(p Pair) bool { return p.Species == dulse }})
}

// rowOf is the row of a season and permit of the dulse on the bed.
func rowOf(t *testing.T, l Ledger, season, permit string, year int) *LedgerRow {
	t.Helper()
	for _, r := range l.Rows {
		if r.Species == dulse && r.Season == season && r.Permit == permit && r.From.Year() == year {
			return r
		}
	}
	require.Fail(t, fmt.Sprint("no row ", season, " ", year, " ", permit))
	return nil
}

func notesOf(r *LedgerRow) string { return strings.Join(r.Notes, "; ") }

// bareFolder is a folder without surveys: one bed with returns alone.
func bareFolder(cuts []survey.Cut, asOf survey.Day) *Assessment {
	return &Assessment{Config: Config{Rules: DefaultRules(), Seed: 1, Draws: 400}, Folder: &survey.Folder{AsOf: asOf, Cuts: cuts, CutsKnown: len(cuts) > 0,
		Beds: []survey.Bed{{ID: "skerry", Periods: []survey.BedPeriod{{Shore: "West", Status: "open", From: survey.NoDay}}},
			{ID: "holm", Periods: []survey.BedPeriod{{Shore: "East", Status: "open", From: survey.NoDay}}}}}}
}

// Every gram of harvest.csv is in exactly one season or outside of all, whatever the weights, days and permits.
func TestLedgerSumsAgreeWithTheFile(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 1))
	asOf := survey.MakeDay(2026, 9, 20)
	permits := []string{"", "A", "B", "C"}
	var cuts []survey.Cut
	file, cast, outside := int64(0), int64(0), int64(0)
	byPermit := map[string]int64{}
	for i := range 3000 {
		mg := rng.Int64N(1e10)
		if i%7 == 0 {
			mg = rng.Int64N(1000) * 1e5 // tenths of a gram
		}
		from := asOf - survey.Day(rng.IntN(1500))
		c := survey.Cut{Bed: []string{"skerry", "holm"}[i%2], Species: []string{dulse, egg}[rng.IntN(2)], From: from, To: min(from+survey.Day(rng.IntN(5)), asOf),
			Kg: float64(mg) / 1e6, Cast: i%11 == 0, Permit: permits[rng.IntN(4)], Line: i + 2}
		cuts = append(cuts, c)
		file += mg
		if c.Cast {
			cast += mg
		}
		middle := (c.From + (c.To-c.From)/2).Time().Format("01-02")
		if (middle < "03-15" || middle > "06-30") && (middle < "08-15" || middle > "10-15") {
			outside += mg
		} else if c.Permit != "" {
			byPermit[c.Permit] += mg
		}
	}
	l := bareFolder(cuts, asOf).Ledger(LedgerOptions{})
	var seasons, totals int64
	gotPermit := map[string]int64{}
	for _, r := range l.Rows {
		if r.Permit == "" {
			seasons += r.ReturnsMg + r.CastMg
		} else {
			gotPermit[r.Permit] += r.ReturnsMg + r.CastMg
		}
	}
	for _, s := range l.Totals {
		if s.All {
			totals += s.ReturnsMg
		}
	}
	strays := int64(0)
	for _, s := range l.Strays {
		if s.Outside {
			strays += milligrams(s.Kg)
		}
	}
	assert.Equal(t, file, l.TotalMg)
	assert.Equal(t, cast, l.CastMg)
	assert.Equal(t, outside, l.OutsideMg)
	assert.Equal(t, file, seasons+l.OutsideMg)
	assert.Equal(t, byPermit, gotPermit)
	assert.LessOrEqual(t, strays, outside, "cast weed is no stray")
	assert.Positive(t, strays)
	inCast := int64(0)
	for _, r := range l.Rows {
		if r.Permit == "" {
			inCast += r.CastMg
		}
	}
	assert.Equal(t, seasons-inCast, totals, "the rows of all shores hold every return")
}

// Without permits.csv and decisions by name the advice is split over nobody; shares split it and what was decided.
func TestLedgerSplitsOverPermits(t *testing.T) {
	l := bookOf(t, nil)
	whole := rowOf(t, l, "autumn", "", 2026)
	require.True(t, whole.Issued())
	assert.Equal(t, 450.0, whole.DecidedKg)
	assert.Equal(t, SeasonRunning, whole.State)
	sum := int64(0)
	for _, permit := range []string{"TS-11", "TS-12", "TS-13", "TS-14"} {
		r := rowOf(t, l, "autumn", permit, 2026)
		assert.Equal(t, 112.5, r.DecidedKg, "a quarter")
		assert.Equal(t, whole.AdvisedKg/4, r.AdvisedKg)
		sum += r.ReturnsMg
	}
	assert.Equal(t, whole.ReturnsMg, sum)
	idle := rowOf(t, l, "autumn", "TS-13", 2026)
	assert.True(t, idle.Missing)
	assert.Contains(t, notesOf(idle), "no return so far, 36 days into the season")
	past := rowOf(t, l, "autumn", "TS-11", 2025)
	assert.Equal(t, SeasonOver, past.State)
	assert.True(t, math.IsNaN(past.AdvisedKg), "not asked for")
	assert.True(t, past.Over())
	assert.Zero(t, past.LeftKg)
}

// What is granted by name is a part of what is granted to the bed; a later decision takes the place of an earlier one.
func TestLedgerGrantsByNameAndAnew(t *testing.T) {
	l := bookOf(t, func(files fstest.MapFS) {
		add(files, "decisions.csv", "marrowgate,Palmaria palmata,Autumn,2026-08-15,2026-10-15,TS-11,100,committee,2026-08-06,,\n"+
			"marrowgate,Palmaria palmata,autumn,2026-08-15,2026-10-15,,400,committee,2026-09-01,,cut back\n"+
			"marrowgate,Palmaria palmata,autumn,2026-08-15,2026-10-15,,30,committee,2026-09-01,b,and a little more\n")
	})
	whole := rowOf(t, l, "autumn", "", 2026)
	assert.Equal(t, 430.0, whole.DecidedKg, "of the first of September, both; not the 100 kg by name once more")
	assert.Contains(t, notesOf(whole), "decided anew on 2026-09-01: before it was 450 kg (decisions.csv:")
	assert.Equal(t, 100.0, rowOf(t, l, "autumn", "TS-11", 2026).DecidedKg)
	assert.Equal(t, 107.5, rowOf(t, l, "autumn", "TS-12", 2026).DecidedKg)

	l = bookOf(t, func(files fstest.MapFS) {
		text := string(files["decisions.csv"].Data)
		files["decisions.csv"].Data = []byte(strings.Replace(text, "marrowgate,Palmaria palmata,autumn,2026-08-15,2026-10-15,,450",
			"marrowgate,Palmaria palmata,autumn,2026-08-15,2026-10-15,TS-11,200", 1))
	})
	assert.Equal(t, 200.0, rowOf(t, l, "autumn", "", 2026).DecidedKg, "nothing is decided for the bed as a whole")
	other := rowOf(t, l, "autumn", "TS-12", 2026)
	assert.Equal(t, 0.0, other.DecidedKg)
	assert.True(t, other.Over())
	assert.Contains(t, notesOf(other), "granted to others by name")
}

// The advice of a season that is over is the one that an assessment on its first day gives, and it does not change with what
// came later.
func TestLedgerAdviceOfSeasonsThatAreOver(t *testing.T) {
	files := demoOf(t, "marrowgate")
	a := dulseOn(t, files, "2026-09-20")
	l := a.Ledger(LedgerOptions{AdviceSince: survey.MakeDay(2026, 6, 1)})
	spring := rowOf(t, l, "spring", "", 2026)
	u := unit(t, dulseOn(t, files, "2026-03-15"), "marrowgate", dulse)
	require.Equal(t, "spring", u.Seasons[0].Name)
	assert.Equal(t, u.Seasons[0].AdvisedKg, spring.AdvisedKg)
	assert.Positive(t, spring.AdvisedKg)
	assert.Equal(t, Assessed, spring.Status)
	assert.Equal(t, 1100.0, spring.DecidedKg)
	assert.True(t, math.IsNaN(rowOf(t, l, "autumn", "", 2025).AdvisedKg), "ended before")

	corrected := *a.Folder // the survey of 2026 weighed twice what there was
	corrected.Quadrats.Biomass = slices.Clone(corrected.Quadrats.Biomass)
	for i, day := range corrected.Quadrats.Day {
		if day.Year() == 2026 {
			corrected.Quadrats.Biomass[i] /= 2
		}
	}
	anew := Assess(&corrected, a.Config).Ledger(LedgerOptions{})
	now, before := rowOf(t, anew, "autumn", "", 2026), rowOf(t, l, "autumn", "", 2026)
	assert.Less(t, now.AdvisedKg, 0.9*before.AdvisedKg)
	assert.Equal(t, before.DecidedKg, now.DecidedKg, "a decision stands")
	assert.Equal(t, before.ReturnsMg, now.ReturnsMg)
	assert.Contains(t, notesOf(now), "decided above the advice")
}
