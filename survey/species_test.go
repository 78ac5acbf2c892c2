package survey

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestReadSpeciesTable(t *testing.T) {
	list, ps := ReadSpecies(files(map[string]string{"table.csv": "species,life,r_per_year,k_kg_m2,aphia_id,confidence,max_fraction\n" +
		"Palmaria palmata,perennial,1.5,,145771,D,0\nFucus serratus,,1,,,,\n"}), "table.csv")
	require.Empty(t, ps)
	require.Len(t, list, 2)
	assert.Equal(t, "Fucus serratus", list[0].Name, "sorted by name")
	assert.Equal(t, Species{Name: "Palmaria palmata", Life: "perennial", R: Some(1.5), AphiaID: Some(145771), Confidence: "D",
		MaxFraction: Some(0), InTable: true, From: map[string]string{"life": "table", "r_per_year": "table",
			"aphia_id": "table", "confidence": "table", "max_fraction": "table"}}, list[1])
}

func TestReadSpeciesFaults(t *testing.T) {
	for text, want := range map[string]string{
		"species,aphia_id\nUlva,2.5\n":    `t.csv:2:6: aphia_id: "2.5" is not a whole number`,
		"species\nUlva\nulva\n":           "t.csv:3: has the same species as line 2",
		"species,life\nUlva,short\n":      `t.csv:2:6: life: "short" is not a word for this column`,
		"species,peak_month\nUlva,13.5\n": `t.csv:2:6: peak_month: "13.5" is above 13`,
		"life\nannual\n":                  `t.csv:1: column "species" is missing`,
		"":                                "t.csv: is empty",
	} {
		_, ps := ReadSpecies(files(map[string]string{"t.csv": text}), "t.csv")
		assert.Equal(t, want, ps.Error())
	}
	_, ps := ReadSpecies(files(nil), "t.csv")
	require.Len(t, ps.Faults(), 1)
	assert.Contains(t, ps.Error(), "cannot open t.csv")
}

// The folder's species.csv lies over the table cell by cell: blank cells leave the table's, and the table's own list
// is not touched.
func TestReadOverlaysSpecies(t *testing.T) {
	table := smallTable()
	f, err := Read(files(smallFolder()), table, DefaultOptions())
	require.NoError(t, err)
	require.Len(t, f.Species, 2)
	assert.Equal(t, Species{Name: "Fucus serratus", Life: "perennial", R: Some(0.9), RCV: Some(0.5), Source: "own plots",
		InTable: true, From: map[string]string{"life": "table", "r_cv": "table", "r_per_year": "species.csv:2",
			"source": "species.csv:2"}}, f.Species[0])
	assert.Equal(t, "Osmundea minor", f.Species[1].Name)
	assert.True(t, f.Species[1].InTable)
	assert.Equal(t, smallTable(), table)
}

// A species is spelled as in the table, else as first read, in every file.
func TestReadSpellsSpeciesOnce(t *testing.T) {
	texts := smallFolder()
	delete(texts, "species.csv")
	texts["quadrats.csv"] = strings.Replace(texts["quadrats.csv"], "Palmaria palmata", "palmaria  PALMATA", 1)
	texts["harvest.csv"] += "Skarn,2030-05-10,,Palmaria palmata,3,,,,\n"
	f, err := Read(files(texts), smallTable(), DefaultOptions())
	require.NoError(t, err)
	q := &f.Quadrats
	assert.Equal(t, "Fucus serratus", f.Names[q.Species[0]])
	assert.Equal(t, "palmaria  PALMATA", f.Names[q.Species[1]])
	assert.Equal(t, "palmaria  PALMATA", f.Cuts[2].Species)
	assert.Equal(t, []string{"Fucus serratus", "palmaria  PALMATA"}, f.Surveys[0].Sought)
	assert.Len(t, f.Species, 1)
	assert.Equal(t, q.Species[0], f.Fronds.Species[0])
}
