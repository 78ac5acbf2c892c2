package survey

import (
	"errors"
	"fmt"
	"strings"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// plannedFolder has a survey of last year and twelve planned quadrats of two species, of which some were filled in.
func plannedFolder(t *testing.T, date string, filled, skipped int, asOf string) (*Folder, error) {
	var b strings.Builder
	b.WriteString("bed,date,transect,quadrat,quadrat_m2,visit,species,cover_pct\n")
	for q := range 12 {
		fmt.Fprintf(&b, "Reef,2030-06-10,%d,%d,0.25,,Fucus serratus,%d\n", q/4, q, 10+5*q)
	}
	for q := range 12 {
		for _, species := range []string{"Fucus serratus", "Fucus spiralis"} {
			day, visit, cover := date, "planned", ""
			switch {
			case q < filled:
				day, visit, cover = "2031-06-14", "done", "20"
			case q < filled+skipped:
				day, visit = "2031-06-14", "not_reached"
			}
			fmt.Fprintf(&b, "Reef,%s,%d,%d,0.25,%s,%s,%s\n", day, q/4, q, visit, species, cover)
		}
	}
	opt := DefaultOptions()
	opt.AsOf = day(asOf)
	return Read(fstest.MapFS{"beds.csv": {Data: []byte("bed,area_m2\nReef,1000\n")}, "quadrats.csv": {Data: []byte(b.String())}},
		embeddedTable(t), opt)
}

func TestUnfilled(t *testing.T) {
	for _, c := range []struct {
		date            string
		filled, skipped int
		asOf, want      string
		late            bool
	}{
		{"", 0, 0, "2031-06-01", "bed Reef: 12 of 12 planned quadrats not filled in yet", false},
		{"", 7, 2, "2031-06-15", "bed Reef: 3 of 12 planned quadrats not filled in yet", true},
		{"2031-06-14", 0, 0, "2031-05-01", "bed Reef: 12 of 12 planned quadrats not filled in yet", false},
		{"2031-06-14", 10, 0, "2031-06-14", "bed Reef: 2 of 12 planned quadrats not filled in yet", true},
		{"2031-06-14", 0, 0, "2031-09-01", "bed Reef: 12 of 12 planned quadrats not filled in yet", true},
		{"2031-06-14", 11, 1, "2031-09-01", "", false},
	} {
		f, err := plannedFolder(t, c.date, c.filled, c.skipped, c.asOf)
		require.NoError(t, err)
		list := f.Unfilled(45)
		if c.want == "" {
			assert.Empty(t, list)
			continue
		}
		require.Len(t, list, 1)
		assert.Equal(t, c.want, list[0].String())
		assert.Equal(t, c.late, list[0].Late())
		warned := 0
		for _, p := range f.Doubts {
			if strings.Contains(p.Text, c.want) {
				warned++
			}
		}
		assert.Equal(t, c.late, warned == 1)
		stocks := Stocks(f, DefaultOptions())
		last := stocks[len(stocks)-1]
		if c.filled == 0 {
			assert.Equal(t, "2030", last.Survey, "a planned quadrat is no visit")
		} else {
			assert.Equal(t, "2031", last.Survey)
		}
	}
}

// A date is needed once a quadrat is no longer planned, and all rows of it are to be filled in.
func TestPlannedHalfFilled(t *testing.T) {
	rows := "bed,date,quadrat,quadrat_m2,visit,species,cover_pct\n" +
		"Reef,2031-06-14,1,0.25,done,Fucus serratus,20\nReef,2031-06-14,1,0.25,planned,Fucus spiralis,\nReef,,2,0.25,done,Fucus serratus,20\n"
	_, err := Read(fstest.MapFS{"beds.csv": {Data: []byte("bed,area_m2\nReef,1000\n")}, "quadrats.csv": {Data: []byte(rows)}},
		embeddedTable(t), DefaultOptions())
	found, ok := errors.AsType[Problems](err)
	require.True(t, ok)
	assert.Equal(t, "quadrats.csv:3:24: visit: is planned, but line 2 says done of the same quadrat 1\n"+
		"quadrats.csv:4:6: date: is blank; every row needs it", found.Faults().Error())
}
