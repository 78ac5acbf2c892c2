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

func TestRulesOverDefaults(t *testing.T) {
	r, problems, err := ReadRules(fstest.MapFS{"rules.toml": {Data: []byte(`as_of = 2026-09-20
max_fraction = 0.2
rest_years = 1

[[season]]
name = "winter"
from = "11-01"
to = "02-15"
share = 1
`)}})
	require.NoError(t, err)
	require.Empty(t, problems)
	assert.Equal(t, "2026-09-20", r.Survey.AsOf.String())
	assert.Equal(t, 0.2, r.Offtake.MaxFraction)
	assert.Equal(t, 1, r.Offtake.RestYears)
	assert.Equal(t, 0.05, r.Offtake.Risk, "left at its default")
	require.Len(t, r.Seasons, 1)
	assert.Equal(t, offtake.MonthDay{Month: 2, Day: 15}, r.Seasons[0].To)
	from := map[string]string{}
	for _, s := range r.Settings {
		from[s.Name] = s.From
	}
	assert.Equal(t, "rules.toml:1", from["as_of"])
	assert.Equal(t, "rules.toml:3", from["rest_years"])
	assert.Equal(t, "rules.toml:5", from["season.winter"])
	assert.Equal(t, "default", from["risk"])
	assert.Len(t, r.Settings, len(ruleKeys)+1+len(planKeys)+len(inputKeys))
}

func TestNoRulesAreTheDefaults(t *testing.T) {
	r, problems, err := ReadRules(fstest.MapFS{})
	require.NoError(t, err)
	require.Empty(t, problems)
	assert.Equal(t, DefaultRules(), r)
}

// Every mistake of a rules file comes back with its place, all at once.
func TestRulesMistakes(t *testing.T) {
	for _, c := range []struct{ text, want string }{
		{"risk = 2", "rules.toml:1:1: risk: 2 is not above 0 and at most 0.5"},
		{"risk = \"low\"", "rules.toml:1:1: risk: low is not a number"},
		{"risk = nan", "rules.toml:1:1: risk: NaN is not a number"},
		{"\nhorizon_years = 2.5", "rules.toml:2:1: horizon_years: 2.5 is not a whole number"},
		{"horizon_years = 0", "rules.toml:1:1: horizon_years: 0 is not between 1 and 100"},
		{"as_of = \"20 September\"", `rules.toml:1:1: as_of: "20 September" is not a date of the form YYYY-MM-DD`},
		{"conversion = \"guess\"", "rules.toml:1:1: conversion: guess is not one of auto, ratio, ratio-length, linear, power, allometry"},
		{"max_fracton = 0.3\nrisk = 9", "rules.toml:1:1: unknown key \"max_fracton\"\nrules.toml:2:1: risk: 9 is not above 0 and at most 0.5"},
		{"limit_of_k = 0.5", "rules.toml:1:1: trigger_of_k: 0.4 is not above limit_of_k 0.5"},
		{"season = 3", "rules.toml:1:1: season must be a list: write [[season]]"},
		{"[[season]]\nname = \"a\"\nfrom = \"13-01\"\nto = \"02-01\"", "rules.toml:1:3: season without share\nrules.toml:3:1: season from: 13-01 is not a day of the form MM-DD"},
		{"[[season]]\nname = \"a\"\nfrom = \"01-01\"\nto = \"02-01\"\nshare = 0.7\ncolour = 1", "rules.toml:6:1: season colour: unknown key"},
		{"risk == 1", "rules.toml:1:7: "},
		{"risk = 0,1", "rules.toml:1:9: a comma where the line should end"},
	} {
		_, problems := ParseRules(RulesText{Name: RulesFile, Text: []byte(c.text)})
		got := problems.Error()
		assert.True(t, strings.HasPrefix(got, c.want), "%q\n got %s\nwant %s", c.text, got, c.want)
	}
}

func TestSharesAboveOneAreRefused(t *testing.T) {
	var text strings.Builder
	for _, s := range []string{"03-01 04-01", "05-01 06-01"} {
		text.WriteString("[[season]]\nname = \"" + s + "\"\nfrom = \"" + s[:5] + "\"\nto = \"" + s[6:] + "\"\nshare = 0.6\n")
	}
	_, problems := ParseRules(RulesText{Name: RulesFile, Text: []byte(text.String())})
	require.Len(t, problems, 1)
	assert.Contains(t, problems[0].Text, "1.2")
}

func TestOverride(t *testing.T) {
	r := DefaultRules()
	require.NoError(t, r.Override("as_of", "--on", "2025-01-31"))
	assert.Equal(t, survey.MakeDay(2025, 1, 31), r.Survey.AsOf)
	assert.Equal(t, Setting{Name: "as_of", Value: "2025-01-31", From: "--on"}, r.Settings[0])
	assert.Error(t, r.Override("as_of", "--on", "soon"))
}

// Every key is described, has a default within its own range and survives being written and read back.
func TestRuleKeysAreWhole(t *testing.T) {
	r := DefaultRules()
	for _, k := range ruleKeys {
		assert.NotEmpty(t, k.meaning, k.name)
		text := k.name + " = " + k.show(&r)
		switch k.at(&r).(type) {
		case *string:
			text = k.name + " = \"" + k.show(&r) + "\""
		case *survey.Day:
			text = k.name + " = 2026-01-02"
		}
		back, problems := ParseRules(RulesText{Name: RulesFile, Text: []byte(text)})
		assert.Empty(t, problems, k.name)
		if _, isDay := k.at(&r).(*survey.Day); !isDay {
			assert.Equal(t, k.show(&r), k.show(&back), k.name)
		}
	}
}
