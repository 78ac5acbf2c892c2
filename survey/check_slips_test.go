package survey

import (
	"fmt"
	"strings"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"bedstock/data/makedemo"
)

// Folders as the demo's, with other numbers, have no fault and, but for one false alarm in some twenty folders, only the
// two doubts that the demo is made to show. The rate over many folders is measured in .ci/long/falsealarms.
func TestCheckRaisesNoFalseAlarm(t *testing.T) {
	table := embeddedTable(t)
	more := 0
	for seed := uint64(1); seed <= 4; seed++ {
		texts, _ := makedemo.Generate(seed)
		fsys := fstest.MapFS{}
		for name, text := range texts {
			fsys[name] = &fstest.MapFile{Data: text, Mode: 0o644}
		}
		f, err := Read(fsys, table, DefaultOptions())
		require.NoError(t, err, "seed %d", seed)
		require.GreaterOrEqual(t, len(f.Doubts), 2)
		more += len(f.Doubts) - 2
		assert.LessOrEqual(t, more, 1, "seed %d: %v", seed, f.Doubts)
	}
}

// slipRows is a quadrats.csv of one bed, a row for each (day in June, quadrat_m2, cover_pct, biomass_g).
func slipRows(rows ...[4]string) string {
	var b strings.Builder
	b.WriteString("bed,date,quadrat,quadrat_m2,species,cover_pct,biomass_g\n")
	for i, r := range rows {
		fmt.Fprintf(&b, "Skarn,2030-06-%s,%d,%s,Fucus serratus,%s,%s\n", r[0], i+1, r[1], r[2], r[3])
	}
	return b.String()
}

// usual is so many rows, the weight 10 g a percent of cover.
func usual(n int) [][4]string {
	var out [][4]string
	for i := range n {
		out = append(out, [4]string{"11", "0.25", fmt.Sprint(20 + i), fmt.Sprint(10 * (20 + i))})
	}
	return out
}

// Each case stands a step before or beyond the limit of a check, and names what is then said.
func TestCheckSlips(t *testing.T) {
	for name, c := range map[string]struct {
		rows [][4]string
		want string // part of the one thing said; empty: nothing is
	}{
		"usual":               {usual(20), ""},
		"three days in a row": {append(usual(2), [4]string{"12", "0.25", "30", ""}, [4]string{"13", "0.25", "30", ""}), ""},
		"four days in a row": {append(usual(1), [4]string{"12", "0.25", "30", ""}, [4]string{"13", "0.25", "30", ""},
			[4]string{"14", "0.25", "30", ""}), "rises by a day from row to row, from 2030-06-11 to 2030-06-14 in line 5"},
		"four days with one between": {append(usual(1), [4]string{"12", "0.25", "30", ""}, [4]string{"14", "0.25", "30", ""},
			[4]string{"15", "0.25", "30", ""}), ""},
		"nothing weighed at 4 %":   {append(usual(9), [4]string{"11", "0.25", "4", "0"}), ""},
		"nothing weighed at 5 %":   {append(usual(9), [4]string{"11", "0.25", "5", "0"}), "is 0 where Fucus serratus covers 5 % or more"},
		"4.9 times too heavy":      {append(usual(9), [4]string{"11", "0.25", "20", "980"}), ""},
		"5.1 times too heavy":      {append(usual(9), [4]string{"11", "0.25", "20", "1020"}), "weighs 5.1 times what is usual"},
		"5.1 times too light":      {append(usual(9), [4]string{"11", "0.25", "20", "39.2"}), "weighs 0.2 times what is usual"},
		"10 times, in few weights": {append(usual(6), [4]string{"11", "0.25", "20", "2000"}), ""},
		"a bed counted whole":      {[][4]string{{"11", "24", "20", "9e4"}, {"11", "24", "20", "9e4"}}, ""},
		"more than the bed":        {[][4]string{{"11", "24", "20", "9e4"}, {"11", "24.6", "20", "9e4"}}, "add up to 48.6 m2, more than all of it, 48 m2"},
		"a quadrat as the bed":     {[][4]string{{"11", "48.1", "20", "9e4"}, {"11", "0.25", "20", "300"}}, "48.1 m2 is more than all of bed Skarn, 48 m2"},
		"0.25 without its point":   {[][4]string{{"11", "25", "20", "9e4"}, {"11", "0.25", "20", "600"}}, "25 m2 is large for a quadrat"},
	} {
		t.Run(name, func(t *testing.T) {
			texts := bareFolder()
			texts["beds.csv"] = "bed,area_m2\nSkarn,48\n"
			texts["quadrats.csv"] = slipRows(c.rows...)
			got := whatIsFound(files(texts), smallTable(), DefaultOptions())
			var said []string
			for line := range strings.Lines(got) {
				if !strings.HasPrefix(line, "    ") && !strings.Contains(line, "have several sizes") && line != "nothing\n" {
					said = append(said, line)
				}
			}
			if c.want == "" {
				assert.Empty(t, said)
				return
			}
			require.Len(t, said, 1)
			assert.Contains(t, said[0], c.want)
		})
	}
}

// A column is taken for another by its unit, its usual names and slips; remarks and columns that are there never are.
func TestMistakenColumn(t *testing.T) {
	r := &rowReader{spec: &quadratsTable, header: []string{"bed", "date", "quadrat", "quadrat_m2", "species"}}
	for name, want := range map[string]string{
		"cover": "cover_pct", "cover_percent": "cover_pct", "percent_cover": "cover_pct", "cover_(%)": "cover_pct",
		"biomass_kg": "biomass_g", "wet_weight": "biomass_g", "wet_g": "biomass_g", "biomas_g": "biomass_g", "frond_mm": "frond_cm",
		"length": "frond_cm", "transekt": "transect", "strata": "", "visits": "visit", "observers": "", "weather": "", "quadrat_cm2": "",
		"date_entered": "", "photo": "",
	} {
		got := ""
		if c := r.mistaken(name); c != nil {
			got = c.name
		}
		assert.Equal(t, want, got, name)
	}
}
