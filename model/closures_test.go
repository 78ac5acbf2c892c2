package model

import (
	"strings"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"bedstock/model/offtake"
	"bedstock/survey"
)

const dulse = "Palmaria palmata"

// shutBy is dulse on a bed of the demo after something was added to the folder.
func shutBy(t *testing.T, file, rows string) Unit {
	files := demoOf(t, "tarrowick")
	if file != "" {
		files[file] = &fstest.MapFile{Data: []byte(rows)}
	}
	return unit(t, assessFolder(t, files, nil), "tarrowick", dulse)
}

// A spill closes the bed from its day on, and what was cut before stays lawful: nothing of it is held against anybody, and
// what is left of the advice goes to no other bed.
func TestSpill(t *testing.T) {
	files := demoOf(t, "tarrowick", "quernside")
	add(files, "harvest.csv", "tarrowick,2026-09-01,,"+dulse+",20,cut,,,\n")
	before := assessFolder(t, files, nil)
	files["events.csv"] = &fstest.MapFile{Data: []byte("bed,date,kind,fraction_left\ntarrowick,2026-09-10,spill,\n")}
	a := assessFolder(t, files, nil)
	u := unit(t, a, "tarrowick", dulse)
	for _, s := range u.Seasons {
		assert.Equal(t, Closed, s.Status)
		assert.Equal(t, offtake.ByClosed, s.LimitedBy)
		assert.Equal(t, 0.0, s.AdvisedKg)
		assert.Equal(t, "spill of 2026-09-10", s.Reason)
		assert.False(t, s.Over(), "%s: cut before the spill", s.Name)
	}
	assert.Equal(t, 20.0, u.Seasons[0].CutKg)
	assert.Equal(t, 0.0, u.Seasons[0].ShutKg)
	assert.Empty(t, u.Losses, "a spill takes nothing from the stock")
	other, was := unit(t, a, "quernside", dulse), unit(t, before, "quernside", dulse)
	for i := range other.Seasons {
		assert.Equal(t, was.Seasons[i].AdvisedKg, other.Seasons[i].AdvisedKg, "not moved to another bed")
	}
	files = demoOf(t, "tarrowick")
	add(files, "harvest.csv", "tarrowick,2026-09-12,,"+dulse+",20,cut,,,\n")
	files["events.csv"] = &fstest.MapFile{Data: []byte("bed,date,kind,fraction_left\ntarrowick,2026-09-10,spill,\n")}
	u = unit(t, assessFolder(t, files, nil), "tarrowick", dulse)
	assert.Equal(t, 20.0, u.Seasons[0].ShutKg, "cut after it")
	assert.True(t, u.Seasons[0].Over())
}

// A closure that begins after the spill says when it ends.
func TestSpillEnds(t *testing.T) {
	files := demoOf(t, "tarrowick")
	files["events.csv"] = &fstest.MapFile{Data: []byte("bed,date,kind,fraction_left\ntarrowick,2026-09-10,spill,\n")}
	files["closures.csv"] = &fstest.MapFile{Data: []byte("bed,species,from,to,reason\ntarrowick,,2026-09-12,2026-12-31,until the water is clean\n")}
	u := unit(t, assessFolder(t, files, nil), "tarrowick", dulse)
	assert.Equal(t, Closed, u.Seasons[0].Status, "two closures together hold all of what is left of the season")
	assert.Contains(t, u.Seasons[0].Reason, "until the water is clean")
	assert.Equal(t, Assessed, u.Seasons[1].Status)
	assert.Greater(t, u.Seasons[1].AdvisedKg, 0.0)
}

// A closure of some days leaves the season's amount and says the days; one of another species says nothing.
func TestClosureOfAPart(t *testing.T) {
	open := shutBy(t, "", "")
	part := shutBy(t, "closures.csv", "bed,species,from,to,reason\n*,,2026-09-25,2026-10-05,moulting geese\n")
	assert.Equal(t, open.Seasons[0].AdvisedKg, part.Seasons[0].AdvisedKg)
	assert.Contains(t, strings.Join(part.Seasons[0].Warnings, ";"), "closed from 2026-09-25 to 2026-10-05: moulting geese")
	other := shutBy(t, "closures.csv", "bed,species,from,to,reason\ntarrowick,"+egg+",2026-01-01,,works\n")
	assert.Equal(t, Assessed, other.Status)
	assert.Empty(t, other.Seasons[0].Closures)
}

func TestOpens(t *testing.T) {
	c := func(from, to survey.Day, reason string) survey.Closure {
		return survey.Closure{From: from, To: to, Reason: reason}
	}
	day, why := opens([]survey.Closure{c(10, 19, "a"), c(20, 29, "b"), c(15, 22, "a")}, 12)
	assert.Equal(t, survey.Day(30), day)
	assert.Equal(t, []string{"a", "b"}, why)
	day, why = opens([]survey.Closure{c(10, always, "a")}, 12)
	assert.Equal(t, always, day)
	assert.Equal(t, []string{"a"}, why)
	day, why = opens([]survey.Closure{c(10, 19, "a")}, 5)
	assert.Equal(t, survey.Day(5), day)
	assert.Empty(t, why)
}

// The share that a storm left after the survey multiplies the stock of every draw and the survey's own lower figure.
func TestStormOnTheStand(t *testing.T) {
	calm := shutBy(t, "", "")
	hit := shutBy(t, "events.csv", "bed,date,kind,fraction_left\n*,2026-08-20,storm,0.4\n")
	require.NotNil(t, hit.Basis)
	ratio := survey.Quantile(hit.Basis.Stand.B, 0.5) / survey.Quantile(calm.Basis.Stand.B, 0.5)
	assert.InDelta(t, 0.4, ratio, 0.08, "but for what it grows until the season")
	assert.InDelta(t, 0.4, hit.Basis.Stand.SurveyQ/calm.Basis.Stand.SurveyQ, 1e-9)
	assert.Less(t, hit.Basis.Year.AdvisedKg, calm.Basis.Year.AdvisedKg)
}
