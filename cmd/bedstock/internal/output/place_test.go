package output

import (
	"io/fs"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// refused expects that nothing is written, even by force, for the reason given.
func refused(t *testing.T, dir, surveyDir, reason string) {
	t.Helper()
	for _, force := range []bool{false, true} {
		r := refusal(t, Write(dir, results("one"), manifest("one"), Options{Force: force, SurveyDir: surveyDir}))
		assert.Contains(t, r.Reason, reason)
		assert.Equal(t, dir, r.Dir)
	}
}

func TestRefusedPlaces(t *testing.T) {
	base := t.TempDir()
	survey := filepath.Join(base, "shore", "survey")
	put(t, filepath.Join(survey, "quadrats.csv"), "bed\n")
	put(t, filepath.Join(base, "file"), "x")

	refused(t, survey, survey, "is the survey folder or holds it")
	refused(t, survey+"/.", survey, "is the survey folder or holds it")
	refused(t, filepath.Join(base, "shore"), survey, "is the survey folder or holds it")
	refused(t, base, survey, "is the survey folder or holds it")
	refused(t, filepath.Join(survey, "out"), survey, "is inside the survey folder")
	refused(t, filepath.Join(base, "none", "out"), survey, "does not exist")
	refused(t, filepath.Join(base, "file"), survey, "is a file, not a folder")
	refused(t, filepath.Join(base, "file", "out"), survey, "is a file, not a folder")
	refused(t, filepath.VolumeName(base)+string(filepath.Separator), survey, "is no folder for results")
	refused(t, "", survey, "is no folder for results")
	refused(t, filepath.Join(base, ".out.lock"), survey, "is no folder for results")
	assert.Equal(t, []string{"quadrats.csv"}, names(t, survey))
	assert.Equal(t, []string{"file", "shore"}, names(t, base))

	mustWrite(t, filepath.Join(base, "shore", "survey-report"), "one", Options{SurveyDir: survey})
	mustWrite(t, filepath.Join(base, ".hidden"), "one", Options{SurveyDir: survey})
}

func TestDeepInsideSurvey(t *testing.T) {
	survey := t.TempDir()
	put(t, filepath.Join(survey, "photos/2026/a.jpg"), "x")
	refused(t, filepath.Join(survey, "photos", "2026", "out"), survey, "is inside the survey folder")
	assert.Equal(t, []string{"a.jpg"}, names(t, filepath.Join(survey, "photos/2026")))
}

func TestMissingSurveyIsAnError(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "out")
	assert.ErrorIs(t, Write(dir, nil, Manifest{}, Options{SurveyDir: dir + "x"}), os.ErrNotExist)
}

func symlink(t *testing.T, to, name string) {
	t.Helper()
	if err := os.Symlink(to, name); err != nil {
		t.Skipf("no symbolic links here: %v", err)
	}
}

func TestSymlinks(t *testing.T) {
	base := t.TempDir()
	survey := filepath.Join(base, "survey")
	put(t, filepath.Join(survey, "quadrats.csv"), "bed\n")
	require.NoError(t, os.Mkdir(filepath.Join(base, "real"), 0o777))
	symlink(t, filepath.Join(base, "real"), filepath.Join(base, "link"))
	symlink(t, filepath.Join(base, "nowhere"), filepath.Join(base, "dangling"))
	symlink(t, survey, filepath.Join(base, "alias"))

	refused(t, filepath.Join(base, "link"), "", "is a symbolic link")
	refused(t, filepath.Join(base, "link")+"/", "", "is a symbolic link")
	refused(t, filepath.Join(base, "dangling"), "", "is a symbolic link")
	refused(t, filepath.Join(base, "alias", "out"), survey, "is inside the survey folder")
	refused(t, survey, filepath.Join(base, "alias"), "is the survey folder or holds it")
	mustWrite(t, filepath.Join(base, "link", "out"), "one", Options{SurveyDir: filepath.Join(base, "alias")})
	assert.Equal(t, written(t, "one"), tree(t, filepath.Join(base, "real", "out")))
}

// A link among the results may lead to somebody's file; it is a change, and the file behind it stays.
func TestSymlinkInside(t *testing.T) {
	base := t.TempDir()
	dir := filepath.Join(base, "out")
	mustWrite(t, dir, "one", Options{})
	stock := filepath.Join(dir, "stock.csv")
	data, err := os.ReadFile(stock)
	require.NoError(t, err)
	put(t, filepath.Join(base, "precious.csv"), string(data))
	require.NoError(t, os.Remove(stock))
	symlink(t, filepath.Join(base, "precious.csv"), stock)
	r := refusal(t, Write(dir, results("two"), manifest("two"), Options{}))
	assert.Equal(t, []string{"stock.csv: is no longer a plain file"}, r.Files)
	mustWrite(t, dir, "two", Options{Force: true})
	assert.FileExists(t, filepath.Join(base, "precious.csv"))
}

func TestWorkingFolderIsRefused(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "out")
	require.NoError(t, os.MkdirAll(filepath.Join(dir, "sub"), 0o777))
	t.Chdir(filepath.Join(dir, "sub"))
	refused(t, dir, "", "holds the folder in which the command runs")
	refused(t, "..", "", "holds the folder in which the command runs")
	refused(t, ".", "", "holds the folder in which the command runs")
}

// Something under a name of ours that is not a folder is never removed.
func TestForeignLeftover(t *testing.T) {
	base := t.TempDir()
	put(t, filepath.Join(base, ".out.new"), "whose?")
	err := Write(filepath.Join(base, "out"), results("one"), manifest("one"), Options{Force: true})
	assert.ErrorContains(t, err, ".out.new is not a folder")
	assert.Equal(t, []string{".out.new"}, names(t, base))
}

// A folder that cannot be written is named, not the file with which that was found out.
func TestFolderThatCannotBeWritten(t *testing.T) {
	p := place{shown: "out", dir: "/shore/out", parent: "/shore"}
	err := p.cannotWrite(&fs.PathError{Op: "open", Path: p.lock(), Err: fs.ErrPermission})
	assert.EqualError(t, err, "cannot write in /shore: permission denied")
	assert.ErrorIs(t, err, fs.ErrPermission)
	assert.EqualError(t, p.cannotWrite(ErrBusy), "out: "+ErrBusy.Error())
	assert.ErrorIs(t, p.cannotWrite(ErrBusy), ErrBusy)
}
