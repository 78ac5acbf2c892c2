package model

import (
	"bytes"
	"encoding/csv"
	"fmt"
	"io/fs"
	"strings"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"bedstock/data"
	"bedstock/survey"
)

// The demo with other headers, units, words, dates and file names is the same folder as the demo.
func TestMappedDemo(t *testing.T) {
	demo, err := fs.Sub(data.FS, "demo")
	require.NoError(t, err)
	fsys := fstest.MapFS{}
	files, err := fs.ReadDir(demo, ".")
	require.NoError(t, err)
	for _, f := range files {
		text, err := fs.ReadFile(demo, f.Name())
		require.NoError(t, err)
		fsys[f.Name()] = &fstest.MapFile{Data: text}
	}
	want, _, err := Load(demo, speciesTable(t), LoadOptions{})
	require.NoError(t, err)

	other := func(file, to string, header map[string]string, change map[string]func(string) string) {
		fsys[to] = &fstest.MapFile{Data: rewritten(t, fsys[file].Data, header, change)}
		delete(fsys, file)
	}
	power := func(e string) func(string) string {
		return func(s string) string {
			if s == "" {
				return ""
			}
			return s + e
		}
	}
	day := func(s string) string {
		p := strings.Split(s, "-")
		return p[2] + "/" + p[1] + "/" + p[0]
	}
	other("quadrats.csv", "plots.csv", map[string]string{"date": "Day seen", "biomass_g": "Wet t", "frond_cm": "Length m", "quadrat_m2": "Size cm2",
		"cover_pct": "Share", "species": "Weed"}, map[string]func(string) string{"date": day, "biomass_g": power("e-6"), "frond_cm": power("e-2"),
		"quadrat_m2": power("e4"), "cover_pct": power("e-2"), "species": short})
	other("fronds.csv", "fronds 2.csv", map[string]string{"frond_cm": "mm", "species": "Weed"},
		map[string]func(string) string{"frond_cm": power("e1"), "species": short})
	other("harvest.csv", "landings.csv", map[string]string{"wet_kg": "grams", "species": "Weed", "origin": "how"},
		map[string]func(string) string{"wet_kg": power("e3"), "species": short, "origin": func(s string) string { return strings.Replace(s, "cast", "drift", 1) }})
	fsys["rules.toml"].Data = append(fsys["rules.toml"].Data, []byte(`
[files]
quadrats = "plots.csv"
fronds = "fronds 2.csv"
harvest = "landings.csv"
[columns.quadrats]
date = {from = "Day seen", form = "DD/MM/YYYY"}
biomass_g = {from = "Wet t", unit = "t"}
frond_cm = {from = "Length m", unit = "m"}
quadrat_m2 = {from = "Size cm2", unit = "cm2"}
cover_pct = {from = "Share", unit = "fraction"}
species = "Weed"
[columns.fronds]
frond_cm = {from = "mm", unit = "mm"}
species = "Weed"
[columns.harvest]
wet_kg = {from = "grams", unit = "g"}
species = "Weed"
origin = {from = "how", words = {drift = "cast"}}
[species]
`)...)
	for _, s := range want.NamedSpecies() {
		fsys["rules.toml"].Data = append(fsys["rules.toml"].Data, []byte("\""+short(s)+"\" = \""+s+"\"\n")...)
	}
	got, _, err := Load(fsys, speciesTable(t), LoadOptions{})
	require.NoError(t, err)
	same := func(what string, want, got any) { // written out, every digit: a blank number is not equal to itself
		assert.True(t, fmt.Sprint(want) == fmt.Sprint(got), what)
	}
	same("quadrats", want.Quadrats, got.Quadrats)
	same("fronds", want.Fronds, got.Fronds)
	same("cuts", want.Cuts, got.Cuts)
	same("names", want.Names, got.Names)
	same("stocks", survey.Stocks(want, survey.DefaultOptions()), survey.Stocks(got, survey.DefaultOptions()))
}

// short is the short name of a species, as "L. digitata".
func short(s string) string {
	genus, rest, ok := strings.Cut(s, " ")
	if !ok {
		return s
	}
	return genus[:1] + ". " + rest
}

// rewritten is a table with other headers and cells.
func rewritten(t *testing.T, text []byte, header map[string]string, change map[string]func(string) string) []byte {
	t.Helper()
	rows, err := csv.NewReader(bytes.NewReader(text)).ReadAll()
	require.NoError(t, err)
	for k, name := range rows[0] {
		for _, row := range rows[1:] {
			if f := change[name]; f != nil {
				row[k] = f(row[k])
			}
		}
		if to := header[name]; to != "" {
			rows[0][k] = to
		}
	}
	var b bytes.Buffer
	w := csv.NewWriter(&b)
	require.NoError(t, w.WriteAll(rows))
	return b.Bytes()
}
