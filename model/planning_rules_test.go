package model

import (
	"math"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"bedstock/survey"
)

func TestPlanRules(t *testing.T) {
	r, problems, err := ReadRules(fstest.MapFS{"rules.toml": {Data: []byte(`risk = 0.1
[plan]
cv = 0.15
quadrat_minutes = 4
mid_at_m = -0.2
day_to = "20:30"

[[baseline]]
bed = "a"
start = [-30, 50]
end = [-30, 50.001]
up_m = 40
side = "right"

[[baseline]]
bed = "b"
stratum = "low"
length_m = 120
up_m = 15
`)}})
	require.NoError(t, err)
	require.Empty(t, problems)
	assert.Equal(t, 0.15, r.Plan.CV)
	assert.Equal(t, 4.0, r.Plan.Costs.Quadrat)
	assert.Equal(t, 15.0, r.Plan.Costs.Transect, "left at its default")
	assert.Equal(t, [3]survey.Num{{}, survey.Some(-0.2), {}}, r.Plan.At)
	assert.Equal(t, Clock(20*60+30), r.Plan.DayTo)
	require.Len(t, r.Plan.Baselines, 2)
	assert.InDelta(t, 111.229, r.Plan.Baselines[0].Length, 0.01) // a degree of latitude at 50 degrees is 111.229 km (Snyder 1987, table 1)
	from := map[string]string{}
	for _, s := range r.Settings {
		from[s.Name] = s.From
	}
	assert.Equal(t, "rules.toml:3", from["plan.cv"])
	assert.Equal(t, "default", from["plan.tide_minutes"])
	assert.Equal(t, "rules.toml:8", from["baseline.a"])
	assert.NotContains(t, r.ChangedSentence(), "plan.", "no matter of the offtake")
	assert.NotEmpty(t, Meaning("plan.cv"))
	assert.NotEmpty(t, Meaning("baseline.a"))
}

func TestPlanRulesMistakes(t *testing.T) {
	for _, c := range []struct{ text, want string }{
		{"plan = 3", "rules.toml:1:1: plan must be a table: write [plan]"},
		{"[plan]\nhours = 3", "rules.toml:2:1: plan hours: unknown key"},
		{"[plan]\ncv = 0", "rules.toml:2:1: plan.cv: 0 is not between 0.01 and 2"},
		{"[plan]\ntide_minutes = 40", "rules.toml:2:1: plan.tide_minutes: 40 is not above plan.visit_minutes 45"},
		{"[plan]\nlower_at_m = 0.5\nupper_at_m = 0.4", "rules.toml:3:1: plan.upper_at_m: 0.4 is below plan.lower_at_m 0.5"},
		{"[plan]\nmid_at_m = 40", "rules.toml:2:1: plan.mid_at_m: 40 is not between -5 and 20"},
		{"[plan]\nday_from = 7", "rules.toml:2:1: plan.day_from: 7 is not a time of day such as \"07:30\""},
		{"[plan]\nday_from = \"20:15\"", "rules.toml:2:1: plan.day_to: 19:00 is not after plan.day_from 20:15"},
		{"[[baseline]]\nbed = \"a\"\nup_m = 3", "rules.toml:1:3: baseline of bed \"a\" needs start and end, or length_m"},
		{"[[baseline]]\nbed = \"a\"\nup_m = 3\nlength_m = 2\nside = \"up\"", "rules.toml:5:1: baseline side: up is neither left nor right, on the way from start to end"},
		{"[[baseline]]\nbed = \"a\"\nup_m = 3\nstart = [1]\nend = [1, 2]", "rules.toml:4:1: baseline start: [1] is not a position [longitude, latitude]"},
		{"[[baseline]]\nbed = \"a\"\nlength_m = 2", "rules.toml:1:3: baseline without up_m"},
	} {
		_, problems, err := ReadRules(fstest.MapFS{"rules.toml": {Data: []byte(c.text)}})
		require.NoError(t, err)
		require.Len(t, problems, 1, c.text)
		assert.Equal(t, c.want, problems[0].String(), c.text)
	}
}

// A place goes to the plane and back; beside it on the antimeridian too.
func TestPlane(t *testing.T) {
	for _, at := range []survey.LonLat{{Lon: -30, Lat: 50}, {Lon: 179.9999, Lat: -17}} {
		p := planeAt(at)
		back := p.position(300, -250)
		x, y := p.metres(back)
		assert.InDelta(t, 300, x, 0.002)
		assert.InDelta(t, -250, y, 0.002)
		assert.LessOrEqual(t, math.Abs(back.Lon), 180.0)
	}
}
