package model

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"bedstock/model/growth"
	"bedstock/model/offtake"
	"bedstock/survey"
)

// twoStocks is a stand with a stock of from kg and a year later of to kg, each known to 2 % or so, of which cut kg were cut
// and loose kg may have been.
func twoStocks(from, to, cut, loose float64) (*assessor, *Unit) {
	day := survey.MakeDay(2025, 7, 10)
	u := &Unit{Stocks: []survey.Stock{{Date: day}, {Date: day + 365}}, Times: []int{0, 1}}
	u.Series = growth.Series{CutsKnown: true, Surveys: []growth.Observation{{T: day.Years(), Kg: from}, {T: (day + 365).Years(), Kg: to}},
		Cuts: []growth.Pulse{{T: day.Years() + 0.3, Kg: cut}}}
	p := growth.Posterior{Status: "ok", ESS: 1000, Draws: growth.Draws{Chains: 1, N: 1000, Names: []string{"r", "K", "sigma", "B0", "B1"}}}
	rng := rand.New(rand.NewPCG(1, 1))
	for range 1000 {
		p.Draws.X = append(p.Draws.X, 1, 5000, 0.1, from*(1+0.02*(2*rng.Float64()-1)), to*(1+0.02*(2*rng.Float64()-1)))
	}
	u.Growth = p
	a := &assessor{out: &Assessment{Config: Config{Rules: DefaultRules()}, Folder: &survey.Folder{CutsKnown: true}}, confidence: 0.95}
	if loose > 0 {
		row := survey.Unallocated{Cut: survey.Cut{From: day + 50, To: day + 50, Kg: loose, Line: 12}, Beds: []string{u.Bed}}
		a.out.Folder.Unallocated = []survey.Unallocated{row}
		a.place(u, &u.Series)
	}
	return a, u
}

// A verdict stands where it is the same with none and with all of what may have been cut besides: worked by hand. From 1000 to
// 700 kg with 400 kg cut, 100 kg grew (about 70 to 130); with 100 kg more cut, 200 kg did.
func TestVerdictWithUnallocatedLandings(t *testing.T) {
	const words = "kg without a bed or species (harvest.csv:12)"
	for _, x := range []struct {
		from, to, cut, loose float64
		verdict              offtake.Finding
		note                 string
	}{
		{1000, 700, 400, 100, offtake.AboveRecovery, "whatever part of the 100 " + words + " was cut here"},
		{1000, 700, 0, 100, offtake.CannotTell, "100 " + words + " may have been cut here"}, // none of it: nothing was cut
		{700, 1000, 100, 100, offtake.BelowRecovery, "whatever part of the 100 " + words + " was cut here"},
		{700, 1000, 0, 100, offtake.BelowRecovery, "whatever part of the 100 " + words + " was cut here"},
		{1000, 1000, 100, 100, offtake.CannotTell, "100 " + words + " may have been cut here"},
		{1000, 700, 0, 5, offtake.NothingCut, ""}, // under 1 %
		{1000, 700, 400, 5, offtake.AboveRecovery, ""},
		{1000, 700, 400, 0, offtake.AboveRecovery, ""},
	} {
		name := fmt.Sprintf("%+v", x)
		a, u := twoStocks(x.from, x.to, x.cut, x.loose)
		p := Pressure{From: u.SurveyedOn(0), To: u.SurveyedOn(1)}
		a.judge(u, 0, &p, a.drawsOf(u))
		assert.Equal(t, x.verdict, p.Verdict, name)
		assert.Equal(t, x.note, p.Note, name)
		assert.Equal(t, x.cut, p.CutKg, name)
		known, v := twoStocks(x.from, x.to, x.cut, 0)
		q := Pressure{From: p.From, To: p.To}
		known.judge(v, 0, &q, known.drawsOf(v))
		assert.Equal(t, q.Recovery.Lo, p.Recovery.Lo, name)
		if x.note == "" {
			assert.Equal(t, q.Recovery, p.Recovery, name)
			assert.Zero(t, p.UnallocatedKg)
			continue
		}
		assert.Equal(t, x.loose, p.UnallocatedKg, name)
		assert.InDelta(t, q.Recovery.Hi+x.loose, p.Recovery.Hi, 1e-9, name)
		assert.Equal(t, q.Recovery, p.RecoveryOfCut, name)
		if grew := x.to - x.from + x.cut; p.Verdict == offtake.CannotTell {
			assert.True(t, math.IsNaN(p.Ratio.Median), name)
		} else { // from none to all of it, as 100/400 to 200/500
			assert.Equal(t, q.Ratio.Median, p.Ratio.Median, name)
			none, all := x.cut/grew, (x.cut+x.loose)/(grew+x.loose)
			assert.True(t, p.Ratio.Lo <= min(none, all) && p.Ratio.Hi >= max(none, all), name)
		}
	}
	a, u := twoStocks(1000, 700, 400, 100)
	u.Pressure = []Pressure{{From: u.SurveyedOn(0), To: u.SurveyedOn(1)}}
	a.judge(u, 0, &u.Pressure[0], a.drawsOf(u))
	u.Last = &u.Pressure[0]
	assert.Regexp(t, `^Between 2025-07-10 and 2026-07-10 more was cut \(400 to 500 kg\) than grew back, .* kg \(.*\) \(whatever part of the 100 `, u.VerdictSentence(Kg))
}

