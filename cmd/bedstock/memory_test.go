package main

import (
	"math"
	"os"
	"path/filepath"
	"runtime/debug"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

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
