package makedemo

import (
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// The committed demo is what the generator makes of its seed: nothing mended by hand, nothing left over.
func TestCommittedDemoIsGenerated(t *testing.T) {
	files, truth := Generate(Seed)
	entries, err := os.ReadDir("../demo")
	require.NoError(t, err)
	assert.Len(t, entries, len(files))
	for name, want := range files {
		got, err := os.ReadFile(filepath.Join("../demo", name))
		require.NoError(t, err)
		assert.True(t, string(want) == string(got), "data/demo/%s differs: run go generate ./data", name)
	}
	got, err := os.ReadFile("../demo-truth.csv")
	require.NoError(t, err)
	assert.True(t, string(truth.CSV()) == string(got), "data/demo-truth.csv differs: run go generate ./data")
}

func TestSeedDecides(t *testing.T) {
	a, truthA := Generate(5)
	b, truthB := Generate(5)
	assert.Equal(t, a, b)
	assert.Equal(t, truthA, truthB)
	c, truthC := Generate(6)
	for _, name := range []string{"quadrats.csv", "fronds.csv", "harvest.csv", "regrowth.csv", "decisions.csv"} {
		assert.NotEqual(t, a[name], c[name], name)
	}
	assert.NotEqual(t, truthA.K, truthC.K)
}

func BenchmarkGenerate(b *testing.B) {
	for b.Loop() {
		Generate(1)
	}
}