// What was landed without a bed since the survey counts for the advice of a bed as if all of it had been cut there; what lies
// between two surveys frees that time.
func TestAdviceWithUnallocatedLandings(t *testing.T) {
	advised := func(bed string, dates ...string) *Unit {
		files := demoOf(t, "marrowgate")
		for _, date := range dates {
			add(files, "harvest.csv", fmt.Sprintf("%s,%s,,%s,300,cut,,,\n", bed, date, dulse))
		}
		u := unit(t, dulseWith(t, files, "2026-09-20", 400), "marrowgate", dulse)
		return &u
	}
	since := []string{"2026-08-08", "2026-09-15"} // before the season and in it
	known, loose := advised("marrowgate", since...), advised("mixed", since...)
	for i, s := range loose.Seasons {
		assert.Equal(t, []float64{known.Seasons[i].AdvisedKg, known.Seasons[i].OffKg}, []float64{s.AdvisedKg, s.OffKg}, s.Name)
	}
	s := loose.Seasons[0]
	require.Equal(t, "autumn", s.Name)
	assert.Equal(t, known.Seasons[0].CutKg-300, s.CutKg, "it is no cut of the stand")
	assert.Equal(t, 300.0, s.UnallocatedKg)
	assert.Positive(t, loose.Seasons[1].OffKg)
	assert.Contains(t, strings.Join(loose.Seasons[1].Warnings, "\n"), "kg were or may have been cut beyond the advice")
	assert.Contains(t, strings.Join(s.Warnings, "\n"), "300 kg without a bed (harvest.csv:")
	s.AdvisedKg, s.GrantedKg, s.CutKg, s.Warnings = 700, math.NaN(), 262, nil
	a := &assessor{out: &Assessment{Config: Config{Rules: DefaultRules()}}}
	a.looseInSeason(loose, &s)
	assert.Regexp(t, `may have been cut here in the autumn season from 2026-08-15: as little as 138 kg may still be cut$`, s.Warnings[0])

	u := advised("", "2026-05-01")
	last := len(u.Times) - 1
	assert.False(t, u.Series.Told(last))
	assert.True(t, u.Series.Told(last-1))
	assert.Contains(t, strings.Join(u.Warnings, "\n"), "may have been cut here between the surveys of 2025-07-27 and 2026-08-01: that time tells nothing of how fast it grows")
	assert.Equal(t, 300.0, u.Pressure[last-1].UnallocatedKg)
	assert.Contains(t, u.Pressure[last-1].VerdictWords(), "300 kg without a bed (harvest.csv:")
}

// Every gram of harvest.csv is in exactly one row of a season or outside of all, whatever the rows do not say.
func TestLedgerSumsWithUnallocatedLandings(t *testing.T) {
	rng := rand.New(rand.NewPCG(2, 1))
	asOf := survey.MakeDay(2026, 9, 20)
	a := bareFolder(nil, asOf)
	f := a.Folder
	f.CutsKnown = true
	file, cast, loose, outside := int64(0), int64(0), int64(0), int64(0)
	byShore := map[string]int64{}
	for i := range 3000 {
		mg := rng.Int64N(1e9)
		from := asOf - survey.Day(rng.IntN(900))
		c := survey.Cut{Bed: []string{"skerry", "holm"}[rng.IntN(2)], Species: []string{dulse, egg}[rng.IntN(2)], From: from, To: min(from+survey.Day(rng.IntN(5)), asOf),
			Kg: float64(mg) / 1e6, Cast: i%11 == 0, Permit: []string{"", "A"}[rng.IntN(2)], Line: i + 2}
		file += mg
		if c.Cast {
			cast += mg
		}
		middle := (c.From + (c.To-c.From)/2).Time().Format("01-02")
		out := (middle < "03-15" || middle > "06-30") && (middle < "08-15" || middle > "10-15")
		if out {
			outside += mg
		}
		beds := []string{c.Bed}
		switch rng.IntN(5) {
		case 0:
			c.Bed, beds = "", []string{"holm", "skerry"}
		case 1:
			c.Species = ""
		case 2:
			c.Bed, c.Species, beds = "", "", []string{"holm", "skerry"}
		default:
			f.Cuts = append(f.Cuts, c)
			continue
		}
		f.Unallocated = append(f.Unallocated, survey.Unallocated{Cut: c, Beds: beds})
		loose += mg
		if !out && !c.Cast {
			byShore[map[string]string{"": "", "skerry": "West", "holm": "East"}[c.Bed]] += mg
		}
	}
	l := a.Ledger(LedgerOptions{})
	seasons, rows := int64(0), int64(0)
	for _, r := range l.Rows {
		if r.Permit == "" {
			seasons += r.ReturnsMg + r.CastMg
		}
	}
	shores, lines := map[string]int64{}, []int{}
	for _, r := range l.Unallocated {
		rows += r.ReturnsMg + r.CastMg
		shores[r.Shore] += r.ReturnsMg
		assert.Equal(t, r.Shore == "", r.AnyShore)
		for _, u := range r.Rows {
			lines = append(lines, u.Line)
		}
	}
	assert.Equal(t, file, l.TotalMg)
	assert.Equal(t, cast, l.CastMg)
	assert.Equal(t, loose, l.UnallocatedMg)
	assert.Equal(t, outside, l.OutsideMg)
	assert.Equal(t, file, seasons+rows+l.OutsideMg)
	assert.Equal(t, byShore, shores)
	slices.Sort(lines)
	assert.Equal(t, lines, slices.Compact(slices.Clone(lines)), "each once")
	all := int64(0)
	for _, s := range l.Totals {
		if s.All {
			all += s.UnallocatedMg
		}
	}
	assert.Equal(t, byShore[""]+byShore["West"]+byShore["East"], all)
}

