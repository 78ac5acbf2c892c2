package model

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"bedstock/data"
	"bedstock/survey"
)

// What is left out of the assessment still informs what is kept: Only changes no number.
func TestOnlyChangesNoNumber(t *testing.T) {
	files := demoOf(t, "tarrowick", "quernside", "fennimer")
	table, problems := survey.ReadSpecies(data.FS, "species.csv")
	require.Empty(t, problems.Faults())
	folder, rules, err := Load(files, table, LoadOptions{})
	require.NoError(t, err)
	cfg := Config{Rules: rules, Seed: 1, Draws: 800}
	all := Assess(folder, cfg)
	cfg.Only = func(p Pair) bool { return p == Pair{"tarrowick", egg} }
	one := Assess(folder, cfg)
	require.Len(t, one.Units, 1)
	require.Len(t, one.Species, 1, "other species are not asked about")
	assert.Greater(t, len(one.Species[0].Beds), 1, "the species' other beds are")
	whole := unit(t, all, "tarrowick", egg)
	assert.Equal(t, whole.Growth.Draws, one.Units[0].Growth.Draws)
	require.Equal(t, len(whole.Seasons), len(one.Units[0].Seasons))
	for i, s := range whole.Seasons {
		assert.Equal(t, s.AdvisedKg, one.Units[0].Seasons[i].AdvisedKg)
	}
	for i, p := range whole.Pressure {
		assert.Equal(t, p.Recovery, one.Units[0].Pressure[i].Recovery)
		assert.Equal(t, p.PAbove, one.Units[0].Pressure[i].PAbove)
	}
	cfg.Only = func(Pair) bool { return false }
	none := Assess(folder, cfg)
	assert.Empty(t, none.Units)
	assert.Empty(t, none.Species)
	assert.Empty(t, none.Absent)
}

// A season that runs keeps the advice that was given before its first day: what another bed's survey found since then
// does not change it, and the next season knows it.
func TestRunningSeasonKnowsNoLaterSurvey(t *testing.T) {
	files := demoOf(t, "tarrowick", "quernside")
	at := func(day string) *Assessment {
		return assessFolder(t, files, func(r *Rules) error {
			if err := r.Override("as_of", "test", day); err != nil {
				return err
			}
			return r.Override("survey_window_days", "test", int64(10))
		})
	}
	before := at("2026-09-20")
	// quernside is surveyed again in the running season: the quadrats of its last survey, a third as covered
	late := demoOf(t, "tarrowick", "quernside")
	resurvey(t, late, "quernside", "2026-09-15")
	files = late
	after := at("2026-09-20")
	const sp = "Palmaria palmata"
	was, is := unit(t, before, "tarrowick", sp), unit(t, after, "tarrowick", sp)
	require.Equal(t, "autumn", was.Seasons[0].Name)
	assert.Equal(t, was.Seasons[0].Survey, is.Seasons[0].Survey)
	require.Greater(t, was.Seasons[0].AdvisedKg, 0.0)
	assert.Equal(t, was.Seasons[0].AdvisedKg, is.Seasons[0].AdvisedKg, "the advice of the running season stays")
	assert.Equal(t, was.Growth.Status, is.Growth.Status)
	other := unit(t, after, "quernside", sp)
	require.Len(t, other.Times, len(unit(t, before, "quernside", sp).Times)+1, "the new survey counts")
	assert.Equal(t, "2026-09-15", other.Stocks[other.Times[len(other.Times)-1]].Date.String())
	assert.NotEqual(t, other.Seasons[0].Survey, other.Seasons[1].Survey, "the running season keeps the survey before it")
	assert.Equal(t, "2026-09-15", other.Seasons[1].Survey.String())
	runs := plansOf(after, sp)
	require.Len(t, runs, 2, "one run with all that is known, one with what was known before the autumn")
	for _, b := range runs[1].beds {
		for _, o := range b.Surveys {
			assert.Less(t, o.T, is.Seasons[0].From.Years())
		}
	}
	assert.Len(t, plansOf(before, sp), 1, "nothing was surveyed since the season began")
}

// plansOf are the runs of the growth model that an assessment of a species makes.
func plansOf(a *Assessment, species string) []*speciesRun {
	x := &assessor{out: a}
	var units []*Unit
	for i := range a.Units {
		if a.Units[i].Species == species {
			units = append(units, &a.Units[i])
		}
	}
	return x.plan(units)[0]
}

