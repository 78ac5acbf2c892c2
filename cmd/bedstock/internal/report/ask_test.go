package report

import (
	"bytes"
	"sync/atomic"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"bedstock/model"
)

// What is asked of the stands as their advice is made is what the page would ask later: it is the same, with fewer chances drawn.
func TestAskingEarlyChangesNothing(t *testing.T) {
	late := demoOnce()
	var asked atomic.Int64
	early := late.Config
	early.Ask = func(a *model.Assessment, u *model.Unit) {
		asked.Add(1)
		Ask(a, u)
	}
	soon := model.Assess(late.Folder, early)
	assert.Positive(t, asked.Load())
	for _, drawn := range []Drawn{DrawNone, DrawAll} {
		opt := invented
		opt.Figures = drawn
		sameFiles(t, late, soon, opt)
	}
}

// sameFiles holds that two assessments give the same files, byte for byte.
func sameFiles(t *testing.T, one, other *model.Assessment, opt Options) {
	t.Helper()
	want, err := Files(one, opt)
	require.NoError(t, err)
	got, err := Files(other, opt)
	require.NoError(t, err)
	assert.Equal(t, len(want), len(got))
	for name, text := range want {
		assert.True(t, bytes.Equal(text, got[name]), "%s with figures %s", name, opt.Figures)
	}
}
