package model

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"bedstock/model/offtake"
)

// A season that gets less for what was cut before it says so, not the limit that the year met; the sentence names both. Where
// the season is closed, what was cut before is of no account.
func TestTakeOffIsWhatLimits(t *testing.T) {
	files := demoOf(t, "marrowgate")
	add(files, "harvest.csv", "marrowgate,2026-09-18,,"+dulse+",150,cut,TS-11,,\n")
	u := unit(t, dulseWith(t, files, "2026-09-20", 400), "marrowgate", dulse)
	autumn, spring := u.Seasons[0], u.Seasons[1]
	require.Positive(t, spring.OffKg)
	require.Positive(t, spring.AdvisedKg)
	assert.Equal(t, offtake.ByCap, autumn.LimitedBy, "of the season that was cut too much itself the limit is what it was")
	assert.Equal(t, offtake.ByCutBefore, spring.LimitedBy)
	assert.Contains(t, u.Sentence(Kg), "the cap on the share of the stock less what was cut beyond the advice before sets the limit")
	told := "cut beyond the advice before the spring season, since the survey: taken off here"
	assert.Contains(t, strings.Join(spring.Warnings, "\n"), told)

	add(files, "harvest.csv", "marrowgate,2026-09-19,,"+dulse+",3000,cut,TS-11,,\n")
	u = unit(t, dulseWith(t, files, "2026-09-20", 400), "marrowgate", dulse)
	require.Zero(t, u.Seasons[1].AdvisedKg)
	assert.Equal(t, offtake.ByCutBefore, u.Seasons[1].LimitedBy)
	assert.Equal(t, "Nothing should be cut: what was cut beyond the advice before is taken off.", Unit{Seasons: u.Seasons[1:]}.Sentence(Kg))
	assert.Contains(t, u.Sentence(Kg), "; nothing in the spring season (what was cut beyond the advice before is taken off)")

	add(files, "closures.csv", "bed,species,from,to,reason\nmarrowgate,,2027-01-01,,works on the sea wall\n")
	u = unit(t, dulseWith(t, files, "2026-09-20", 400), "marrowgate", dulse)
	assert.Equal(t, offtake.ByClosed, u.Seasons[1].LimitedBy)
	assert.NotContains(t, strings.Join(u.Seasons[1].Warnings, "\n"), "taken off here")
}

// A risk that no draw showed is not 0, and one that few draws missed is not sure: as in the tables.
func TestRiskInWords(t *testing.T) {
	for risk, want := range map[float64]string{0: "under 0.1 %", 0.0004: "under 0.1 %", 0.0018: "0.2 %", 0.014: "1.4 %", 0.05: "5.0 %", 0.66: "66 %", 1: "over 99 %"} {
		assert.Equal(t, want, RiskWords(risk))
	}
}

// A landing that nobody placed tells nothing of the time in which it lies, which may leave more to be hoped for than was seen
// then; yet it never raises what is advised.
func TestUnallocatedLandingNeverRaisesAnAdvice(t *testing.T) {
	advised := func(rows string) *Assessment {
		files := demoOf(t)
		add(files, "harvest.csv", rows)
		return dulseWith(t, files, "2026-09-20", 400)
	}
	before := advised("")
	lower := 0
	for _, day := range []string{"2024-05-01", "2025-05-01", "2026-05-01"} {
		after := advised("," + day + ",," + dulse + ",300,cut,,,\n")
		for i, u := range after.Units {
			for k, s := range u.Seasons {
				assert.False(t, s.AdvisedKg > before.Units[i].Seasons[k].AdvisedKg, "%v, %s: %g kg, %g before (%s)", u.Pair, s.Name, s.AdvisedKg, before.Units[i].Seasons[k].AdvisedKg, day)
				if s.Basis != nil && s.Basis.Other != nil {
					lower++
				}
			}
		}
	}
	assert.Positive(t, lower)
}

