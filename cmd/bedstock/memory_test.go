package main

import (
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
	dir := t.TempDir()
	require.NoError(t, os.Mkdir(filepath.Join(dir, "more"), 0o755))
	require.NoError(t, os.WriteFile(filepath.Join(dir, "beds.csv"), []byte("bed\n"), 0o644))
	spareMemory(os.DirFS(dir))
	assert.Equal(t, int64(4), folderBytes(os.DirFS(dir)))
	assert.Equal(t, 100, debug.SetGCPercent(100))
	require.NoError(t, os.Truncate(filepath.Join(dir, "beds.csv"), largeFolder)) // holes take no room
	spareMemory(os.DirFS(dir))
	assert.Less(t, debug.SetGCPercent(100), 100)
}
