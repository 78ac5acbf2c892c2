package archive

import (
	"bytes"
	"encoding/csv"
	"io/fs"
	"os"
	"strconv"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"bedstock/data"
	"bedstock/survey"
)

// Whoever reads the demo's archive with a program of his own finds the same mean cover of every species at every survey,
// zeros among them: testdata/cover.py reads it with Python's standard library alone and wrote cover.csv (nine digits).
func TestAnotherReaderFindsTheSameCover(t *testing.T) {
	text, err := os.ReadFile("testdata/cover.csv")
	require.NoError(t, err)
	rows, err := csv.NewReader(bytes.NewReader(text)).ReadAll()
	require.NoError(t, err)
	theirs := map[[3]string]float64{}
	for _, r := range rows[1:] {
		x, err := strconv.ParseFloat(r[3], 64)
		require.NoError(t, err)
		theirs[[3]string{r[0], r[1], r[2]}] = x
	}
	demo, err := fs.Sub(data.FS, "demo")
	require.NoError(t, err)
	f, rules := load(t, demo)
	stocks := survey.Stocks(f, rules.Survey)
	assert.Len(t, theirs, len(stocks))
	for _, s := range stocks {
		x, ok := theirs[[3]string{s.Bed, s.Survey, s.Species}]
		require.True(t, ok, "%s %s %s", s.Bed, s.Survey, s.Species)
		assert.InDelta(t, s.Cover.Value, x, 1e-8*max(1, x))
	}
}
