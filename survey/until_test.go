package survey

import (
	"encoding/csv"
	"fmt"
	"io/fs"
	"slices"
	"strings"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"bedstock/data"
)

// cutOff is the demo without the rows whose column holds a later day than the one given.
func cutOff(t *testing.T, day string) fstest.MapFS {
	t.Helper()
	column := map[string][]string{"quadrats.csv": {"date"}, "fronds.csv": {"date"}, "harvest.csv": {"date", "date_to"}, "regrowth.csv": {"date"},
		"events.csv": {"date"}, "decisions.csv": {"decided_on"}, "surveys.csv": {"to"}}
	demo, err := fs.Sub(data.FS, "demo")
	require.NoError(t, err)
	out := fstest.MapFS{}
	names, err := fs.Glob(demo, "*.csv")
	require.NoError(t, err)
	for _, name := range names {
		text, err := fs.ReadFile(demo, name)
		require.NoError(t, err)
		rows, err := csv.NewReader(strings.NewReader(string(text))).ReadAll()
		require.NoError(t, err)
		kept := slices.DeleteFunc(rows, func(row []string) bool {
			return slices.ContainsFunc(column[name], func(c string) bool {
				cell := row[slices.Index(rows[0], c)]
				return cell != c && cell > day
			})
		})
		var b strings.Builder
		require.NoError(t, csv.NewWriter(&b).WriteAll(kept))
		out[name] = &fstest.MapFile{Data: []byte(b.String())}
	}
	return out
}

// A folder read as of an earlier day, the later rows left out, is the folder whose files do not hold them yet.
func TestUntilIsTheFolderOfThatDay(t *testing.T) {
	demo, err := fs.Sub(data.FS, "demo")
	require.NoError(t, err)
	for _, day := range []string{"2024-04-03", "2026-06-30", "2026-09-17"} {
		opt := DefaultOptions()
		opt.AsOf, err = ParseDay(day)
		require.NoError(t, err)
		want, err := Read(cutOff(t, day), embeddedTable(t), opt)
		require.NoError(t, err)
		opt.LeaveLater = true
		got, err := Read(demo, embeddedTable(t), opt)
		require.NoError(t, err)
		whole, err := Read(demo, embeddedTable(t), DefaultOptions())
		require.NoError(t, err)

		assert.Equal(t, whole.Rows()-want.Rows(), got.Later, day)
		assert.Equal(t, got.Later > 0, day < "2026-09-17", day)
		assert.Equal(t, want.Rows(), got.Rows(), day)
		assert.Equal(t, len(want.Surveys), len(got.Surveys), day)
		assert.Equal(t, want.NamedSpecies(), got.NamedSpecies(), day)
		assert.True(t, fmt.Sprint(Stocks(want, DefaultOptions())) == fmt.Sprint(Stocks(got, DefaultOptions())), "the same stocks on %s", day)
		assert.Equal(t, weights(want.Cuts), weights(got.Cuts), day)
		assert.Equal(t, opt.AsOf, got.AsOf, day)
	}
}

func weights(cuts []Cut) (out []float64) {
	for _, c := range cuts {
		out = append(out, c.Kg)
	}
	return out
}

// A survey that is under way is not there, and a return counts from its last day on.
func TestUntilTheMiddleOfASurveyAndAReturn(t *testing.T) {
	texts := smallFolder()
	opt := DefaultOptions()
	opt.AsOf = MakeDay(2030, 6, 2)
	_, err := Read(files(texts), embeddedTable(t), opt)
	require.ErrorContains(t, err, "is after 2030-06-02", "left out only where that is asked for")
	opt.LeaveLater = true
	f, err := Read(files(texts), embeddedTable(t), opt)
	require.NoError(t, err)
	assert.Empty(t, f.Surveys)
	assert.Equal(t, []Visit{Planned}, f.Quadrats.Visit)
	assert.Zero(t, f.Fronds.Len())
	assert.Len(t, f.Cuts, 2)

	opt.AsOf = MakeDay(2030, 5, 2)
	f, err = Read(files(texts), embeddedTable(t), opt)
	require.NoError(t, err)
	assert.Empty(t, f.Cuts, "from 2030-05-01 to 05-03")
	assert.False(t, f.CutsKnown)
	assert.Len(t, f.Closures, 1, "closures may be announced ahead")
	assert.Len(t, f.Decisions, 1)
}
