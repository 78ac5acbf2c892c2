package model

import (
	"io/fs"
	"math"
	"runtime"
	"slices"
	"strings"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"bedstock/data"
	"bedstock/model/offtake"
	"bedstock/survey"
)

const testDraws = 2000

// demoOf is the demo folder with only the given beds in every file that has a bed column.
func demoOf(t testing.TB, beds ...string) fstest.MapFS {
	t.Helper()
	sub, err := fs.Sub(data.FS, "demo")
	require.NoError(t, err)
	names, err := fs.Glob(sub, "*")
	require.NoError(t, err)
	out := fstest.MapFS{}
	for _, name := range names {
		text, err := fs.ReadFile(sub, name)
		require.NoError(t, err)
		lines := strings.SplitAfter(string(text), "\n")
		column := -1
		for i, c := range strings.Split(strings.TrimSpace(lines[0]), ",") {
			if c == "bed" {
				column = i
			}
		}
		var kept strings.Builder
		rows := -1
		for i, line := range lines {
			cells := strings.Split(line, ",")
			if line == "" {
				continue
			}
			if i == 0 || column < 0 || len(beds) == 0 || len(cells) <= column || cells[column] == "" || cells[column] == "*" || slices.Contains(beds, cells[column]) {
				kept.WriteString(line)
				rows++
			}
		}
		if rows > 0 {
			out[name] = &fstest.MapFile{Data: []byte(kept.String())}
		}
	}
	return out
}

func add(files fstest.MapFS, name, rows string) {
	var before []byte
	if f := files[name]; f != nil {
		before = f.Data
	}
	files[name] = &fstest.MapFile{Data: append(append([]byte(nil), before...), rows...)}
}

func assessFolder(t testing.TB, files fstest.MapFS, change func(*Rules) error) *Assessment {
	t.Helper()
	table, problems := survey.ReadSpecies(data.FS, "species.csv")
	require.Empty(t, problems.Faults())
	folder, rules, err := Load(files, table, LoadOptions{Change: change})
	require.NoError(t, err)
	return Assess(folder, Config{Rules: rules, Seed: 1, Draws: testDraws})
}

func unit(t testing.TB, a *Assessment, bed, species string) Unit {
	t.Helper()
	for _, u := range a.Units {
		if u.Pair == (Pair{bed, species}) {
			return u
		}
	}
	require.Fail(t, "no unit", "%s %s", bed, species)
	return Unit{}
}

const egg = "Ascophyllum nodosum"

func TestAssessTheDemo(t *testing.T) {
	a := assessFolder(t, demoOf(t, "tarrowick", "fennimer", "quernside"), nil)
	u := unit(t, a, "tarrowick", egg)
	require.NotNil(t, u.Basis)
	assert.Equal(t, "2026-08-15", u.Basis.Open.String(), "the first season after the survey")
	require.Len(t, u.Seasons, 2)
	for _, s := range u.Seasons {
		assert.Less(t, s.Survey, s.From, "a season rests on a survey before its first day")
		assert.LessOrEqual(t, s.AdvisedKg, u.Basis.Year.AdvisedKg)
	}
	require.Len(t, u.Pressure, 4)
	closed := unit(t, a, "fennimer", egg)
	assert.Equal(t, Closed, closed.Status)
	for _, s := range closed.Seasons {
		assert.Equal(t, 0.0, s.AdvisedKg)
		assert.Equal(t, offtake.ByClosed, s.LimitedBy)
		assert.NotEmpty(t, s.Reason)
	}
	wide := unit(t, a, "quernside", "Fucus serratus")
	assert.Equal(t, "ratio", wide.Stocks[0].Conversion, "never weighed here: a wider calibration")
	assert.NotEqual(t, "survey", wide.Stocks[0].Domain)
}

// What was cut and what grew add up to the change of the stock.
func TestPressureAddsUp(t *testing.T) {
	a := assessFolder(t, demoOf(t, "tarrowick"), nil)
	u := unit(t, a, "tarrowick", egg)
	for i, p := range u.Pressure {
		before, after := u.Growth.Draws.Col([]string{"B0", "B1", "B2", "B3"}[i]), u.Growth.Draws.Col([]string{"B1", "B2", "B3", "B4"}[i])
		change := make([]float64, len(before))
		for d := range change {
			change[d] = after[d] - before[d]
		}
		assert.InDelta(t, survey.Quantile(change, 0.5)+p.CutKg, p.Recovery.Median, 1e-6*p.CutKg)
		cut := 0.0
		for _, c := range a.Folder.Cuts {
			if c.Bed == u.Bed && c.Species == u.Species && !c.Cast && c.From >= p.From && c.To < p.To {
				cut += c.Kg
			}
		}
		assert.InDelta(t, cut, p.CutKg, 1e-9*cut)
	}
}

