package model

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"bedstock/model/growth"
	"bedstock/survey"
)

// usedUnit is a stand with an advice of 100 kg for a running autumn and 300 kg for the spring after it.
func usedUnit(f *survey.Folder) (*assessor, *Unit) {
	day := survey.MakeDay
	f.AsOf = day(2026, 9, 20)
	a := &assessor{out: &Assessment{Config: Config{Rules: DefaultRules()}, Folder: f}}
	u := &Unit{Pair: Pair{"skerry", egg}, Seasons: []Season{
		{Name: "autumn", From: day(2026, 8, 15), To: day(2026, 10, 15), AdvisedKg: 100, Status: Assessed},
		{Name: "spring", From: day(2027, 3, 15), To: day(2027, 6, 30), AdvisedKg: 300, Status: Assessed},
	}}
	return a, u
}

func grant(season string, from, to survey.Day, kg float64) survey.Decision {
	return survey.Decision{Bed: "skerry", Species: egg, Season: season, From: from, To: to, Kg: kg}
}

func TestUseOfASeason(t *testing.T) {
	day := survey.MakeDay
	f := &survey.Folder{CutsKnown: true, Decisions: []survey.Decision{
		grant("autumn", day(2026, 8, 15), day(2026, 10, 15), 70),
		grant("Autumn", day(2026, 8, 15), day(2026, 10, 15), 50),
		grant("autumn", day(2025, 8, 15), day(2025, 10, 15), 999),
		grant("licence 7", day(2026, 10, 1), day(2027, 6, 1), 20),
		{Bed: "other", Species: egg, Season: "autumn", From: day(2026, 8, 15), To: day(2026, 10, 15), Kg: 999},
	}}
	a, u := usedUnit(f)
	u.Series = growth.Series{Cuts: []growth.Pulse{{T: day(2026, 8, 14).Years(), Kg: 999}, {T: day(2026, 8, 15).Years(), Kg: 30}, {T: day(2026, 9, 1).Years(), Kg: 110}}}
	a.use(u)
	autumn, spring := u.Seasons[0], u.Seasons[1]
	assert.Equal(t, 120.0, autumn.GrantedKg, "two permits of this autumn, whatever the case of its name")
	assert.Equal(t, 20.0, spring.GrantedKg, "a name that is no season counts where most of its days lie")
	assert.Equal(t, 140.0, autumn.CutKg)
	assert.Equal(t, 0.0, autumn.LeftKg(), "never below 0")
	assert.True(t, autumn.Over())
	assert.Equal(t, []string{"granted 120 kg, advised 100"}, autumn.Warnings)
	assert.Equal(t, 0.0, spring.CutKg)
	assert.Equal(t, 20.0, spring.LeftKg(), "of what is granted, which is less than the advice")
	assert.False(t, spring.Over())
	assert.Empty(t, spring.Warnings)

	a.out.Units = []Unit{*u}
	uses := a.out.Uses()
	require.Len(t, uses, 2)
	assert.Equal(t, "Of the 100 kg advised for autumn 2026, 140 kg is cut; 1 stand is over its advice; 1 of 1 grant is above it", uses[0].Sentence(Kg, KgDown))
	assert.True(t, uses[0].Running)
	assert.Equal(t, "", uses[1].Sentence(Kg, KgDown))
	assert.False(t, uses[1].Running)
}

// What is not known stays not known: no number stands for it.
func TestUseThatIsNotKnown(t *testing.T) {
	a, u := usedUnit(&survey.Folder{})
	a.use(u)
	for _, s := range u.Seasons {
		assert.True(t, math.IsNaN(s.GrantedKg) && math.IsNaN(s.CutKg) && math.IsNaN(s.LeftKg()))
		assert.False(t, s.Over() || s.GrantOver())
	}
	a.out.Units = []Unit{*u}
	use := a.out.Uses()[0]
	assert.True(t, math.IsNaN(use.GrantedKg) && math.IsNaN(use.CutKg) && math.IsNaN(use.LeftKg))
	assert.Equal(t, 100.0, use.AdvisedKg)
}

