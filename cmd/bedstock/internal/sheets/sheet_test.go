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
	s := Sheet{Bed: "Grey & Skerry", Name: "Outer <rocks>", QuadratM2: 0.25, Tides: 1,
		Visits:  []Visit{{"2031-06-14", "06:12, 0.4 m", "04:42", "06:57", []string{"Inner Skerry"}, ""}},
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

// A bed that takes several low waters has a line for each, to be filled in.
func TestSheetOfSeveralVisits(t *testing.T) {
	s := example()
	s.Visits = append(s.Visits, Visit{"2031-06-15", "06:50, 0.3 m", "05:20", "07:35", nil, ""})
	page, err := HTML(s)
	require.NoError(t, err)
	text := string(page)
	assert.Contains(t, text, "<tr><td>2031-06-14 <span>with Inner Skerry</span></td><td>06:12, 0.4 m</td><td>04:42</td><td>06:57</td><td></td>")
	assert.Contains(t, text, "<tr><td>2031-06-15</td><td>06:50, 0.3 m</td>")
	assert.NotContains(t, text, "on the bed from, to", "that is in the lines")
	assert.Contains(t, text, "WE LEAVE BY")
	s.Visits = nil
	page, err = HTML(s)
	require.NoError(t, err)
	assert.NotContains(t, string(page), "planned 2031")
	assert.Contains(t, string(page), "on the bed from, to</dt>")
}

// The rows come in the order of the sheet, under the header of the folder as far as that goes.
func TestRows(t *testing.T) {
	header := []string{"quadrat", "bed", "crew", "species", "date"}
	text, more := Rows(Form{Header: header}, []Sheet{example()})
	all, err := csv.NewReader(bytes.NewReader(text)).ReadAll()
	require.NoError(t, err)
	require.Len(t, all, 1+24*3)
	assert.Equal(t, []string{"transect", "quadrat_m2", "visit", "cover_pct", "frond_cm", "biomass_g", "weighed_m2", "observer", "notes"}, more)
	assert.Equal(t, append(header, more...), all[0])
	assert.Equal(t, "Q02,Grey & Skerry,,Ascophyllum nodosum,,T1,0.25,planned,,,,,,", strings.Join(all[4], ","))
	assert.True(t, strings.HasSuffix(strings.Join(all[3], ","), ",weigh"))
	assert.Equal(t, "Fucus vesiculosus", all[72][3])
}

// Rows are written as the folder writes its own.
func TestRowsInTheFormOfTheFolder(t *testing.T) {
	s := example()
	s.Bed = "Skär"
	text, more := Rows(Form{Header: []string{"Bed", "Quadrat m2"}, Separator: ';', DecimalComma: true, Windows1252: true}, []Sheet{s})
	assert.Contains(t, string(text), "Bed;Quadrat m2;date;transect;quadrat;visit;")
	assert.Contains(t, string(text), "\nSk\xe4r;0,25;;T1;Q01;planned;Ascophyllum nodosum;")
	assert.NotContains(t, more, "quadrat_m2")
	s.Bed = "Łuk" // of another alphabet
	text, _ = Rows(Form{Windows1252: true}, []Sheet{s})
	assert.Contains(t, string(text), "Łuk,,T1,Q01,0.25,planned,")
}
