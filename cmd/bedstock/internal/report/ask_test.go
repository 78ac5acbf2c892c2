package report

import (
	"bytes"
	"io/fs"
	"sync/atomic"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"bedstock/data"
	"bedstock/model"
	"bedstock/survey"
)

// What is asked of the stands as their advice is made is what the page would ask later: it is the same, with fewer chances drawn.
func TestAskingEarlyChangesNothing(t *testing.T) {
	demo, err := fs.Sub(data.FS, "demo")
	require.NoError(t, err)
	table, problems := survey.ReadSpecies(data.FS, "species.csv")
	require.Empty(t, problems.Faults())
	folder, rules, err := model.Load(demo, table, model.LoadOptions{})
	require.NoError(t, err)
	var asked atomic.Int64
	plain := model.Config{Rules: rules, Seed: 1, Draws: 400}
	early := plain
	early.Ask = func(a *model.Assessment, u *model.Unit) {
		asked.Add(1)
		Ask(a, u)
	}
	late, soon := model.Assess(folder, plain), model.Assess(folder, early)
	assert.Positive(t, asked.Load())
	for _, drawn := range []Drawn{DrawNone, DrawAll} {
		opt := invented
		opt.Figures = drawn
		want, err := Files(late, opt)
		require.NoError(t, err)
		got, err := Files(soon, opt)
		require.NoError(t, err)
		assert.Equal(t, len(want), len(got))
		for name, text := range want {
			assert.True(t, bytes.Equal(text, got[name]), "%s with figures %s", name, drawn)
		}
	}
}