// What people choose from tells what of the year is cut already and what is advised for the rest, which are the seasons that
// are shown; where more is cut than the year was to give, following the advice begins with what is cut.
func TestChoicesKnowWhatIsCut(t *testing.T) {
	files := demoOf(t, "marrowgate")
	add(files, "harvest.csv", "marrowgate,2026-09-18,,"+dulse+",150,cut,TS-11,,\n")
	u := unit(t, dulseWith(t, files, "2026-09-20", 400), "marrowgate", dulse)
	assert.Equal(t, u.Seasons[0].CutKg, u.YearCutKg)
	assert.Equal(t, u.Seasons[1].AdvisedKg, u.YearAheadKg)
	assert.Equal(t, u.Basis.Year.AdvisedKg, u.FirstKg(), "the spring gives up what the autumn took")
	assert.True(t, u.CutAlready(u.YearCutKg-1))
	assert.False(t, u.CutAlready(u.YearCutKg))
	assert.Equal(t, "of the "+KgDown(u.Basis.Year.AdvisedKg)+" kg advised for the year from 2026-08-15, 412 kg is cut; "+KgDown(u.Seasons[1].AdvisedKg)+" kg is advised for the rest of it",
		u.YearSentence(Kg, KgDown))

	add(files, "harvest.csv", "marrowgate,2026-09-19,,"+dulse+",3000,cut,TS-11,,\n")
	a := dulseWith(t, files, "2026-09-20", 400)
	u = unit(t, a, "marrowgate", dulse)
	require.Zero(t, u.Seasons[1].AdvisedKg)
	assert.Equal(t, 3412.0, u.FirstKg())
	plans, _ := a.Prospects(&u)
	require.Equal(t, AsAdvised, plans[1].Plan)
	assert.Equal(t, 3412.0, plans[1].Kg)
	assert.Equal(t, 3412.0, plans[1].Years[0].Cut.Median)
	assert.Equal(t, 3412.0, plans[0].Kg, "it is cut, whatever is cut from now on")
	assert.Less(t, plans[0].Years[1].Stock.Median, plans[0].Years[0].Stock.Median)
	assert.Equal(t, "no cut: none but the 3410 kg that is cut already", plans[0].Spared())
	assert.Empty(t, plans[1].Spared())
	assert.True(t, strings.HasSuffix(u.YearSentence(Kg, KgDown), "; nothing is advised for the rest of it"))
}

// Where the last survey is old, what people are shown of the coming years begins with the season that is advised next, with
// the stand that its advice rests on; where it is not, with the year after the survey.
func TestOldSurveyIsBroughtOn(t *testing.T) {
	at := func(day string) Unit {
		return unit(t, dulseWith(t, demoOf(t, "marrowgate"), day, 400), "marrowgate", dulse)
	}
	fresh, old := at("2026-09-20"), at("2028-03-01")
	assert.Equal(t, "2026-08-15", fresh.Basis.Open.String())
	first := old.Seasons[0]
	require.Equal(t, Assessed, first.Status)
	assert.Equal(t, first.From, old.Basis.Open)
	assert.NotEqual(t, first.Basis.Open, old.Basis.Open)
	assert.Equal(t, first.Year.AdvisedKg, old.Basis.Year.AdvisedKg)
	assert.InEpsilon(t, first.CapKg, old.Basis.Year.CapKg, 1e-12)
	assert.Zero(t, old.Basis.Stand.SurveyQ, "what the survey found is no lower figure of what stands now")
	assert.NotEqual(t, first.Basis.Stand.B, old.Basis.Stand.B)
	assert.Equal(t, first.Basis.Stock.Date, old.Basis.Stock.Date)
	assert.LessOrEqual(t, old.Basis.Year.AdvisedKg, first.Basis.Year.AdvisedKg)

	held := unit(t, dulseWith(t, demoOf(t, "mubblestone"), "2026-09-20", 400), "mubblestone", dulse)
	y, survey := held.Basis.Year, held.Seasons[0].Basis.Year
	assert.Equal(t, offtake.ByOldSurvey, y.LimitedBy, "it has grown since, but nobody has looked")
	assert.Equal(t, survey.AdvisedKg, y.AdvisedKg)
	first = held.Seasons[0]
	assert.Equal(t, offtake.ByOldSurvey, first.LimitedBy, "the season says the same as its year")
	assert.Equal(t, []float64{y.CapKg, y.RiskKg, y.Risk}, []float64{first.Year.CapKg, first.Year.RiskKg, first.Year.Risk})
	assert.Contains(t, held.Sentence(Kg), "what the survey, now old, advised when it was new sets the limit")
	assert.Less(t, y.AdvisedKg, 0.99*min(y.CapKg, y.RiskKg, y.ReplacementKg))
}