func TestSameOnAnyNumberOfCores(t *testing.T) {
	files := demoOf(t, "tarrowick", "lantry")
	one := func(n int) *Assessment {
		defer runtime.GOMAXPROCS(runtime.GOMAXPROCS(n))
		return assessFolder(t, files, nil)
	}
	a, b := one(1), one(4)
	for i := range a.Units {
		assert.Equal(t, a.Units[i].Growth.Draws, b.Units[i].Growth.Draws, a.Units[i].Pair)
		for j := range a.Units[i].Seasons {
			assert.Equal(t, a.Units[i].Seasons[j].AdvisedKg, b.Units[i].Seasons[j].AdvisedKg)
		}
	}
}

// A storm after the survey of unknown strength suspends the advice; a known one lowers the stock.
func TestStormAfterTheSurvey(t *testing.T) {
	calm := assessFolder(t, demoOf(t, "tarrowick"), nil)
	half := demoOf(t, "tarrowick")
	add(half, "events.csv", "bed,date,kind,fraction_left\ntarrowick,2026-08-20,storm,0.5\n")
	hit := assessFolder(t, half, nil)
	const sp = "Palmaria palmata"
	before, after := unit(t, calm, "tarrowick", sp).Basis.Stand.B, unit(t, hit, "tarrowick", sp).Basis.Stand.B
	assert.InDelta(t, 0.5, survey.Quantile(after, 0.5)/survey.Quantile(before, 0.5), 0.1)
	unknown := demoOf(t, "tarrowick")
	add(unknown, "events.csv", "bed,date,kind,fraction_left\ntarrowick,2026-08-20,storm,\n")
	u := unit(t, assessFolder(t, unknown, nil), "tarrowick", sp)
	assert.Equal(t, NotAssessed, u.Status)
	assert.Contains(t, u.Reason, "the storm of 2026-08-20 came after the survey of 2026-07-29")
	assert.Contains(t, u.Reason, "survey again")
	for _, s := range u.Seasons {
		assert.True(t, math.IsNaN(s.AdvisedKg), "not had is not 0")
	}
}

// A cut inside the seasons of the advice is part of it; one outside lowers the stock that the advice stands on.
func TestCutsSinceTheSurvey(t *testing.T) {
	median := func(day string) float64 {
		files := demoOf(t, "tarrowick")
		add(files, "harvest.csv", "tarrowick,"+day+",,Palmaria palmata,500,cut,,,\n")
		return survey.Quantile(unit(t, assessFolder(t, files, nil), "tarrowick", "Palmaria palmata").Basis.Stand.B, 0.5)
	}
	in, out := median("2026-09-01"), median("2026-08-05")
	assert.InDelta(t, 500, in-out, 50, "but for what a stock above K loses until the season")
}

// What is cut beyond the advice of a season is taken off the next, and said.
func TestOverTakeLowersTheNextSeason(t *testing.T) {
	const sp = "Palmaria palmata"
	plain := unit(t, assessFolder(t, demoOf(t, "tarrowick"), nil), "tarrowick", sp)
	files := demoOf(t, "tarrowick")
	add(files, "harvest.csv", "tarrowick,2026-09-01,,"+sp+",300,cut,,,\n")
	over := unit(t, assessFolder(t, files, nil), "tarrowick", sp)
	require.Equal(t, "autumn", over.Seasons[0].Name)
	assert.Equal(t, plain.Seasons[0].AdvisedKg, over.Seasons[0].AdvisedKg, "the running season keeps its advice")
	assert.Contains(t, strings.Join(over.Seasons[0].Warnings, ";"), "stop")
	assert.LessOrEqual(t, over.Seasons[1].AdvisedKg, plain.Seasons[1].AdvisedKg-(300-plain.Seasons[0].AdvisedKg)+1, "but for rounding")
	assert.Contains(t, strings.Join(over.Seasons[1].Warnings, ";"), "taken off here")
}

