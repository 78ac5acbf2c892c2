package model

import (
	"fmt"
	"strings"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"bedstock/data"
	"bedstock/survey"
)

// manyBeds is a folder of so many beds, each surveyed in two years and cut between them, with closures, a storm and grants.
func manyBeds(beds int) fstest.MapFS {
	text := map[string]*strings.Builder{}
	add := func(file, format string, args ...any) {
		if text[file] == nil {
			text[file] = &strings.Builder{}
		}
		fmt.Fprintf(text[file], format+"\n", args...)
	}
	add("beds.csv", "bed,shore,area_m2")
	add("quadrats.csv", "bed,date,transect,quadrat,quadrat_m2,species,cover_pct,biomass_g")
	add("harvest.csv", "bed,date,species,wet_kg")
	add("closures.csv", "bed,species,from,to,reason")
	add("events.csv", "bed,date,kind,fraction_left")
	add("decisions.csv", "bed,species,season,from,to,kg,decided_on")
	for b := range beds {
		bed := fmt.Sprintf("bed%02d", b)
		add("beds.csv", "%s,shore,4000", bed)
		for _, year := range []int{2030, 2031} {
			for q := range 12 {
				cover := 20 + (7*b+5*q+3*year)%30
				add("quadrats.csv", "%s,%d-07-15,%d,%d,0.25,%s,%d,%d", bed, year, 1+q, 1, dulse, cover, 6*cover+q)
			}
		}
		add("harvest.csv", "%s,2030-09-01,%s,%d", bed, dulse, 100+b)
		add("closures.csv", "%s,,2030-02-01,2030-03-01,nesting birds", bed)
		add("events.csv", "%s,2030-12-01,storm,0.9", bed)
		add("decisions.csv", "%s,%s,autumn,2031-08-15,2031-10-15,%d,2031-08-01", bed, dulse, 50)
	}
	out := fstest.MapFS{}
	for file, b := range text {
		out[file] = &fstest.MapFile{Data: []byte(b.String())}
	}
	return out
}

// Twice the beds take about twice the places in memory from the folder to the advice and the ledger: no step goes through
// all beds for every bed and keeps what it finds there. .ci/bench/linear counts the steps themselves.
func TestAssessingAllocatesByTheBed(t *testing.T) {
	table, problems := survey.ReadSpecies(data.FS, "species.csv")
	require.Empty(t, problems.Faults())
	measure := func(beds int) float64 {
		folder, rules, err := Load(manyBeds(beds), table, LoadOptions{})
		require.NoError(t, err)
		return testing.AllocsPerRun(1, func() {
			a := Assess(folder, Config{Rules: rules, Seed: 1, Draws: 12000}) // enough to settle at the first attempt
			require.Len(t, a.Units, beds)
			require.Equal(t, Assessed, a.Units[0].Status)
			a.Ledger(LedgerOptions{})
		})
	}
	few, some, many := measure(3), measure(6), measure(12)
	t.Logf("allocations of 3, 6 and 12 beds: %.0f, %.0f, %.0f", few, some, many)
	assert.LessOrEqual(t, (many-some)/(some-few), 2.15, "2 is linear, 4 quadratic; what runs side by side shifts it by hundredths")
}
