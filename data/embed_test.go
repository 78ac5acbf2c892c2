package data_test

import (
	"io/fs"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"bedstock/data"
	"bedstock/data/makedemo"
)

// What is built in is what the generator makes, and nothing else lies in the demo folder.
func TestEmbeddedDemoIsTheGeneratedOne(t *testing.T) {
	files, _ := makedemo.Generate(makedemo.Seed)
	entries, err := fs.ReadDir(data.FS, "demo")
	require.NoError(t, err)
	require.Len(t, entries, len(files))
	for name, want := range files {
		got, err := fs.ReadFile(data.FS, "demo/"+name)
		require.NoError(t, err)
		assert.True(t, string(want) == string(got), "%s: run go generate ./data", name)
	}
}

// Every table of the demo has a descriptor.
func TestEveryDemoTableIsDescribed(t *testing.T) {
	tables, err := fs.Glob(data.FS, "demo/*.csv")
	require.NoError(t, err)
	require.NotEmpty(t, tables)
	for _, table := range tables {
		name := "schema/" + table[len("demo/"):len(table)-len(".csv")] + ".json"
		_, err := fs.Stat(data.FS, name)
		assert.NoError(t, err, table)
	}
}
