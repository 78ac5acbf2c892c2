package model

import (
	"errors"
	"io/fs"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"bedstock/survey"
)

// A rules.toml that is no plain file, or too large for rules, is refused before it is opened.
func TestRulesFileIsPlain(t *testing.T) {
	for want, file := range map[string]*fstest.MapFile{
		"rules.toml: is not a plain file":  {Mode: fs.ModeNamedPipe},
		"rules.toml: is larger than 1 MiB": {Data: make([]byte, maxRules+1)},
	} {
		_, _, err := ReadRules(fstest.MapFS{RulesFile: file})
		ps, ok := errors.AsType[survey.Problems](err)
		require.True(t, ok, "%v", err)
		assert.Equal(t, want, ps.Error())
		assert.NotEmpty(t, ps[0].Hint)
	}
	_, _, err := ReadRules(fstest.MapFS{RulesFile: {Mode: fs.ModeDir}})
	assert.ErrorContains(t, err, "is not a plain file")
	_, ps, err := ReadRules(fstest.MapFS{})
	assert.NoError(t, err)
	assert.Empty(t, ps)
}
