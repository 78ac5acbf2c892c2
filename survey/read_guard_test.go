package survey

import (
	"fmt"
	"math"
	"math/rand/v2"
	"runtime"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// manyVisits is a folder of so many beds surveyed in five years, 160 rows a survey, with fronds, cuts and regrowth plots.
func manyVisits(beds int) map[string]string {
	rng := rand.New(rand.NewPCG(3, 4))
	text := map[string]*strings.Builder{}
	add := func(file, format string, args ...any) {
		if text[file] == nil {
			text[file] = &strings.Builder{}
		}
		fmt.Fprintf(text[file], format+"\n", args...)
	}
	add("beds.csv", "bed,area_m2")
	add("strata.csv", "bed,stratum,area_m2")
	add("surveys.csv", "bed,survey,from,to,protocol")
	add("quadrats.csv", "bed,date,stratum,transect,quadrat,quadrat_m2,visit,species,cover_pct,frond_cm,biomass_g,observer")
	add("fronds.csv", "bed,date,stratum,transect,quadrat,species,frond_cm,wet_g")
	add("harvest.csv", "bed,date,species,wet_kg,permit")
	for bed := range beds {
		add("beds.csv", "Bed %d,9000", bed)
		add("strata.csv", "Bed %d,low,5000\nBed %d,mid,4000", bed, bed)
		for year := 2021; year < 2026; year++ {
			day := fmt.Sprintf("%d-06-%02d", year, 1+bed%20)
			add("surveys.csv", "Bed %d,s%d,%s,%s,", bed, year, day, day)
			add("harvest.csv", "Bed %d,%d-08-02,Fucus serratus,%.0f,P%d", bed, year, 400*math.Exp(0.3*rng.NormFloat64()), bed%7)
			for k := range 40 {
				place := fmt.Sprintf("Bed %d,%s,%s,T%d,%d", bed, day, []string{"low", "mid"}[k/20], 1+k/10, 1+k%10)
				for _, species := range []string{"Fucus serratus", "Palmaria palmata", "Himanthalia elongata", "Chondrus crispus"} {
					cover, length, grams := min(100, 15*math.Exp(0.5*rng.NormFloat64())), 15*math.Exp(0.2*rng.NormFloat64()), ""
					if k%4 == 0 {
						grams = fmt.Sprintf("%.1f", 9*cover*math.Exp(0.2*rng.NormFloat64()))
						add("fronds.csv", "%s,%s,%.1f,%.1f", place, species, length, 0.3*length*length*math.Exp(0.2*rng.NormFloat64()))
					}
					add("quadrats.csv", "%s,0.25,done,%s,%.0f,%.1f,%s,%s", place, species, cover, length, grams, []string{"KL", "MN"}[bed%2])
				}
			}
		}
	}
	out := map[string]string{}
	for file, b := range text {
		out[file] = b.String()
	}
	return out
}

// Reading and checking ten times the rows takes no more than a little over ten times the memory, and hardly any row of
// quadrats takes a place in memory of its own: no step goes through all rows for every row or keeps a row in pieces. What
// grows with beds, surveys, fronds and cuts is in the figures too.
func TestReadingAndCheckingAllocatesByTheFolderNotByTheRow(t *testing.T) {
	measure := func(beds int) (rows, allocations, bytes float64) {
		fsys, opt := files(manyVisits(beds)), DefaultOptions()
		var f *Folder
		read := func() {
			var err error
			f, err = Read(fsys, smallTable(), opt)
			require.NoError(t, err)
		}
		allocations = testing.AllocsPerRun(2, read)
		var before, after runtime.MemStats
		runtime.ReadMemStats(&before)
		read()
		runtime.ReadMemStats(&after)
		return float64(f.Quadrats.Len()), allocations, float64(after.TotalAlloc - before.TotalAlloc)
	}
	few, fewAllocations, fewBytes := measure(3)
	many, manyAllocations, manyBytes := measure(30)
	t.Logf("%.0f rows: %.0f allocations, %.0f bytes; %.0f rows: %.0f allocations, %.0f bytes", few, fewAllocations, fewBytes, many, manyAllocations, manyBytes)
	assert.LessOrEqual(t, (manyAllocations-fewAllocations)/(many-few), 0.6)
	assert.LessOrEqual(t, manyBytes/fewBytes, 12.0)
	assert.LessOrEqual(t, manyBytes/many, 700.0)
}
