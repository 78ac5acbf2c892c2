package survey

import (
	"io/fs"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// countedFS counts how often a file is opened, and may give another one from the second time on.
type countedFS struct {
	fs.FS
	name   string
	opened int
	later  fs.FS
}

func (c *countedFS) Open(name string) (fs.File, error) {
	if name == c.name {
		if c.opened++; c.opened > 1 && c.later != nil {
			return c.later.Open(name)
		}
	}
	return c.FS.Open(name)
}

// A large table whose text was let go of gives every finding the same place, and is read once more only where it has one.
func TestTextThatWasLetGoIsReadAgain(t *testing.T) {
	texts := manyVisits(2)
	faulty := manyVisits(2)
	lines := strings.Split(faulty["quadrats.csv"], "\n")
	lines[7] = strings.Replace(lines[7], ",done,", ", Dône ,", 1)
	lines[9] = strings.Replace(lines[9], ",0.25,", ",é,", 1)
	lines[20] = lines[19]
	faulty["quadrats.csv"] = strings.Join(lines, "\n")
	read := func(texts map[string]string, bytes int) (*Folder, *countedFS, error) {
		c := &countedFS{FS: files(texts), name: "quadrats.csv"}
		r := newReading(c, DefaultOptions())
		r.letGoBytes = bytes
		require.NoError(t, r.listFiles())
		r.readTables(smallTable())
		f, err := r.finish(check)
		return f, c, err
	}
	for _, kept := range []int{1, letGoBytes} {
		_, c, err := read(faulty, kept)
		_, _, want := read(faulty, letGoBytes)
		require.ErrorContains(t, want, "quadrats.csv:8:")
		require.ErrorContains(t, want, "quadrats.csv:21")
		assert.Equal(t, want.Error(), err.Error())
		assert.Equal(t, map[int]int{1: 2, letGoBytes: 1}[kept], c.opened)
	}
	f, c, err := read(texts, 1)
	require.NoError(t, err)
	want, _, err := read(texts, letGoBytes)
	require.NoError(t, err)
	assert.Equal(t, want.Quadrats.Line, f.Quadrats.Line)
	assert.Equal(t, want.Doubts, f.Doubts)
	told := false
	for _, d := range f.Doubts {
		told = told || d.File == "quadrats.csv" && d.Line > 0
	}
	assert.Equal(t, told, c.opened == 2)

	c = &countedFS{FS: files(faulty), name: "quadrats.csv", later: files(texts)}
	r := newReading(c, DefaultOptions())
	r.letGoBytes = 1
	require.NoError(t, r.listFiles())
	r.readTables(smallTable())
	_, err = r.finish(check)
	assert.EqualError(t, err, "quadrats.csv was changed while it was read: try again")
}
