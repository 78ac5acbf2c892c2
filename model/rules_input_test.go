package model

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"bedstock/survey"
)

func TestInputRules(t *testing.T) {
	r, problems := ParseRules(RulesText{RulesFile, []byte(`risk = 0.04
[input]
separator = "semicolon"
fill_down = ["bed", "date"]

[input."harvest.csv"]
dates = "month-first"
skip_lines = 2
`)})
	require.Empty(t, problems)
	assert.Equal(t, map[string]survey.InputRules{
		"":            {Separator: "semicolon", FillDown: []string{"bed", "date"}},
		"harvest.csv": {Dates: "month-first", SkipLines: survey.Some(2)},
	}, r.Survey.Input)
	for _, want := range []Setting{
		{"input.separator", "semicolon", "rules.toml:3"},
		{"input.decimal", foundOut, "default"},
		{"input.fill_down", "bed, date", "rules.toml:4"},
		{"input.harvest.csv.dates", "month-first", "rules.toml:7"},
		{"input.harvest.csv.skip_lines", "2", "rules.toml:8"},
	} {
		assert.Contains(t, r.Settings, want)
		assert.NotEmpty(t, Meaning(want.Name))
	}
	assert.NotContains(t, r.ChangedSentence(), "input")
}

func TestInputRulesRefused(t *testing.T) {
	for text, want := range map[string]string{
		"input = 3":                                        "rules.toml:1:1: input must be a table: write [input]",
		"[input]\nseperator = \"tab\"":                     `rules.toml:2:1: unknown key "input.seperator"`,
		"[input]\nseparator = \"pipe\"":                    "rules.toml:2:1: input.separator: pipe is not one of comma, semicolon, tab",
		"[input]\ndates = 3":                               "rules.toml:2:1: input.dates: 3 is not one of iso, day-first, month-first, year-first",
		"[input]\nskip_lines = -1":                         "rules.toml:2:1: input.skip_lines: -1 is not a whole number from 0 to 1000",
		"[input]\nfill_down = [\"wet_kg\"]":                `rules.toml:2:1: input.fill_down: "wet_kg" is not a column that can be filled from the row above: `,
		"[input.\"beds.csv\"]\nfill_down = \"date\"":       `rules.toml:2:1: input.beds.csv.fill_down: "date" is not a column that can be filled`,
		"[input.\"bed.csv\"]\ndecimal = \"comma\"":         `rules.toml:1:8: input: "bed.csv" is not a table of a survey folder`,
		"[input.harvest.csv]\ndecimal = \"comma\"":         `input: "harvest" is not a table of a survey folder`,
		"input.\"beds.csv\" = {decimal = \"x\"}":           `rules.toml:1:7: input.beds.csv.decimal: x is not one of point, comma`,
		"[[input]]\ndecimal = \"comma\"":                   "rules.toml:1:3: input must be a table: write [input]",
		"[input]\ndecimal = \"x\"\nencoding = \"latin-1\"": "rules.toml:2:1: input.decimal: x is not one of point, comma",
	} {
		_, problems := ParseRules(RulesText{RulesFile, []byte(text)})
		if assert.NotEmpty(t, problems, text) {
			assert.Contains(t, problems[0].String(), want, text)
		}
	}
}