// A landing of a species that no survey knows is shown, of whatever stands are asked for that it may be of.
func TestLedgerShowsUnallocatedLandingsOfUnknownSpecies(t *testing.T) {
	a := bareFolder(nil, survey.MakeDay(2026, 9, 20))
	day := survey.MakeDay(2026, 9, 18)
	a.Folder.Unallocated = []survey.Unallocated{{Cut: survey.Cut{Species: "Mixed kelp", From: day, To: day, Kg: 1000, Line: 9}, Beds: []string{"holm", "skerry"}}}
	shown := func(only func(Pair) bool) int {
		a.Only = only
		return len(a.Ledger(LedgerOptions{}).Unallocated)
	}
	assert.Equal(t, 1, shown(nil))
	assert.Equal(t, 1, shown(func(Pair) bool { return true }))
	assert.Equal(t, 1, shown(func(p Pair) bool { return p.Bed == "holm" }))
	assert.Equal(t, 0, shown(func(p Pair) bool { return p.Species == dulse }))
}

// A permit's return without a bed is a return of each stand that it may be of, and what it landed may be of its part.
func TestLedgerNotesUnallocatedReturns(t *testing.T) {
	row := func(permit string, kg float64) *LedgerRow {
		a := bareFolder([]survey.Cut{{Bed: "skerry", Species: dulse, From: survey.MakeDay(2025, 4, 1), To: survey.MakeDay(2025, 4, 1), Kg: 1, Line: 2}}, survey.MakeDay(2026, 9, 20))
		a.Folder.Decisions = []survey.Decision{{Bed: "skerry", Species: dulse, Season: "autumn", From: survey.MakeDay(2026, 8, 15), To: survey.MakeDay(2026, 10, 15), Kg: 225}}
		a.Folder.Permits = []survey.Permit{{Permit: "A", Bed: "skerry", Share: 0.5}, {Permit: "B", Bed: "skerry", Share: 0.5}}
		a.Folder.Unallocated = []survey.Unallocated{{Cut: survey.Cut{From: survey.MakeDay(2026, 9, 18), To: survey.MakeDay(2026, 9, 18), Kg: kg, Permit: permit, Line: 9}, Beds: []string{"holm", "skerry"}}}
		l := a.Ledger(LedgerOptions{})
		whole := rowOf(t, l, "autumn", "", 2026)
		assert.Equal(t, kg, whole.UnallocatedKg)
		assert.Equal(t, 225.0, whole.LeftKg, "no cut of the stand")
		return rowOf(t, l, "autumn", "A", 2026)
	}
	none := row("A", 0)
	assert.False(t, none.Missing)
	assert.Contains(t, notesOf(none), "its nil return is without a bed or species (harvest.csv:9)")
	assert.Equal(t, 112.5, none.LeftKg)
	some := row("A", 40)
	assert.False(t, some.Missing)
	assert.Equal(t, 40.0, some.UnallocatedKg)
	assert.Equal(t, 112.5, some.LeftKg)
	assert.Contains(t, notesOf(some), "40 kg without a bed or species (harvest.csv:9) may be of this: decided less cut may be as little as 72.5 kg")
	for _, other := range []string{"B", ""} {
		r := row(other, 40)
		assert.True(t, r.Missing)
		assert.Zero(t, r.UnallocatedKg)
	}
}
