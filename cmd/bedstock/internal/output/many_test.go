package output

import (
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// refusing is the real disk without waiting for it, on which files of some names cannot be made.
type refusing struct {
	nosync
	name string
}

func (d refusing) Create(path string) (file, error) {
	if strings.Contains(filepath.Base(path), d.name) {
		return nil, fmt.Errorf("%s: %w", filepath.Base(path), errFault)
	}
	return d.nosync.Create(path)
}

func manyFiles(n int) map[string][]byte {
	files := map[string][]byte{}
	for i := range n {
		files[fmt.Sprintf("f%d/%03d.svg", i%3, i)] = []byte(strings.Repeat(fmt.Sprint(i), i))
	}
	return files
}

// Files that are written side by side all stand whole in the end, and one that cannot be written leaves nothing.
func TestManyFiles(t *testing.T) {
	dir := filepath.Join(scratch(t), "out")
	files := manyFiles(200)
	require.NoError(t, Write(dir, files, manifest("many"), Options{}))
	for name, data := range files {
		got, err := os.ReadFile(filepath.Join(dir, filepath.FromSlash(name)))
		require.NoError(t, err)
		assert.Equal(t, string(data), string(got), name)
	}
	before := tree(t, dir)
	assert.Len(t, before, 201)
	for range 10 {
		err := write(refusing{name: "10"}, dir, manyFiles(150), manifest("refused"), Options{})
		require.ErrorIs(t, err, errFault)
		assert.Contains(t, err.Error(), "nothing was changed")
		assert.Equal(t, before, tree(t, dir))
		assert.Equal(t, []string{"out"}, names(t, filepath.Dir(dir)))
	}
	stop := make(chan struct{})
	close(stop)
	assert.ErrorIs(t, write(nosync{}, dir, files, manifest("stopped"), Options{Stop: stop}), ErrStopped)
	assert.Equal(t, before, tree(t, dir))
}
