package report

import (
	"os"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"bedstock/model"
)

// A report that is thrifty with memory is the same, byte for byte: of each stand the draws of growth are let go of, and those of its
// advice wait in a file of which nothing is in memory for long, as the limit is none, and nothing stays behind.
func TestThriftChangesNothing(t *testing.T) {
	rich := demoOnce()
	cfg := rich.Config
	dir := t.TempDir()
	cfg.Ask, cfg.Thrift = Ask, &model.Thrift{Folder: dir}
	poor := model.Assess(rich.Folder, cfg)
	left, err := os.ReadDir(dir)
	require.NoError(t, err)
	assert.Empty(t, left)
	for i := range poor.Units {
		assert.Zero(t, poor.Units[i].Growth.Draws.Len())
	}
	for _, s := range poor.Species {
		for _, bed := range s.Pool.Beds {
			assert.Zero(t, bed.Draws.Len())
		}
	}
	for _, drawn := range []Drawn{DrawNone, DrawSummary} {
		opt := invented
		opt.Figures = drawn
		sameFiles(t, rich, poor, opt)
	}
}