// A bed that closes or opens from a date does so for the seasons after it.
func TestDatedStatus(t *testing.T) {
	files := demoOf(t, "tarrowick")
	add(files, "beds.csv", "tarrowick,Tarrowick Ledges,Ockenmere,mid,11200,,50.012,-30.041,closed,pipeline works,2027-01-01\n")
	u := unit(t, assessFolder(t, files, nil), "tarrowick", "Palmaria palmata")
	assert.Equal(t, Assessed, u.Seasons[0].Status)
	assert.Equal(t, Closed, u.Seasons[1].Status)
	assert.Equal(t, "pipeline works", u.Seasons[1].Reason)
}

// The year's advice never exceeds the highest fraction of the upper end of the last whole survey.
func TestAdviceStaysWithinTheSurvey(t *testing.T) {
	a := assessFolder(t, demoOf(t), nil)
	for _, u := range a.Units {
		if u.Basis != nil {
			assert.LessOrEqual(t, u.Basis.Year.AdvisedKg, a.Rules.Offtake.MaxFraction*u.Basis.Stock.Kg.Hi, u.Pair)
		}
	}
}

func TestAgeOfTheSurvey(t *testing.T) {
	at := func(day string) Unit {
		a := assessFolder(t, demoOf(t, "tarrowick"), func(r *Rules) error { return r.Override("as_of", "--on", day) })
		return unit(t, a, "tarrowick", "Palmaria palmata")
	}
	now, later, old := at("2026-09-20"), at("2028-03-20"), at("2030-03-20")
	assert.Equal(t, Assessed, now.Status)
	require.Equal(t, Assessed, later.Status)
	for i, s := range later.Seasons {
		assert.Contains(t, strings.Join(s.Warnings, ";"), "over a year older")
		share := shareOf(t, s.Name)
		assert.LessOrEqual(t, s.AdvisedKg, share*now.Basis.Year.AdvisedKg+1, "never above the last advice (%d)", i)
	}
	assert.Equal(t, NotAssessed, old.Status)
	assert.Contains(t, old.Reason, "three years")
}

func shareOf(t *testing.T, name string) float64 {
	for _, s := range DefaultRules().Seasons {
		if s.Name == name {
			return s.Share
		}
	}
	t.Fatalf("no season %s", name)
	return 0
}

func TestRest(t *testing.T) {
	a := assessFolder(t, demoOf(t, "tarrowick"), func(r *Rules) error { return r.Override("rest_years", "test", int64(2)) })
	u := unit(t, a, "tarrowick", egg)
	assert.Equal(t, Resting, u.Status)
	assert.Equal(t, offtake.ByRest, u.Seasons[0].LimitedBy)
	assert.Equal(t, 0.0, u.Seasons[0].AdvisedKg)
}

func TestCutsNotKnown(t *testing.T) {
	files := demoOf(t, "tarrowick")
	delete(files, "harvest.csv")
	delete(files, "permits.csv")
	a := assessFolder(t, files, nil)
	u := unit(t, a, "tarrowick", egg)
	assert.Nil(t, u.Last, "no verdict without harvest.csv")
	for _, p := range u.Pressure {
		assert.True(t, math.IsNaN(p.CutKg))
		assert.Equal(t, offtake.PressureNotAssessed, p.Verdict)
		assert.Contains(t, p.Reason, "harvest.csv")
	}
	assert.InDelta(t, 1, u.Growth.LogRShrink, 0.15, "the surveys say nothing of r")
	assert.Contains(t, strings.Join(u.Warnings, ";"), "harvest.csv")
}

// Returns that are not in are not known: no cut of 0, no verdict, and r is not informed by that time.
func TestReturnsNotIn(t *testing.T) {
	late := func(r *Rules) error { return r.Override("returns_complete_to", "test", "2025-07-01") }
	u := unit(t, assessFolder(t, demoOf(t, "tarrowick"), late), "tarrowick", egg)
	last := u.Pressure[len(u.Pressure)-1]
	assert.True(t, math.IsNaN(last.CutKg))
	assert.Equal(t, offtake.PressureNotAssessed, last.Verdict)
	assert.Contains(t, last.Reason, "2025-07-01")
	assert.Empty(t, u.Pressure[0].Reason, "what came before is known")
	none := unit(t, assessFolder(t, demoOf(t, "tarrowick"), func(r *Rules) error {
		return r.Override("returns_complete_to", "test", "2022-01-01")
	}), "tarrowick", egg)
	all := unit(t, assessFolder(t, demoOf(t, "tarrowick"), nil), "tarrowick", egg)
	assert.Greater(t, none.Growth.LogRShrink, all.Growth.LogRShrink)
}

