package output

import (
	"encoding/json"
	"errors"
	"os"
	"path/filepath"
	"runtime"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestWriteNewAndAgain(t *testing.T) {
	above := t.TempDir()
	dir := filepath.Join(above, "out")
	mustWrite(t, dir, "one", Options{})
	require.NoError(t, Write(dir, results("synced"), manifest("synced"), Options{})) // this one on the real disk
	assert.Equal(t, written(t, "synced"), tree(t, dir))
	mustWrite(t, dir, "two", Options{Note: func(s string) { t.Errorf("note: %s", s) }})
	mustWrite(t, dir+"/", "three", Options{})
	assert.Equal(t, []string{"out"}, names(t, above), "nothing is left beside it")
	problems, err := Verify(dir)
	require.NoError(t, err)
	assert.Empty(t, problems)
}

func TestWriteIntoEmptyFolder(t *testing.T) {
	dir := t.TempDir()
	mustWrite(t, dir, "one", Options{})
}

func TestWriteRelativePath(t *testing.T) {
	above := t.TempDir()
	t.Chdir(above)
	mustWrite(t, "out", "one", Options{})
	mustWrite(t, "./out", "two", Options{})
	assert.Equal(t, []string{"out"}, names(t, above))
}

func TestChangedFolderIsRefused(t *testing.T) {
	above := t.TempDir()
	dir := filepath.Join(above, "out")
	mustWrite(t, dir, "one", Options{})
	put(t, filepath.Join(dir, "stock.csv"), "bed,stock_kg\nRam,999\n")
	put(t, filepath.Join(dir, "notes/mine.txt"), "do not lose")
	require.NoError(t, os.Remove(filepath.Join(dir, "report.html")))
	before := tree(t, dir)

	err := Write(dir, results("two"), manifest("two"), Options{})
	r := refusal(t, err)
	assert.Equal(t, "was changed since it was written", r.Reason)
	assert.Equal(t, []string{
		"notes/: does not belong to it", "report.html: missing", "stock.csv: changed since it was written"}, r.Files)
	assert.Contains(t, err.Error(), dir+": was changed since it was written\n  notes/: does not")
	assert.Contains(t, r.Hint, "out.kept-N")
	assert.Equal(t, before, tree(t, dir))
	assert.Equal(t, []string{"out"}, names(t, above))
}

func TestForceKeeps(t *testing.T) {
	above := t.TempDir()
	dir := filepath.Join(above, "out")
	var notes []string
	opt := Options{Force: true, Note: func(s string) { notes = append(notes, s) }}
	mustWrite(t, dir, "one", opt)
	mustWrite(t, dir, "two", opt)
	assert.Empty(t, notes, "an untouched folder of ours is replaced, not kept")

	put(t, filepath.Join(dir, "mine.txt"), "first")
	first := tree(t, dir)
	mustWrite(t, dir, "three", opt)
	put(t, filepath.Join(dir, "mine.txt"), "second")
	second := tree(t, dir)
	mustWrite(t, dir, "four", opt)
	assert.Equal(t, []string{"out", "out.kept-1", "out.kept-2"}, names(t, above))
	assert.Equal(t, first, tree(t, dir+".kept-1"))
	assert.Equal(t, second, tree(t, dir+".kept-2"))
	require.Len(t, notes, 2)
	assert.Contains(t, notes[1], "out.kept-2")
}

func TestForeignFolders(t *testing.T) {
	other, err := json.Marshal(map[string]string{"tool": "another", "version": "1"})
	require.NoError(t, err)
	for name, content := range map[string]string{"letter.txt": "dear", ManifestName: string(other)} {
		dir := filepath.Join(t.TempDir(), "out")
		put(t, filepath.Join(dir, name), content)
		before := tree(t, dir)
		r := refusal(t, Write(dir, results("one"), manifest("one"), Options{}))
		assert.Contains(t, r.Reason, ErrNotOurs.Error())
		assert.Equal(t, before, tree(t, dir))
		mustWrite(t, dir, "one", Options{Force: true})
		assert.Equal(t, before, tree(t, dir+".kept-1"))
	}
}

// What a file manager drops into a folder it shows is no reason to refuse it.
func TestFileManagerDroppings(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "out")
	mustWrite(t, dir, "one", Options{})
	put(t, filepath.Join(dir, ".DS_Store"), "x")
	put(t, filepath.Join(dir, "figures/Thumbs.db"), "x")
	mustWrite(t, dir, "two", Options{})
}

func TestPermission(t *testing.T) {
	if runtime.GOOS == "windows" || os.Geteuid() == 0 {
		t.Skip("permissions do not bind here; TestFaults injects the same failures")
	}
	above := t.TempDir()
	dir := filepath.Join(above, "out")
	mustWrite(t, dir, "one", Options{})
	require.NoError(t, os.Chmod(above, 0o555))
	t.Cleanup(func() { _ = os.Chmod(above, 0o777) })
	err := Write(dir, results("two"), manifest("two"), Options{})
	assert.ErrorIs(t, err, os.ErrPermission)
	assert.Equal(t, written(t, "one"), tree(t, dir))
}

func TestUnreadableFolderIsNoReasonToReplaceIt(t *testing.T) {
	if runtime.GOOS == "windows" || os.Geteuid() == 0 {
		t.Skip("permissions do not bind here")
	}
	dir := filepath.Join(t.TempDir(), "out")
	mustWrite(t, dir, "one", Options{})
	require.NoError(t, os.Chmod(filepath.Join(dir, "stock.csv"), 0))
	assert.ErrorIs(t, Write(dir, results("two"), manifest("two"), Options{Force: true}), os.ErrPermission)
}

func TestBadFilesTouchNothing(t *testing.T) {
	above := t.TempDir()
	dir := filepath.Join(above, "out")
	for _, name := range []string{"../x", "/x", "", ".", "a//b", "manifest.json", "MANIFEST.json", "Stock.csv", "stock.csv/x",
		`a\b`, "a:b", "nul.txt", "com1", "x.", "x ", "a\x00b", ".DS_Store", "manifest.json/x"} {
		files := map[string][]byte{name: nil, "stock.csv": nil}
		assert.Error(t, Write(dir, files, manifest("one"), Options{}), "%q", name)
	}
	bad := manifest("one")
	bad.Rules = json.RawMessage("{")
	assert.ErrorContains(t, Write(dir, results("one"), bad, Options{}), "rules for the manifest")
	assert.Empty(t, names(t, above))
}

func TestNoFiles(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "out")
	require.NoError(t, Write(dir, nil, Manifest{}, Options{}))
	assert.Equal(t, []string{ManifestName}, names(t, dir))
}

func TestRefusalIsAnError(t *testing.T) {
	var err error = &Refusal{Dir: "out", Reason: "is a file, not a folder"}
	assert.EqualError(t, err, "out: is a file, not a folder")
	assert.False(t, errors.Is(err, ErrBusy))
}

func TestStopped(t *testing.T) {
	above := t.TempDir()
	dir := filepath.Join(above, "out")
	mustWrite(t, dir, "one", Options{})
	before := tree(t, dir)
	stop := make(chan struct{})
	close(stop)
	require.ErrorIs(t, Write(dir, results("two"), manifest("two"), Options{Stop: stop}), ErrStopped)
	assert.Equal(t, before, tree(t, dir))
	assert.Equal(t, []string{"out"}, names(t, above), "nothing is left beside it")
}
