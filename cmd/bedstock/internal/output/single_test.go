package output

import (
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestFileIsWrittenWholeAndNotOverAnother(t *testing.T) {
	dir := t.TempDir()
	path := filepath.Join(dir, "figure.svg")
	require.NoError(t, File(path, []byte("one"), false))
	var refusal *Refusal
	require.ErrorAs(t, File(path, []byte("two"), false), &refusal)
	assert.Contains(t, refusal.Error(), "exists already")
	got, err := os.ReadFile(path)
	require.NoError(t, err)
	assert.Equal(t, "one", string(got))
	require.NoError(t, os.Chmod(path, 0o600))
	require.NoError(t, File(path, []byte("two"), true))
	got, err = os.ReadFile(path)
	require.NoError(t, err)
	assert.Equal(t, "two", string(got))
	info, err := os.Stat(path)
	require.NoError(t, err)
	assert.Equal(t, os.FileMode(0o600), info.Mode().Perm(), "rights of the file it replaces")
	left, err := os.ReadDir(dir)
	require.NoError(t, err)
	assert.Len(t, left, 1, "nothing stays beside it")
}

func TestFileRefusesWhatIsNoFile(t *testing.T) {
	dir := t.TempDir()
	require.Error(t, File(dir, nil, true))
	link := filepath.Join(dir, "link")
	require.NoError(t, os.Symlink(filepath.Join(dir, "elsewhere"), link))
	require.ErrorContains(t, File(link, nil, true), "is not a plain file")
	require.ErrorContains(t, File(filepath.Join(dir, "none", "x"), nil, true), "cannot write in")
}
