package main

import (
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"bedstock/data"
	"bedstock/model"
	"bedstock/survey"
)

// made writes a coast of n beds.
func made(t *testing.T, n int) string {
	dir := filepath.Join(t.TempDir(), "coast")
	require.NoError(t, writeFolder(dir, n))
	return dir
}

func TestBedsOfASmallCoastAreTheFirstOfALargerOne(t *testing.T) {
	small, again, large := made(t, 3), made(t, 3), made(t, 7)
	for name := range tables {
		a, err := os.ReadFile(filepath.Join(small, name))
		require.NoError(t, err)
		b, err := os.ReadFile(filepath.Join(again, name))
		require.NoError(t, err)
		c, err := os.ReadFile(filepath.Join(large, name))
		require.NoError(t, err)
		assert.Equal(t, string(a), string(b), name)
		assert.Equal(t, string(a), string(c[:len(a)]), name)
	}
}

func TestStocksAreThoseThatStand(t *testing.T) {
	const n = 60
	table, problems := survey.ReadSpecies(data.FS, "species.csv")
	require.Empty(t, problems.Faults())
	f, rules, err := model.Load(os.DirFS(made(t, n)), table, model.LoadOptions{})
	require.NoError(t, err)
	assert.Equal(t, n*1200, f.Quadrats.Len())
	found := map[string]float64{}
	for _, s := range survey.Stocks(f, rules.Survey) {
		found[s.Species] += s.Kg.Value
	}
	for s, kd := range kinds {
		stands := 0.0
		for i := range n {
			for _, kg := range newBed(i).lives[s].stock {
				stands += kg
			}
		}
		assert.InEpsilon(t, stands, found[kd.name], 0.06, "%s: 360 surveys, each good to about 25 %%, and covers cut at 1 and 99 %%", kd.name)
		t.Logf("%s: estimated over true %.3f", kd.name, found[kd.name]/stands)
	}
}
