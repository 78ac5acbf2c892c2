package model

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// A key that is true or false takes nothing else; the degrees of freedom have two names.
func TestRulesOfTheDesign(t *testing.T) {
	r, problems := ParseRules(RulesText{Name: RulesFile, Text: []byte("fpc = true\ndf = \"satterthwaite\"\n")})
	require.Empty(t, problems)
	assert.True(t, r.Survey.FPC)
	assert.Equal(t, "satterthwaite", r.Survey.DF)
	assert.Contains(t, r.ChangedSentence(), "fpc true (rules.toml:1)")
	for text, want := range map[string]string{
		"fpc = \"yes\"": "fpc: yes is neither true nor false",
		"fpc = 1":       "fpc: 1 is neither true nor false",
		"df = \"n-1\"":  "df: n-1 is not one of units, satterthwaite",
	} {
		_, problems := ParseRules(RulesText{Name: RulesFile, Text: []byte(text)})
		require.Len(t, problems, 1, text)
		assert.Equal(t, want, problems[0].Text)
	}
}
