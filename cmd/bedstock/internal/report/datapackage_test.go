package report

import (
	"bytes"
	"crypto/sha256"
	"encoding/csv"
	"encoding/hex"
	"encoding/json"
	"fmt"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"bedstock/model"
)

// packageOf makes the tables of an assessment and their descriptor.
func packageOf(t *testing.T, a *model.Assessment) (packageDescriptor, map[string][]byte) {
	t.Helper()
	files, _, err := tablesOf(a, invented)
	require.NoError(t, err)
	var p packageDescriptor
	d := json.NewDecoder(bytes.NewReader(files[packageFile]))
	d.DisallowUnknownFields()
	require.NoError(t, d.Decode(&p))
	return p, files
}

func TestDataPackageDescribesTheTables(t *testing.T) {
	turns := nothingWeighed(2)
	turns["rules.toml"] = "[[rotation]]\nname = \"round\"\nbeds = [\"skerry\"]\nperiod = 2\n"
	unsurveyed := nothingWeighed(1)
	unsurveyed["beds.csv"] = "bed,name,area_m2\nskerry,The Skerry,1200\nnever,=1+1,100\n"
	for name, a := range map[string]*model.Assessment{"demo": demoOnce(), "turns": assess(t, folderOf(turns)),
		"a bed never surveyed": assess(t, folderOf(unsurveyed))} {
		t.Run(name, func(t *testing.T) {
			p, files := packageOf(t, a)
			assert.Equal(t, "https://datapackage.org/profiles/2.0/datapackage.json", p.Schema)
			assert.Len(t, p.Resources, len(files)-1, "every table is described")
			for _, r := range p.Resources {
				data, ok := files[r.Path]
				require.True(t, ok, r.Path)
				sum := sha256.Sum256(data)
				assert.Equal(t, "sha256:"+hex.EncodeToString(sum[:]), r.Hash)
				assert.Len(t, data, r.Bytes)
				assert.Empty(t, invalid(r.Schema, data), r.Path)
			}
		})
	}
}

func TestDataPackageSaysWhatColumnsAre(t *testing.T) {
	p, _ := packageOf(t, demoOnce())
	for _, r := range p.Resources {
		assert.Regexp(t, `^[a-z0-9._-]+$`, r.Name)
		assert.NotEmpty(t, r.Title)
		assert.NotEmpty(t, r.Description)
		for _, f := range r.Schema.Fields {
			assert.Regexp(t, `^[A-Z].*\.$`, f.Description, "%s %s", r.Name, f.Name)
			if strings.HasSuffix(f.Name, "_kg") {
				assert.Contains(t, f.Title, "(kg", "%s %s", r.Name, f.Name)
			}
		}
	}
	assert.Regexp(t, "^INVENTED DATA", p.Description)
}

// The checks find what they are there for.
func TestDataPackageChecksFindFaults(t *testing.T) {
	s := tableLayout{fields: []field{bedField, numberField("kg", "kg", "Weight.").from(0), countField("n", "Number.").full(),
		dateField("day", "Day."), textField("status", "State.").oneOf("ok", "closed"), textField("verdict", "Verdict.").like(`(a|b)(: .*)?`),
		shareField("p", "Share.")}, key: []string{"bed"}, unique: []string{"day", "n"}}.schema()
	const head = "bed,kg,n,day,status,verdict,p\n"
	assert.Empty(t, invalid(s, []byte(head+"x,1.5,2,2024-02-29,ok,a: why,0.5\ny,,2,,,,1\n")))
	for rows, want := range map[string]string{
		",1,2,,ok,,\n":                             "bed required",
		"x,NaN,2,,ok,,\n":                          "kg no number",
		"x,-1,2,,ok,,\n":                           "kg below",
		"x,1,2.5,,ok,,\n":                          "n no integer",
		"x,1,,,ok,,\n":                             "n required",
		"x,1,2,2023-02-29,ok,,\n":                  "day no date",
		"x,1,2,,open,,\n":                          "status not one of",
		"x,1,2,,ok,about a: x,\n":                  "verdict pattern",
		"x,1,2,,ok,,1.1\n":                         "p above",
		"x,1,2,,,,\nx,1,3,,,,\n":                   "key twice",
		"x,,2,2024-01-01,,,\ny,,2,2024-01-01,,,\n": "unique twice",
	} {
		assert.Contains(t, strings.Join(invalid(s, []byte(head+rows)), "; "), want)
	}
	assert.NotEmpty(t, invalid(s, []byte("bed,n\nx,2\n")), "other columns")
}

// invalid lists where a CSV does not keep to its schema, by the rules of the Table Schema standard alone.
func invalid(s schemaDescriptor, data []byte) (faults []string) {
	rows, err := csv.NewReader(bytes.NewReader(data)).ReadAll()
	if err != nil {
		return []string{err.Error()}
	}
	var names []string
	for _, f := range s.Fields {
		names = append(names, f.Name)
	}
	if !slices.Equal(names, rows[0]) {
		return []string{fmt.Sprintf("columns %v, described %v", rows[0], names)}
	}
	seen := map[string]bool{}
	for i, row := range rows[1:] {
		for j, f := range s.Fields {
			if what := f.fault(row[j], s.MissingValues); what != "" {
				faults = append(faults, fmt.Sprintf("row %d: %s %s: %q", i+1, f.Name, what, row[j]))
			}
		}
		if k, whole := keyOf(names, row, s.PrimaryKey); s.PrimaryKey != nil {
			if !whole || seen["key"+k] {
				faults = append(faults, fmt.Sprintf("row %d: key twice or blank: %s", i+1, k))
			}
			seen["key"+k] = true
		}
		for _, unique := range s.UniqueKeys {
			k, whole := keyOf(names, row, unique)
			if whole && seen["unique"+k] {
				faults = append(faults, fmt.Sprintf("row %d: unique twice: %s", i+1, k))
			}
			seen["unique"+k] = true
		}
	}
	return faults
}

// fault says what is wrong with a cell.
func (f fieldDescriptor) fault(cell string, missing []string) string {
	var c fieldConstraint
	if f.Constraints != nil {
		c = *f.Constraints
	}
	if slices.Contains(missing, cell) {
		if c.Required {
			return "required"
		}
		return ""
	}
	v := 0.0
	var err error
	switch f.Type {
	case "number":
		if v, err = strconv.ParseFloat(cell, 64); err != nil || !isNumber(v) {
			return "no number"
		}
	case "integer":
		n, err := strconv.Atoi(cell)
		if err != nil {
			return "no integer"
		}
		v = float64(n)
	case "date":
		if _, err := time.Parse(time.DateOnly, cell); err != nil {
			return "no date"
		}
	case "string":
	default:
		return "unknown type " + f.Type
	}
	switch {
	case c.Minimum != nil && v < *c.Minimum:
		return "below the minimum"
	case c.Maximum != nil && v > *c.Maximum:
		return "above the maximum"
	case c.Enum != nil && !slices.Contains(c.Enum, cell):
		return "not one of " + strings.Join(c.Enum, ", ")
	case c.Pattern != "" && !regexp.MustCompile(`^(?:`+c.Pattern+`)$`).MatchString(cell):
		return "pattern " + c.Pattern
	}
	return ""
}

// keyOf are the cells of a key; whole: none is blank.
func keyOf(names, row, key []string) (k string, whole bool) {
	whole = true
	var cells []string
	for _, name := range key {
		cell := row[slices.Index(names, name)]
		whole = whole && cell != ""
		cells = append(cells, cell)
	}
	return strings.Join(cells, "|"), whole
}
