package output

import (
	"encoding/json"
	"errors"
	"io/fs"
	"maps"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// results are the files of a made-up run; runs of different marks differ in their names and bytes.
func results(mark string) map[string][]byte {
	return map[string][]byte{
		"stock.csv":                   []byte("bed,stock_kg\nRam," + mark + "\n"),
		"report.html":                 []byte("<p>" + mark + "</p>"),
		"figures/01-" + mark + ".svg": []byte("<svg>" + mark + "</svg>"),
	}
}

func manifest(mark string) Manifest {
	return Manifest{
		Version: "1.0.0", Command: "report", AsOf: "2026-05-01", Seed: 42,
		Rules:    json.RawMessage(`{"risk": 0.05, "confidence": 0.95}`),
		Inputs:   []FileSum{{"quadrats.csv", sum([]byte(mark))}, {"beds.csv", sum([]byte("beds"))}},
		Warnings: []string{"beds.csv:3: warning: too few transects"},
	}
}

// tree is every file below a folder with its content; nil if there is no folder.
func tree(t testing.TB, dir string) map[string]string {
	t.Helper()
	if there, err := exists(dir); err == nil && !there {
		return nil
	}
	files := map[string]string{}
	require.NoError(t, filepath.WalkDir(dir, func(path string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		data, err := os.ReadFile(path)
		name, _ := filepath.Rel(dir, path)
		files[filepath.ToSlash(name)] = string(data)
		return err
	}))
	return files
}

// written is the tree that a run of this mark leaves.
func written(t testing.TB, mark string) map[string]string {
	t.Helper()
	body, err := manifest(mark).encode(results(mark))
	require.NoError(t, err)
	want := map[string]string{ManifestName: string(body)}
	for name, data := range results(mark) {
		want[name] = string(data)
	}
	return want
}

func same(a, b map[string]string) bool { return a != nil && b != nil && maps.Equal(a, b) }

func put(t testing.TB, path, text string) {
	t.Helper()
	require.NoError(t, os.MkdirAll(filepath.Dir(path), 0o777))
	require.NoError(t, os.WriteFile(path, []byte(text), 0o666))
}

// names are the entries of a folder.
func names(t testing.TB, dir string) []string {
	t.Helper()
	entries, err := os.ReadDir(dir)
	require.NoError(t, err)
	var list []string
	for _, e := range entries {
		list = append(list, e.Name())
	}
	return list
}

// refusal is the Refusal in err; the test ends if there is none.
func refusal(t testing.TB, err error) *Refusal {
	t.Helper()
	r, ok := errors.AsType[*Refusal](err)
	require.True(t, ok, "no refusal: %v", err)
	return r
}

func mustWrite(t testing.TB, dir, mark string, opt Options) {
	t.Helper()
	require.NoError(t, write(nosync{}, dir, results(mark), manifest(mark), opt))
	assert.Equal(t, written(t, mark), tree(t, dir))
}

// scratch is a folder in memory where the system has one, since some tests write thousands of files.
func scratch(t testing.TB) string {
	t.Helper()
	dir, err := os.MkdirTemp("/dev/shm", "bedstock-test-")
	if err != nil {
		return t.TempDir()
	}
	t.Cleanup(func() { assert.NoError(t, os.RemoveAll(dir)) })
	return dir
}

// nosync is the real disk without waiting for it, which takes long on a busy machine.
type nosync struct{ osDisk }

func (nosync) SyncDir(string) error { return nil }

func (d nosync) Create(path string) (file, error) {
	f, err := d.osDisk.Create(path)
	return nosyncFile{f}, err
}

type nosyncFile struct{ file }

func (nosyncFile) Sync() error { return nil }
