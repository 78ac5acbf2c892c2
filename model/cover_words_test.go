package model

import (
	"errors"
	"fmt"
	"regexp"
	"strings"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"bedstock/survey"
)

// rulesLine is what a hint has written into rules.toml.
var rulesLine = regexp.MustCompile(`rules\.toml, (\[[a-z.]+\]): ([^;]+)`)

// A cover that is a word, a bound or a range is read as the hint says, by the very line that it gives.
func TestCoversInWordsAreReadAsTheHintSays(t *testing.T) {
	read := func(cell, rules string) (*survey.Folder, survey.Problems) {
		files := fstest.MapFS{}
		for name, text := range map[string]string{
			"beds.csv":     "bed,area_m2\nlantry,800\n",
			"quadrats.csv": "bed,date,quadrat,quadrat_m2,species,Cover_Pct,biomass_g\n" + fmt.Sprintf("lantry,2026-06-14,1,0.25,%s,%q,50\nlantry,2026-06-14,2,0.25,%s,40,500\n", dulse, cell, dulse),
			"harvest.csv":  "bed,date,species,wet_kg\nlantry,2026-07-14," + dulse + ",0\n",
			"rules.toml":   rules,
		} {
			files[name] = &fstest.MapFile{Data: []byte(text)}
		}
		folder, _, err := Load(files, speciesTable(t), LoadOptions{})
		problems, _ := errors.AsType[survey.Problems](err)
		return folder, problems
	}
	for cell, want := range map[string][]float64{
		"tr": {0.5}, "Trace": {0.5}, "p": {0.5}, "+": {0.5}, "<1": {0.5}, "< 5 %": {2.5}, "1-5": {3}, "10 \u2013 25%": {17.5}, "O": {3}, "r": {0.5},
	} {
		_, problems := read(cell, "")
		require.Len(t, problems, 1, cell)
		lines := rulesLine.FindAllStringSubmatch(problems[0].Hint, -1)
		require.Len(t, lines, len(want), "%s: %s", cell, problems[0].Hint)
		for i, line := range lines {
			folder, again := read(cell, line[1]+"\n"+line[2]+"\n")
			if assert.Empty(t, again, "%s: %s", cell, line[0]) {
				assert.InDelta(t, want[i], folder.Quadrats.Cover[0], 1e-9, line[0])
				assert.Equal(t, 40.0, folder.Quadrats.Cover[1])
			}
		}
	}
	_, problems := read("n/a", "")
	line := rulesLine.FindStringSubmatch(problems[0].Hint)
	folder, problems := read("n/a", line[1]+"\n"+line[2]+"\n")
	require.Empty(t, problems)
	assert.NotEqual(t, folder.Quadrats.Cover[0], folder.Quadrats.Cover[0], "not a number: it was not read")
	_, problems = read("lots", "")
	assert.False(t, strings.Contains(problems[0].Hint, "rules.toml"))
}
