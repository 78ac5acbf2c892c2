package model

import (
	"io/fs"
	"os"
	"path/filepath"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Files named by a mapping are plain files of the folder itself: no link, no folder, nothing outside.
func TestMappedFilesArePlain(t *testing.T) {
	rules := []byte("[files]\nquadrats = \"field.csv\"\n[read.quadrats]\njoin = {file = \"places.csv\", on = \"bed\"}\n")
	for name, mode := range map[string]fs.FileMode{"field.csv": fs.ModeDir, "places.csv": fs.ModeNamedPipe} {
		fsys := fstest.MapFS{"beds.csv": {Data: []byte("bed,area_m2\nlantry,800\n")}, "rules.toml": {Data: rules},
			"field.csv": {Data: []byte("bed,date,quadrat,quadrat_m2,species,cover_pct\n")}, "places.csv": {Data: []byte("bed,x\nlantry,1\n")}}
		fsys[name].Mode = mode
		_, _, err := Load(fsys, speciesTable(t), LoadOptions{})
		assert.ErrorContains(t, err, name+": is not a plain file")
	}

	outside := filepath.Join(t.TempDir(), "field.csv")
	require.NoError(t, os.WriteFile(outside, []byte("bed,date,quadrat,quadrat_m2,species,cover_pct\nlantry,2026-06-14,1,1,x,1\n"), 0o600))
	dir := t.TempDir()
	if err := os.Symlink(outside, filepath.Join(dir, "field.csv")); err != nil {
		t.Skip("no symbolic links here: ", err)
	}
	require.NoError(t, os.WriteFile(filepath.Join(dir, "beds.csv"), []byte("bed,area_m2\nlantry,800\n"), 0o600))
	require.NoError(t, os.WriteFile(filepath.Join(dir, "rules.toml"), []byte("[files]\nquadrats = \"field.csv\"\n"), 0o600))
	root, err := os.OpenRoot(dir)
	require.NoError(t, err)
	defer root.Close()
	_, _, err = Load(root.FS(), speciesTable(t), LoadOptions{})
	assert.ErrorContains(t, err, "field.csv: is not a plain file")
}
