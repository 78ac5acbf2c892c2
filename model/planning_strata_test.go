package model

import (
	"fmt"
	"strings"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"bedstock/survey"
)

// wedges draws a bed of 200 by 60 m as two strata whose border runs aslant, so that the lower one is wide where the
// upper one is narrow.
func wedges(strata ...string) string {
	at := planeAt(survey.LonLat{Lon: -30, Lat: 50})
	ring := func(xy ...float64) string {
		var out []string
		for i := 0; i < len(xy); i += 2 {
			p := at.position(xy[i], xy[i+1])
			out = append(out, "["+number(p.Lon)+","+number(p.Lat)+"]")
		}
		return "[[" + strings.Join(append(out, out[0]), ",") + "]]"
	}
	shapes := map[string]string{"": ring(0, 0, 200, 0, 200, 60, 0, 60), "low": ring(0, 0, 200, 0, 200, 50, 0, 10), "high": ring(0, 10, 200, 50, 200, 60, 0, 60)}
	var features []string
	for _, s := range strata {
		features = append(features, fmt.Sprintf(`{"type":"Feature","properties":{"bed":"b","stratum":%q},"geometry":{"type":"Polygon","coordinates":%s}}`, s, shapes[s]))
	}
	return `{"type":"FeatureCollection","features":[` + strings.Join(features, ",") + `]}`
}

// wedgeFolder is a bed surveyed on six transects; crossing: each runs through both strata.
func wedgeFolder(crossing bool, outlines string) fstest.MapFS {
	var rows strings.Builder
	rows.WriteString("bed,date,stratum,transect,quadrat,quadrat_m2,species,cover_pct,biomass_g\n")
	for t := range 6 {
		for q := range 4 {
			stratum := []string{"low", "high"}[q%2]
			if !crossing {
				stratum = []string{"low", "high"}[t%2]
			}
			fmt.Fprintf(&rows, "b,2025-06-01,%s,T%d,%d,0.25,Fucus serratus,%d,%d\n", stratum, t, q, 30+7*t+3*q, 400+90*t+40*q)
		}
	}
	return fstest.MapFS{
		"beds.csv":     {Data: []byte("bed,area_m2\nb,12000\n")},
		"strata.csv":   {Data: []byte("bed,stratum,area_m2\nb,low,6000\nb,high,6000\n")},
		"quadrats.csv": {Data: []byte(rows.String())},
		"beds.geojson": {Data: []byte(outlines)},
	}
}

// Every quadrat lies in the outline of its stratum, whether transects keep to one or run through all; where strata are
// not drawn, or not all of them, places are shares of the way as before.
func TestPlacesInsideStrata(t *testing.T) {
	for _, crossing := range []bool{false, true} {
		p, f := planOf(t, wedgeFolder(crossing, wedges("", "low", "high")), PlanOptions{Seed: 3, CV: 0.05})
		seen := map[string]int{}
		for _, s := range p.Beds[0].Strata {
			for _, tr := range s.Transects {
				require.NotEmpty(t, tr.Quadrats)
				for _, q := range tr.Quadrats {
					require.True(t, q.At.Located())
					require.True(t, f.StratumOutlines["b"][q.Stratum].Contains(survey.LonLat{Lon: q.At.Lon, Lat: q.At.Lat}), "%s %+v", q.Stratum, q.At)
					seen[q.Stratum]++
				}
			}
		}
		assert.Len(t, seen, 2)
		assert.NotContains(t, strings.Join(p.Beds[0].Warnings, " "), "shares of the way")
	}
	for _, outlines := range []string{wedges(""), wedges("", "low")} {
		p, _ := planOf(t, wedgeFolder(true, outlines), PlanOptions{Seed: 3})
		assert.Contains(t, strings.Join(p.Beds[0].Warnings, " "), "shares of the way")
		assert.False(t, p.Beds[0].Strata[0].Transects[0].Quadrats[0].At.Located())
	}
}

// Two strata drawn on one another are no ground; nothing breaks.
func TestStrataOnOneAnother(t *testing.T) {
	twice := strings.Replace(wedges("low", "low"), `"stratum":"low"`, `"stratum":"high"`, 1)
	p, f := planOf(t, wedgeFolder(true, twice), PlanOptions{Seed: 3})
	assert.Contains(t, strings.Join(p.Beds[0].Warnings, " "), "shares of the way")
	var found strings.Builder
	for _, d := range f.Doubts {
		found.WriteString(d.Text + "\n")
	}
	assert.Contains(t, found.String(), "100 % of stratum high lies in stratum low too")
}