func TestSpeciesOfTheAssessment(t *testing.T) {
	a := assessFolder(t, demoOf(t, "tarrowick", "quernside"), nil)
	require.NotEmpty(t, a.Species)
	for _, s := range a.Species {
		require.Len(t, s.Pool.Beds, len(s.Beds))
		for i, b := range s.Beds {
			u := unit(t, a, b.Bed, s.Species)
			assert.Equal(t, u.Growth.Draws, s.Pool.Beds[i].Draws)
			assert.Equal(t, u.Series, b.Series)
		}
	}
}

func TestEvidenceTable(t *testing.T) {
	a := assessFolder(t, demoOf(t, "tarrowick", "quernside", "candlemoss"), nil)
	rows := map[Source]EvidenceRow{}
	all := a.EvidenceTable()
	for _, r := range all {
		if r.Bed == "tarrowick" && r.Species == egg {
			rows[r.Source] = r
		}
	}
	require.Len(t, rows, 4)
	u := unit(t, a, "tarrowick", egg)
	table := rows[FromTable]
	assert.Equal(t, 0.4, table.R.Median)
	// the 97.5 % quantile with the sd of log r sqrt(log(1 + cv²) + 0.3²), 0.3 the spread between beds
	cv := u.Row.RCV.V
	assert.InEpsilon(t, 0.4*math.Exp(1.959964*math.Sqrt(math.Log(1+cv*cv)+0.09)), table.R.Hi, 1e-6)
	assert.InEpsilon(t, 10*u.Series.Area*u.Series.Occ, table.K.Median, 1e-12)
	assert.Equal(t, 1, rows[FromPlots].N)
	assert.True(t, math.IsNaN(rows[FromPlots].K.Median), "plots know no bed")
	alone := rows[FromSurveys]
	assert.Equal(t, len(u.Times), alone.N)
	if alone.Status == "ok" && alone.R.Median > 0 {
		assert.Greater(t, math.Log(alone.R.Hi/alone.R.Lo), math.Log(u.Growth.R.Hi/u.Growth.R.Lo), "the blend knows more than the surveys alone")
	}
	assert.Equal(t, u.Growth.R, rows[FromAll].R)
	for _, r := range all {
		assert.NotEmpty(t, r.Status)
		if r.Status != "ok" {
			assert.NotEmpty(t, r.Note, "%+v", r)
			assert.True(t, math.IsNaN(r.R.Median))
		}
	}
}

// One survey of one bed tells the stock, not r; surveys with no word of the cuts neither.
func TestSurveysThatTellNothing(t *testing.T) {
	files := demoOf(t, "tarrowick")
	delete(files, "harvest.csv")
	delete(files, "permits.csv")
	for _, r := range assessFolder(t, files, nil).EvidenceTable() {
		if r.Source == FromSurveys {
			assert.Equal(t, "nothing", r.Status)
			assert.Contains(t, r.Note, "cut")
		}
	}
}

// Half of r in the table gives less of r and of the advice, twice gives more; what stands is as it stands.
func TestSensitivity(t *testing.T) {
	a := assessFolder(t, demoOf(t, "tarrowick"), nil)
	rows := map[float64]Sensitivity{}
	for _, s := range a.Sensitivity() {
		if s.Species == "Palmaria palmata" {
			rows[s.Factor] = s
		}
	}
	require.Len(t, rows, 3)
	u := unit(t, a, "tarrowick", "Palmaria palmata")
	assert.Equal(t, u.Growth.R, rows[1].R)
	assert.Equal(t, u.Basis.Year.AdvisedKg, rows[1].AdvisedKg)
	assert.Equal(t, u.Prior.R/2, rows[0.5].TableR)
	assert.Less(t, rows[0.5].R.Median, rows[1].R.Median)
	assert.Less(t, rows[1].R.Median, rows[2].R.Median)
	assert.LessOrEqual(t, rows[0.5].AdvisedKg, rows[2].AdvisedKg, "equal where the cap holds in both")
	assert.Greater(t, rows[0.5].R.Median, rows[1].R.Median/2, "the surveys hold against it")
	assert.Equal(t, 2.0, u.Row.R.V, "the folder stays as it was")
}
