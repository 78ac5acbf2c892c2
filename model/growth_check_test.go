package model

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"bedstock/model/growth"
)

// Every survey that the growth model was given is foretold or has a reason.
func TestGrowthChecks(t *testing.T) {
	a := assessFolder(t, demoOf(t, "tarrowick", "lantry"), nil)
	checks := a.GrowthChecks()
	require.Len(t, checks, len(a.Units))
	for i, c := range checks {
		u := &a.Units[i]
		assert.Equal(t, u.Pair, c.Pair)
		require.Len(t, c.Predictive.Surveys, len(u.Times))
		for n, s := range c.Predictive.Surveys {
			assert.InDelta(t, u.SurveyedOn(n).Years(), s.T, 1e-9)
			if s.Status == "ok" {
				assert.True(t, s.P >= 0 && s.P <= 1 && s.Expected.Lo <= s.Expected.Median && s.Expected.Median <= s.Expected.Hi, "%+v", s)
			} else {
				assert.NotEmpty(t, s.Reason)
			}
		}
	}
	again := a.checkAll()
	for i := range again {
		for n, s := range again[i].Predictive.Surveys {
			if s.Status == "ok" {
				assert.Equal(t, checks[i].Predictive.Surveys[n], s, "same numbers each time")
			}
		}
	}
}

// A survey an eighth of those around it stands out.
func TestOddSurveyOfTheDemo(t *testing.T) {
	a := assessFolder(t, demoOf(t, "candlemoss", "tarrowick"), nil) // nothing is cut on candlemoss
	u := unit(t, a, "candlemoss", egg)
	pool, bed := a.pooled(&u)
	s := a.Species[pool]
	u.Series.Surveys[2].Kg /= 8 // shared with s.Beds
	u.Growth = growth.SampleBeds(s.Beds, s.Prior, s.Season, nil, a.settings(s.Species, s.Reach)).Beds[bed]
	c := a.checkGrowth(&u)
	assert.True(t, c.Predictive.Surveys[2].Unexpected, "%+v", c.Predictive.Surveys[2])
	assert.Equal(t, 1, c.Predictive.Unexpected)
	assert.Less(t, c.Predictive.P, 0.05)
}

func TestNoAnswerIsNotChecked(t *testing.T) {
	u := Unit{}
	u.Growth.Status, u.Growth.Reason = "not estimable", "no survey found it"
	a := &Assessment{Config: Config{Rules: DefaultRules(), Draws: 400}}
	c := a.checkGrowth(&u)
	assert.True(t, math.IsNaN(c.Predictive.P))
	assert.Zero(t, c.Predictive.Checked)
}