// A grant for a bed that is closed or not assessed counts, and so does what is cut there.
func TestUseWhereNothingMayBeCut(t *testing.T) {
	day := survey.MakeDay
	f := &survey.Folder{CutsKnown: true, Decisions: []survey.Decision{grant("autumn", day(2026, 8, 15), day(2026, 10, 15), 70),
		grant("spring", day(2027, 3, 15), day(2027, 6, 30), 80)}}
	a, u := usedUnit(f)
	u.Seasons[0].Closures = []survey.Closure{{From: day(2026, 9, 1), To: survey.NoDay}}
	u.Seasons[0].AdvisedKg, u.Seasons[0].Status = 0, Closed
	u.Seasons[1].AdvisedKg, u.Seasons[1].Status = math.NaN(), NotAssessed
	u.Series = growth.Series{Cuts: []growth.Pulse{{T: day(2026, 9, 1).Years(), Kg: 10}}}
	a.cutWhileShut(u, &u.Seasons[0])
	a.use(u)
	assert.True(t, u.Seasons[0].Over())
	assert.Equal(t, []string{"10 kg were cut from 2026-08-15 on all the same", "granted 70 kg, advised 0"}, u.Seasons[0].Warnings)
	assert.Equal(t, []string{"granted 80 kg, no amount can be advised"}, u.Seasons[1].Warnings)
	a.out.Units = []Unit{*u}
	assert.Equal(t, 1, a.out.Uses()[0].GrantsOver)
	assert.Equal(t, 1, a.out.Uses()[1].GrantsOver)
}

// What was cut before a bed was closed in the middle of a season was allowed then.
func TestCutBeforeAClosure(t *testing.T) {
	day := survey.MakeDay
	a, u := usedUnit(&survey.Folder{CutsKnown: true})
	s := &u.Seasons[0]
	s.Closures = []survey.Closure{{From: day(2026, 9, 1), To: survey.NoDay}}
	s.AdvisedKg, s.Status = 0, Closed
	u.Series = growth.Series{Cuts: []growth.Pulse{{T: day(2026, 8, 31).Years(), Kg: 40}}}
	a.cutWhileShut(u, s)
	a.use(u)
	assert.Equal(t, 40.0, s.CutKg)
	assert.Equal(t, 0.0, s.ShutKg)
	assert.False(t, s.Over())
	assert.Empty(t, s.Warnings)
	s.Status = Resting
	a.cutWhileShut(u, s)
	assert.Equal(t, 40.0, s.ShutKg, "a stand that rests, rests from the first day")
	assert.True(t, s.Over())
}

func TestReturnsThatAreNotIn(t *testing.T) {
	a, u := usedUnit(&survey.Folder{CutsKnown: true})
	a.out.Rules.ReturnsCompleteTo = survey.MakeDay(2026, 8, 31)
	a.use(u)
	assert.Equal(t, []string{"returns are in up to 2026-08-31 only: more may be cut than they say"}, u.Seasons[0].Warnings)
	assert.Empty(t, u.Seasons[1].Warnings, "it has not begun")
}

func TestChangedRules(t *testing.T) {
	r, problems := ParseRules(RulesText{Name: "rules.toml", Text: []byte("as_of = 2026-09-20\nmax_fraction = 0.33\nrisk = 0.5\n" +
		"[[season]]\nname = \"all\"\nfrom = \"03-01\"\nto = \"10-01\"\nshare = 1.0\n")})
	require.Empty(t, problems)
	assert.Equal(t, "Rules other than the defaults: risk 0.5 (rules.toml:3)", r.ChangedSentence(), "what is set to its default is no change")
	assert.Equal(t, "", DefaultRules().ChangedSentence())
}

func TestWeightsAtMost(t *testing.T) {
	for want, kg := range map[string]float64{"9680": 9689, "10600": 10699.9, "0": 0, "1.23": 1.2399, "300": 100 * (0.1 + 0.2) * 10, "-": math.NaN()} {
		assert.Equal(t, want, KgDown(kg))
	}
	assert.Equal(t, "0", Kg(1.5e-10), "less than a gram is nothing")
}
