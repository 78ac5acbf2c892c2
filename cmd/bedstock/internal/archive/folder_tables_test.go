package archive

import (
	"bytes"
	"encoding/csv"
	"encoding/json"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"bedstock/survey"
)

// Every column that a survey folder can have is handed on, but for remarks that are not kept; in the order of its
// description, and those that must be there always.
func TestTablesAreWhole(t *testing.T) {
	var names []string
	for _, table := range tables {
		names = append(names, table.name)
		want := slices.DeleteFunc(columnsOf(table.name), func(c string) bool { return c == "notes" && table.name != "surveys" })
		assert.Equal(t, want, table.columns, table.name)
		var d struct {
			Fields []struct {
				Name        string
				Description string
				Constraints struct{ Required bool }
			}
		}
		require.NoError(t, json.Unmarshal(survey.Descriptors()[table.name], &d))
		for _, f := range d.Fields {
			must := f.Constraints.Required || bytes.Contains([]byte(f.Description), []byte("The column must be there"))
			assert.Equal(t, must, slices.Contains(table.must, f.Name), "%s of %s", f.Name, table.name)
		}
	}
	for name := range survey.Descriptors() {
		assert.True(t, slices.Contains([]string{"setaside", "readings", "tides"}, name) || slices.Contains(names, name), name)
	}
}

// A Data Package describes each table with the columns it has, in their order, by its bytes.
func TestPackage(t *testing.T) {
	f, rules := load(t, folderOf(small()))
	carried, _, err := Carry(f, []byte(small()["rules.toml"]), false, plainOptions())
	require.NoError(t, err)
	packed, counts, err := Package(*rules.Dataset, carried, plainOptions())
	require.NoError(t, err)
	all, err := unzip(bytes.NewReader(packed), int64(len(packed)), limits{maxEntries, maxUnzip})
	require.NoError(t, err)
	var p dataPackage
	require.NoError(t, json.Unmarshal(all["datapackage.json"], &p))
	assert.Equal(t, "short-name", p.Name)
	assert.Equal(t, []contributor{{"Office or person who made the survey", "", []string{"creator"}}, {"Office or person to ask", "mail@example.org", []string{"contact"}}}, p.Contributors)
	assert.Equal(t, []licence{{"CC-BY-4.0", "http://creativecommons.org/licenses/by/4.0/legalcode", "CC BY 4.0"}}, p.Licenses)
	assert.Len(t, all, len(p.Resources)+1)
	rows := map[string]int{}
	for _, c := range counts {
		rows[c.File] = c.Rows
	}
	assert.Equal(t, map[string]int{"beds.csv": 2, "strata.csv": 2, "surveys.csv": 1, "quadrats.csv": 9, "fronds.csv": 4}, rows)
	for _, r := range p.Resources {
		text := all[r.Path]
		require.NotNil(t, text, r.Path)
		assert.Len(t, text, r.Bytes)
		if r.Schema == nil {
			continue
		}
		header, err := csv.NewReader(bytes.NewReader(text)).Read()
		require.NoError(t, err)
		var fields []string
		for _, raw := range r.Schema.Fields {
			var f struct{ Name string }
			require.NoError(t, json.Unmarshal(raw, &f))
			fields = append(fields, f.Name)
		}
		assert.Equal(t, header, fields)
		assert.Equal(t, "exact", r.Schema.FieldsMatch)
		for _, key := range append(r.Schema.UniqueKeys, r.Schema.PrimaryKey) {
			assert.Subset(t, header, key)
		}
	}
}
