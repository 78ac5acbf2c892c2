package model

import (
	"errors"
	"flag"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"testing/fstest"

	"github.com/rogpeppe/go-internal/txtar"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"bedstock/data"
	"bedstock/survey"
)

var updateMapping = flag.Bool("update-mapping", false, "write what is found into the corpus of mappings")

func speciesTable(t testing.TB) []survey.Species {
	table, problems := survey.ReadSpecies(data.FS, "species.csv")
	require.Empty(t, problems)
	return table
}

// Every folder of the corpus has a mapping in its rules.toml; what is read by it and what is wrong stands in want.txt.
// After -update-mapping each is to be read: is the place right, is it clear what to do?
func TestMappingCorpus(t *testing.T) {
	names, err := filepath.Glob("testdata/mapping/corpus/*.txtar")
	require.NoError(t, err)
	require.Greater(t, len(names), 20)
	table := speciesTable(t)
	for _, name := range names {
		t.Run(strings.TrimSuffix(filepath.Base(name), ".txtar"), func(t *testing.T) {
			a, err := txtar.ParseFile(name)
			require.NoError(t, err)
			fsys := fstest.MapFS{"beds.csv": {Data: []byte("bed,area_m2\nlantry,800\nmarrowgate,500\n")}}
			for _, f := range a.Files {
				fsys[f.Name] = &fstest.MapFile{Data: f.Data}
			}
			delete(fsys, "want.txt")
			got := mappingFound(Load(fsys, table, LoadOptions{}))
			k := slices.IndexFunc(a.Files, func(f txtar.File) bool { return f.Name == "want.txt" })
			if *updateMapping {
				if k < 0 {
					k = len(a.Files)
					a.Files = append(a.Files, txtar.File{Name: "want.txt"})
				}
				a.Files[k].Data = []byte(got)
				require.NoError(t, os.WriteFile(name, txtar.Format(a), 0o644))
				return
			}
			require.GreaterOrEqual(t, k, 0, "no want.txt")
			assert.Equal(t, string(a.Files[k].Data), got)
		})
	}
}

// mappingFound is what a folder is said to hold and every problem with its hint, but for the cuts that none of them has.
func mappingFound(f *survey.Folder, _ Rules, err error) string {
	var b strings.Builder
	problems, ok := errors.AsType[survey.Problems](err)
	switch {
	case ok:
	case err != nil:
		return "error: " + err.Error() + "\n"
	default:
		problems = f.Doubts
		for _, line := range f.Mapped {
			b.WriteString(line + "\n")
		}
	}
	for _, p := range problems {
		if p.File == "harvest.csv" && p.Line == 0 {
			continue
		}
		b.WriteString(p.String() + "\n")
		if p.Hint != "" {
			b.WriteString("    hint: " + p.Hint + "\n")
		}
	}
	return b.String()
}
