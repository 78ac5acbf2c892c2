package output

import (
	"os"
	"path/filepath"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// SHA-256 of "abc" and of no bytes: FIPS 180-4 examples, also printed by coreutils sha256sum.
const (
	sumABC   = "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad"
	sumEmpty = "e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855"
)

func TestManifestText(t *testing.T) {
	m := Manifest{
		Version: "1.0.0", AsOf: "2026-05-01", Seed: 1<<64 - 1, Invented: true,
		Rules:    []byte(`{"risk": 0.050, "a": {"z": 1e2, "b": ["x<y"]}}`),
		Inputs:   []FileSum{{"quadrats.csv", sumABC}, {"beds.csv", sumEmpty}},
		Warnings: []string{"z <first>", "a second"},
		Outputs:  []FileSum{{"forged", "00"}}, Tool: "forged",
	}
	got, err := m.encode(map[string][]byte{"stock.csv": []byte("abc"), "figures/01-a.svg": nil})
	require.NoError(t, err)
	assert.Equal(t, `{
  "tool": "bedstock",
  "version": "1.0.0",
  "as_of": "2026-05-01",
  "seed": 18446744073709551615,
  "invented": true,
  "rules": {
    "a": {
      "b": [
        "x<y"
      ],
      "z": 1e2
    },
    "risk": 0.050
  },
  "inputs": [
    {
      "path": "beds.csv",
      "sha256": "`+sumEmpty+`"
    },
    {
      "path": "quadrats.csv",
      "sha256": "`+sumABC+`"
    }
  ],
  "outputs": [
    {
      "path": "figures/01-a.svg",
      "sha256": "`+sumEmpty+`"
    },
    {
      "path": "stock.csv",
      "sha256": "`+sumABC+`"
    }
  ],
  "warnings": [
    "z <first>",
    "a second"
  ]
}
`, string(got))
	assert.Equal(t, "quadrats.csv", m.Inputs[0].Path, "the caller's slice is left alone")
}

func TestManifestOfNothing(t *testing.T) {
	got, err := Manifest{}.encode(nil)
	require.NoError(t, err)
	for _, part := range []string{`"rules": null`, `"inputs": []`, `"outputs": []`, `"warnings": []`} {
		assert.Contains(t, string(got), part)
	}
	assert.NotContains(t, string(got), "command")
	_, err = Manifest{Rules: []byte("{} {}")}.encode(nil)
	assert.Error(t, err)
}

func TestReadManifest(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "out")
	mustWrite(t, dir, "one", Options{})
	m, err := ReadManifest(dir)
	require.NoError(t, err)
	assert.Equal(t, uint64(42), m.Seed)
	assert.Equal(t, "report", m.Command)
	assert.JSONEq(t, `{"risk": 0.05, "confidence": 0.95}`, string(m.Rules))
	assert.Len(t, m.Outputs, 3)

	for _, text := range []string{"", "[]", "{", `{"tool": "bedstock", "seed": -1}`, `{"version": "1.0.0"}`} {
		put(t, filepath.Join(dir, ManifestName), text)
		_, err := ReadManifest(dir)
		assert.ErrorIs(t, err, ErrNotOurs, "%q", text)
	}
	require.NoError(t, os.Remove(filepath.Join(dir, ManifestName)))
	_, err = Verify(dir)
	assert.ErrorIs(t, err, ErrNotOurs)
	_, err = Verify(dir + "x")
	assert.ErrorIs(t, err, os.ErrNotExist)
}

// A manifest that names files outside the folder makes Verify look at none of them.
func TestManifestWithWildPaths(t *testing.T) {
	base := t.TempDir()
	put(t, filepath.Join(base, "secret"), "abc")
	put(t, filepath.Join(base, "out", ManifestName),
		`{"tool": "bedstock", "outputs": [{"path": "../secret", "sha256": "`+sumABC+`"}, {"path": "/etc/hosts", "sha256": ""}]}`)
	problems, err := Verify(filepath.Join(base, "out"))
	require.NoError(t, err)
	assert.Equal(t, []string{"../secret: missing", "/etc/hosts: missing"}, problems)
}

func TestVerifyFindsEveryChange(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "out")
	mustWrite(t, dir, "one", Options{})
	put(t, filepath.Join(dir, "figures/01-one.svg"), "<svg>onf</svg>") // one byte
	put(t, filepath.Join(dir, "figures/manifest.json"), "{}")
	require.NoError(t, os.Mkdir(filepath.Join(dir, "empty"), 0o777))
	require.NoError(t, os.Remove(filepath.Join(dir, "stock.csv")))
	require.NoError(t, os.Mkdir(filepath.Join(dir, "stock.csv"), 0o777))
	problems, err := Verify(dir)
	require.NoError(t, err)
	assert.Equal(t, []string{
		"empty/: does not belong to it",
		"figures/01-one.svg: changed since it was written",
		"figures/manifest.json: does not belong to it",
		"stock.csv/: does not belong to it",
		"stock.csv: missing",
	}, problems)
}

func TestInputs(t *testing.T) {
	known := []string{"beds.csv", "events.csv", "harvest.csv", "quadrats.csv"}
	folder := fstest.MapFS{
		"quadrats.csv": {Data: []byte("abc")}, "beds.csv": {}, "events.csv": {Data: []byte("e")}, "photo.jpg": {},
	}
	sums, err := Sums(folder, known)
	require.NoError(t, err)
	assert.Equal(t, []FileSum{{"beds.csv", sumEmpty}, {"events.csv", sum([]byte("e"))}, {"quadrats.csv", sumABC}}, sums)

	lines, err := CheckInputs(folder, sums, known)
	require.NoError(t, err)
	assert.Empty(t, lines)

	folder["quadrats.csv"] = &fstest.MapFile{Data: []byte("abd")}
	folder["harvest.csv"] = &fstest.MapFile{}
	delete(folder, "events.csv")
	lines, err = CheckInputs(folder, sums, known)
	require.NoError(t, err)
	assert.Equal(t, []string{"events.csv: missing", "harvest.csv: added since", "quadrats.csv: changed since"}, lines)
	lines, err = CheckInputs(folder, sums, nil)
	require.NoError(t, err)
	assert.Equal(t, []string{"events.csv: missing", "quadrats.csv: changed since"}, lines)

	folder["beds.csv"] = &fstest.MapFile{Mode: os.ModeDir}
	_, err = Sums(folder, known)
	assert.ErrorContains(t, err, "sum of beds.csv")
}
