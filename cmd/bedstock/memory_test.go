package main

import (
	"bytes"
	"errors"
	"math"
	"os"
	"path/filepath"
	"runtime/debug"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"bedstock/cmd/bedstock/internal/report"
)

// The file of draws is made beside the report, however its folder is written, and whoever waits is told where none can be.
func TestWhereDrawsStand(t *testing.T) {
	var said bytes.Buffer
	o, e := &opened{large: true}, &env{stderr: &said}
	for out, beside := range map[string]string{"out": ".", "out/": ".", "a/out/": "a", "/a/out": "/a"} {
		assert.Equal(t, beside, o.thrift(e, out, report.DrawNone).Folder, out)
	}
	assert.Nil(t, o.thrift(e, "out", report.DrawAll), "figures show the draws")
	o.thrift(e, "out", report.DrawNone).Fault(errors.New("no such folder"))
	assert.Equal(t, "bedstock: all stays in memory, as no file for draws can be made: no such folder\n", said.String())
}

func TestGarbageIsCollectedMoreOftenOnALargeFolder(t *testing.T) {
	was := debug.SetGCPercent(100)
	defer debug.SetGCPercent(was)
	limit := debug.SetMemoryLimit(math.MaxInt64)
	defer debug.SetMemoryLimit(limit)
	dir := t.TempDir()
	require.NoError(t, os.Mkdir(filepath.Join(dir, "more"), 0o755))
	require.NoError(t, os.WriteFile(filepath.Join(dir, "beds.csv"), []byte("bed\n"), 0o644))
	spareMemory(os.DirFS(dir))
	assert.Equal(t, int64(4), folderBytes(os.DirFS(dir)))
	assert.Equal(t, 100, debug.SetGCPercent(100))
	assert.Equal(t, int64(roomyMemory), debug.SetMemoryLimit(5<<30))
	spareMemory(os.DirFS(dir))
	assert.Equal(t, int64(5<<30), debug.SetMemoryLimit(math.MaxInt64), "a limit that somebody set is kept")
	require.NoError(t, os.Truncate(filepath.Join(dir, "beds.csv"), 100<<20))
	spareMemory(os.DirFS(dir))
	assert.Equal(t, int64(1200<<20), debug.SetMemoryLimit(math.MaxInt64))
	require.NoError(t, os.Truncate(filepath.Join(dir, "beds.csv"), largeFolder)) // holes take no room
	spareMemory(os.DirFS(dir))
	assert.Less(t, debug.SetGCPercent(100), 100)
	assert.Equal(t, int64(largeMemory), debug.SetMemoryLimit(math.MaxInt64))
}
