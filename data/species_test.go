package data_test

import (
	"encoding/csv"
	"math"
	"os"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// ranges are the defaults and ranges of README.md, from which the coefficients of variation of species.csv come.
func ranges(t *testing.T) map[string][6]float64 {
	t.Helper()
	text, err := os.ReadFile("README.md")
	require.NoError(t, err)
	_, rest, found := strings.Cut(string(text), "| species | r (range) | K (range) |\n|---|---|---|\n")
	require.True(t, found)
	out := map[string][6]float64{}
	for line := range strings.Lines(rest) {
		cells := strings.Split(strings.TrimSpace(line), "|")
		if len(cells) != 5 {
			break
		}
		var v [6]float64
		for i, c := range cells[2:4] {
			parts := strings.FieldsFunc(c, func(r rune) bool { return strings.ContainsRune(" (-)", r) })
			require.Len(t, parts, 3, line)
			for j, p := range parts {
				v[3*i+j], err = strconv.ParseFloat(p, 64)
				require.NoError(t, err)
			}
		}
		out[strings.TrimSpace(cells[1])] = v
	}
	return out
}

func readSpecies(t *testing.T) (head []string, rows []map[string]string) {
	t.Helper()
	f, err := os.Open("species.csv")
	require.NoError(t, err)
	defer f.Close()
	all, err := csv.NewReader(f).ReadAll()
	require.NoError(t, err)
	for _, cells := range all[1:] {
		row := map[string]string{}
		for i, c := range cells {
			row[all[0][i]] = c
		}
		rows = append(rows, row)
	}
	return all[0], rows
}

// The table's spreads are those that README.md says, rounded to two digits after the point.
func TestSpreadsComeFromTheRanges(t *testing.T) {
	want := ranges(t)
	_, rows := readSpecies(t)
	require.Len(t, rows, 15)
	require.Len(t, want, 15)
	cv := func(lo, hi float64) string {
		s := math.Log(hi/lo) / (2 * 1.645)
		return strconv.FormatFloat(math.Sqrt(math.Exp(s*s)-1), 'f', 2, 64)
	}
	for _, row := range rows {
		name := row["species"]
		v, ok := want[name]
		require.True(t, ok, name)
		assert.Equal(t, strconv.FormatFloat(v[0], 'g', -1, 64), row["r_per_year"], name)
		assert.Equal(t, cv(v[1], v[2]), row["r_cv"], name)
		assert.Equal(t, strconv.FormatFloat(v[3], 'g', -1, 64), row["k_kg_m2"], name)
		assert.Equal(t, cv(v[4], v[5]), row["k_cv"], name)
	}
}

// Nothing in the embedded table decides for a shore, and every row says what it leans on.
func TestTableLeavesChoicesToTheShore(t *testing.T) {
	head, rows := readSpecies(t)
	assert.Equal(t, strings.Split("species,common_name,measured,life,r_per_year,r_cv,k_kg_m2,k_cv,peak_month,amplitude,season_ratio,"+
		"max_frond_cm,min_length_cm,leave_cm,recruit_cm,max_fraction,cover_a_kg_m2,cover_b,cover_cv,group,aphia_id,confidence,source", ","), head)
	for _, row := range rows {
		for _, blank := range []string{"min_length_cm", "leave_cm", "max_fraction", "cover_a_kg_m2", "cover_b", "cover_cv"} {
			assert.Empty(t, row[blank], "%s %s", row["species"], blank)
		}
		assert.Contains(t, row["source"], "judgement, no published value", row["species"])
		assert.Contains(t, []string{"B", "C", "D"}, row["confidence"])
		assert.Contains(t, []string{"annual", "biennial", "perennial"}, row["life"])
		assert.Contains(t, []string{"plant", "frond", "blade", "strap"}, row["measured"])
	}
}