// What a storm took is not laid at the door of those who cut.
func TestStormIsNoOverCut(t *testing.T) {
	u := unit(t, assessFolder(t, demoOf(t, "splinterholm"), nil), "splinterholm", "Laminaria digitata")
	hit := u.Pressure[1]
	require.Contains(t, hit.Storm, "2024-01-14")
	assert.Greater(t, hit.PAbove, 0.975, "the stock did fall")
	assert.Equal(t, offtake.CannotTell, hit.Verdict)
	assert.Contains(t, hit.VerdictWords(), "storm of 2024-01-14")
}

func TestRestBetweenSeasons(t *testing.T) {
	a := assessFolder(t, demoOf(t, "splinterholm"), func(r *Rules) error { return r.Override("rest_years", "test", int64(1)) })
	u := unit(t, a, "splinterholm", "Fucus serratus") // not cut before
	assert.Greater(t, u.Seasons[0].AdvisedKg, 0.0)
	assert.Contains(t, strings.Join(u.Seasons[1].Warnings, ";"), "only if nothing is cut in the autumn season")
}

func TestUnknownSpeciesHasNoQuota(t *testing.T) {
	files := demoOf(t, "tarrowick")
	for name, f := range files {
		f.Data = []byte(strings.ReplaceAll(string(f.Data), "Palmaria palmata", "Inventa marina"))
		files[name] = f
	}
	delete(files, "species.csv")
	u := unit(t, assessFolder(t, files, nil), "tarrowick", "Inventa marina")
	assert.Equal(t, NotAssessed, u.Status)
	assert.Contains(t, u.Reason, "no row in the species table")
	assert.True(t, u.Stocks[0].Kg.OK, "but a stock")
	assert.True(t, math.IsNaN(u.Seasons[0].AdvisedKg))
}

func TestSeasonDays(t *testing.T) {
	winter := offtake.Season{Name: "winter", From: offtake.MonthDay{Month: 11, Day: 1}, To: offtake.MonthDay{Month: 2, Day: 15}}
	for _, c := range []struct{ day, from, to string }{
		{"2026-01-10", "2025-11-01", "2026-02-15"},
		{"2026-02-16", "2026-11-01", "2027-02-15"},
		{"2026-11-01", "2026-11-01", "2027-02-15"},
	} {
		d, err := survey.ParseDay(c.day)
		require.NoError(t, err)
		from, to := current(winter, d)
		assert.Equal(t, c.from, from.String(), c.day)
		assert.Equal(t, c.to, to.String(), c.day)
	}
	from, _ := after(winter, survey.MakeDay(2026, 11, 1))
	assert.Equal(t, "2027-11-01", from.String(), "begins after the day")
}

func TestPulsesKeepTheWeight(t *testing.T) {
	c := survey.Cut{From: survey.MakeDay(2026, 1, 1), To: survey.MakeDay(2026, 4, 1), Kg: 910}
	p := Pulses(c)
	assert.Len(t, p, 4)
	sum := 0.0
	for _, x := range p {
		sum += x.Kg
		assert.Greater(t, x.T, c.From.Years())
		assert.Less(t, x.T, c.To.Years())
	}
	assert.InDelta(t, 910, sum, 1e-9)
	one := Pulses(survey.Cut{From: c.From, To: c.From, Kg: 5})
	require.Len(t, one, 1)
	assert.InDelta(t, c.From.Years(), one[0].T, 1e-12)
}

func TestKg(t *testing.T) {
	for v, want := range map[float64]string{0: "0", 33: "33", 33.04: "33", 1234: "1230", 50899999.3: "50900000", 48423456: "48400000", 0.0456: "0.0456", 7.071: "7.07", math.NaN(): "-", -123.4: "-123"} {
		assert.Equal(t, want, Kg(v))
	}
}

func BenchmarkAssessTheDemo(b *testing.B) {
	files := demoOf(b)
	table, _ := survey.ReadSpecies(data.FS, "species.csv")
	for b.Loop() {
		folder, rules, err := Load(files, table, LoadOptions{})
		if err != nil {
			b.Fatal(err)
		}
		Assess(folder, Config{Rules: rules, Seed: 1, Draws: DefaultDraws})
	}
}
