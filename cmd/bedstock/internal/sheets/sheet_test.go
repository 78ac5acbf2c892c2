package sheets

import (
	"bytes"
	"encoding/csv"
	"flag"
	"fmt"
	"os"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

var update = flag.Bool("update", false, "write the sheet into testdata")

// example is a plan of 24 quadrats on six transects, eight of them weighed.
func example() Sheet {
	s := Sheet{Bed: "Grey & Skerry", Name: "Outer <rocks>", QuadratM2: 0.25, Day: "2031-06-14", LowWater: "06:12, 0.4 m", Tides: 2,
		Species: []Species{{"Ascophyllum nodosum", "egg wrack"}, {"Fucus serratus", ""}, {"Fucus vesiculosus", "bladder wrack"}}, Invented: true}
	for i := range 24 {
		s.Quadrats = append(s.Quadrats, Quadrat{Transect: fmt.Sprintf("T%d", i/4+1), Quadrat: fmt.Sprintf("Q%02d", i+1),
			Weigh: i%3 == 0, Where: fmt.Sprintf("%d m up", 3+5*(i%4))})
	}
	return s
}

func TestSheetHTML(t *testing.T) {
	page, err := HTML(example())
	require.NoError(t, err)
	if *update {
		require.NoError(t, os.WriteFile("testdata/sheet.html", page, 0o644))
	}
	want, err := os.ReadFile("testdata/sheet.html")
	require.NoError(t, err)
	assert.Equal(t, string(want), string(page), "look at testdata/sheet.html printed after -update")
	text := string(page)
	assert.NotContains(t, text, "<rocks>")
	assert.NotContains(t, text, "http", "nothing is loaded from outside")
	assert.Equal(t, 24, strings.Count(text, "<tbody>"))
	assert.Equal(t, 24*4, strings.Count(text, "<td class=\"species\">")+24)
	assert.Equal(t, 16*4*2, strings.Count(text, "<td class=\"no\">"), "only what is to be weighed has boxes for it")
	for _, c := range columns[3:] {
		assert.Contains(t, text, c)
	}
	for _, word := range []string{"tide", "swell", "Never alone", "LEAVE BY", "slippery", "knives", "holdfast", "consent", "outfalls", "birds", "INVENTED"} {
		assert.Contains(t, text, word)
	}
}

// The rows come in the order of the sheet, under the header of the folder as far as that goes.
func TestRows(t *testing.T) {
	header := []string{"quadrat", "bed", "crew", "species", "date"}
	all, err := csv.NewReader(bytes.NewReader(Rows(header, []Sheet{example()}))).ReadAll()
	require.NoError(t, err)
	require.Len(t, all, 1+24*3)
	assert.Equal(t, append(header, "transect", "quadrat_m2", "visit", "cover_pct", "frond_cm", "biomass_g", "weighed_m2", "observer", "notes"), all[0])
	assert.Equal(t, "Q02,Grey & Skerry,,Ascophyllum nodosum,2031-06-14,T1,0.25,planned,,,,,,", strings.Join(all[4], ","))
	assert.True(t, strings.HasSuffix(strings.Join(all[3], ","), ",weigh"))
	assert.Equal(t, "Fucus vesiculosus", all[72][3])
}
