package model

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestDatasetIsRead(t *testing.T) {
	text := strings.Replace(DatasetLines, `["Office or person who made the survey"]`, `["One office", "A second"]`, 1)
	r, problems := ParseRules(RulesText{Name: "rules.toml", Text: []byte("risk = 0.04\n\n" + text)})
	require.Empty(t, problems)
	require.NotNil(t, r.Dataset)
	assert.Equal(t, "short-name", r.Dataset.ID)
	assert.Equal(t, []string{"One office", "A second"}, r.Dataset.Creators)
	assert.Equal(t, "Office or person to ask", r.Dataset.Contact)
	assert.Equal(t, "mail@example.org", r.Dataset.Mail)
	assert.Equal(t, Licence{"CC BY 4.0", "http://creativecommons.org/licenses/by/4.0/legalcode"}, r.Dataset.Licence)
	assert.Equal(t, "en", r.Dataset.Language)
	assert.Empty(t, r.Changed()[1:], "a data set changes no rule")

	none, _ := ParseRules(RulesText{Name: "rules.toml"})
	assert.Nil(t, none.Dataset)
}

// Every mistake is found at its place, and then there is no data set.
func TestDatasetMistakes(t *testing.T) {
	lines := strings.Split(DatasetLines, "\n")
	for _, c := range []struct {
		line int // that is replaced
		text string
		want string
	}{
		{1, `id = "two words"`, `rules.toml:2:1: dataset id: "two words" is not letters, digits, dots and hyphens`},
		{1, `name = "x"`, "rules.toml:1:2: dataset without id\nrules.toml:2:1: dataset name: unknown key"},
		{2, `title = " "`, "rules.toml:3:1: dataset title:   is not a name"},
		{4, `creator = []`, "rules.toml:5:1: dataset creator: an empty list"},
		{5, `contact = "Office <nowhere>"`, `rules.toml:6:1: dataset contact: "Office <nowhere>" holds no mail address as in "Shore office <office@example.org>"`},
		{5, `contact = "<a@example.org>"`, `rules.toml:6:1: dataset contact: "<a@example.org>" names nobody before the mail address`},
		{6, `licence = "free"`, `rules.toml:7:1: dataset licence: "free" is none of CC0 1.0, CC BY 4.0, CC BY-NC 4.0`},
		{7, `language = "English"`, `rules.toml:8:1: dataset language: "English" is not an ISO 639 code as "en" or "eng"`},
	} {
		with := append([]string{}, lines...)
		with[c.line] = c.text
		r, problems := ParseRules(RulesText{Name: "rules.toml", Text: []byte(strings.Join(with, "\n"))})
		assert.Equal(t, c.want, problems.Error())
		assert.Nil(t, r.Dataset)
		for _, p := range problems {
			assert.Equal(t, datasetHint, p.Hint)
		}
	}
	_, problems := ParseRules(RulesText{Name: "rules.toml", Text: []byte(`dataset = "x"`)})
	assert.Equal(t, "rules.toml:1:1: dataset must be a table: write [dataset]", problems.Error())
}
