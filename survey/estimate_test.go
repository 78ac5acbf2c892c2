package survey

import (
	"math"
	"slices"
	"strconv"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
)

// quad is one row of quadrats.csv in a folder built by [builder]; cover and grams may be NaN (blank).
type quad struct {
	bed, stratum, transect, quadrat, species string
	day                                      Day
	visit                                    Visit
	m2, cover, grams, weighed, frond         float64
}

// blank is a cell without a number.
var blank = math.NaN()

// seen is a visited quadrat of 0.25 m2 in which nothing but cover was read.
func seen(bed, transect, quadrat, species string, day Day, cover float64) quad {
	return quad{bed: bed, transect: transect, quadrat: quadrat, species: species, day: day, m2: 0.25, cover: cover,
		grams: blank, weighed: blank, frond: blank}
}

// clipped is a visited quadrat of 0.25 m2 with cover and weight.
func clipped(bed, transect, quadrat, species string, day Day, cover, grams float64) quad {
	q := seen(bed, transect, quadrat, species, day, cover)
	q.grams = grams
	return q
}

// folderOf builds a folder from beds and rows; the other tables are set by the test.
func folderOf(beds []Bed, rows []quad) *Folder {
	f := &Folder{Beds: beds, Names: []string{""}}
	for _, r := range rows {
		f.Names = append(f.Names, r.bed, r.stratum, r.transect, r.quadrat, r.species)
	}
	slices.Sort(f.Names)
	f.Names = slices.Compact(f.Names)
	id := func(s string) uint32 {
		i, ok := slices.BinarySearch(f.Names, s)
		if !ok {
			panic("not interned: " + s)
		}
		return uint32(i)
	}
	q := &f.Quadrats
	for _, r := range rows {
		q.Bed, q.Stratum, q.Transect = append(q.Bed, id(r.bed)), append(q.Stratum, id(r.stratum)), append(q.Transect, id(r.transect))
		q.Quadrat, q.Species, q.Observer = append(q.Quadrat, id(r.quadrat)), append(q.Species, id(r.species)), append(q.Observer, 0)
		q.Day, q.Visit, q.M2 = append(q.Day, r.day), append(q.Visit, r.visit), append(q.M2, r.m2)
		q.Cover, q.Biomass, q.Weighed = append(q.Cover, r.cover), append(q.Biomass, r.grams), append(q.Weighed, r.weighed)
		q.Frond, q.Line = append(q.Frond, r.frond), append(q.Line, int32(len(q.Line)+2))
	}
	return f
}

// bedOf is a bed with one period.
func bedOf(id string, area float64) Bed {
	return Bed{ID: id, Periods: []BedPeriod{{Shore: "North", Area: area, From: NoDay, Status: "open"}}}
}

// only is the one stock of a bed, species and survey.
func only(t *testing.T, stocks []Stock, bed, species, survey string) Stock {
	t.Helper()
	var out []Stock
	for _, s := range stocks {
		if s.Bed == bed && s.Species == species && s.Survey == survey {
			out = append(out, s)
		}
	}
	require.Len(t, out, 1, "stocks of %s, %s, %s", bed, species, survey)
	return out[0]
}

// reference reads the results of testdata/estimate/survey.R.
func reference(t *testing.T) map[string]float64 {
	t.Helper()
	out := map[string]float64{}
	for _, rec := range readTable(t, "estimate/survey_R.csv")[1:] {
		v, err := strconv.ParseFloat(rec[1], 64)
		require.NoError(t, err)
		out[rec[0]] = v
	}
	return out
}

// tableQuads are the quadrats of a table written by survey.R, as rows of bed "A". all keeps the weight of every quadrat,
// else that of those marked as weighed.
func tableQuads(t *testing.T, name string, all bool) []quad {
	t.Helper()
	var out []quad
	for _, rec := range readTable(t, "estimate/"+name)[1:] {
		num := func(i int) float64 {
			v, err := strconv.ParseFloat(rec[i], 64)
			require.NoError(t, err)
			return v
		}
		q := seen("A", rec[1], rec[2], "Fucus", testDay, num(4))
		q.stratum, q.m2 = rec[0], num(3)
		if all || rec[6] == "1" {
			q.grams = num(5) * q.m2 * 1000
		}
		out = append(out, q)
	}
	return out
}

var testDay = MakeDay(2024, time.May, 20)

// threeStrata are the strata of survey.R.
func threeStrata() []Stratum {
	return []Stratum{{Bed: "A", Stratum: "high", Area: 900}, {Bed: "A", Stratum: "mid", Area: 1600},
		{Bed: "A", Stratum: "low", Area: 2500}}
}
