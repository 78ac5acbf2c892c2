package survey

import (
	"fmt"
	"math"
	"math/rand/v2"
	"strings"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// readBy is a folder of one bed with the given rows of quadrats.csv and readings.csv.
func readBy(t testing.TB, quadrats, readings string) *Folder {
	const header = "bed,date,quadrat,quadrat_m2,species,cover_pct,observer\n"
	f, err := Read(fstest.MapFS{
		"beds.csv":     {Data: []byte("bed,area_m2\nReef,1000\n")},
		"quadrats.csv": {Data: []byte(header + quadrats)}, "readings.csv": {Data: []byte(header + readings)},
	}, embeddedTable(t), DefaultOptions())
	require.NoError(t, err)
	return f
}

func readRow(q int, species string, cover float64, observer string) string {
	return fmt.Sprintf("Reef,2031-06-14,%d,0.25,%s,%g,%s\n", q, species, cover, observer)
}

// One species: the plain mean, its t interval and the SD of five differences, worked out by hand: -2, 4, 4, 6, 8 have
// mean 4, sum of squares about it 56, SD sqrt(14), SE sqrt(14/5); t(0.975, 4) = 2.776445 (R 4: qt(0.975, 4)).
func TestObserversByHand(t *testing.T) {
	var quadrats, readings strings.Builder
	for i, d := range []float64{-2, 4, 4, 6, 8} {
		quadrats.WriteString(readRow(i, "Fucus serratus", 20, "Ann"))
		readings.WriteString(readRow(i, "fucus serratus", 20+d, "Bo"))
	}
	f := readBy(t, quadrats.String(), readings.String())
	list := f.Observers(0.95)
	require.Len(t, list, 2)
	for i, species := range []string{"", "Fucus serratus"} {
		a := list[i]
		assert.Equal(t, []any{"Ann", "Bo", species, 5, 5, true, 2}, []any{a.First, a.Second, a.Species, a.Quadrats, a.Readings, a.OK, a.Line})
		assert.InDelta(t, 4, a.Mean, 1e-12)
		assert.InDelta(t, math.Sqrt(14), a.SD, 1e-12)
		assert.InDelta(t, math.Sqrt(14.0/5), a.SE, 1e-12)
		assert.InDelta(t, 4-2.776445*math.Sqrt(14.0/5), a.Lo, 1e-5)
		assert.InDelta(t, 20, a.Cover, 1e-12)
		assert.False(t, a.Large(), "0 is within the interval")
	}
}

// What one observer did not find is 0 with him, an empty quadrat too; the stock does not change by what was read again.
func TestObserversMissAndFind(t *testing.T) {
	var quadrats, readings strings.Builder
	for i := range 6 {
		quadrats.WriteString(readRow(i, "Fucus serratus", 30+float64(i), "Ann"))
		quadrats.WriteString(readRow(i, "Fucus spiralis", 10, "Ann"))
		if i == 0 {
			readings.WriteString(readRow(i, "", 0, "Bo"))
			continue
		}
		readings.WriteString(readRow(i, "Fucus serratus", 30, "Bo"))
		readings.WriteString(readRow(i, "Palmaria palmata", 6, "Bo"))
	}
	f := readBy(t, quadrats.String(), readings.String())
	of := map[string]Agreement{}
	for _, a := range f.Observers(0.95) {
		of[a.Species] = a
	}
	assert.InDelta(t, -(30.0+1+2+3+4+5)/6, of["Fucus serratus"].Mean, 1e-12)
	assert.InDelta(t, -10, of["Fucus spiralis"].Mean, 1e-12)
	assert.InDelta(t, 6, of["Palmaria palmata"].Mean, 1e-12)
	assert.Equal(t, 5, of["Palmaria palmata"].Readings, "where neither found it nothing is said")
	assert.Equal(t, 17, of[""].Readings)
	alone := readBy(t, quadrats.String(), "")
	assert.Equal(t, fmt.Sprint(Stocks(alone, DefaultOptions())), fmt.Sprint(Stocks(f, DefaultOptions())))
}

// A large difference is warned of, with the readings of a quadrat that is not there.
func TestObserversWarned(t *testing.T) {
	var quadrats, readings strings.Builder
	for i := range 8 {
		quadrats.WriteString(readRow(i, "Fucus serratus", 40, ""))
		readings.WriteString(readRow(i, "Fucus serratus", 47+float64(i%3), "Bo"))
	}
	readings.WriteString(readRow(99, "Fucus serratus", 47, "Bo"))
	f := readBy(t, quadrats.String(), readings.String())
	var found []string
	for _, p := range f.Doubts {
		if p.File == "readings.csv" {
			found = append(found, p.String())
		}
	}
	require.Len(t, found, 2)
	assert.Equal(t, "readings.csv:2:39: warning: cover_pct: Bo reads 7.88 % cover more than the observer of quadrats.csv on average "+
		"(95 % interval 7.2 to 8.6; SD 0.83; 8 quadrats, 8 readings), where 40 % is the mean: stocks differ by as much", found[0])
	assert.Contains(t, found[1], "readings.csv:10:17: warning: quadrat: quadrats.csv has no such quadrat on that day: what Bo read is compared with nothing")
}

// The interval holds the true difference in 95 of 100 surveys: 2000 of 15 quadrats with one to five species each, whose
// readings share an error of their quadrat.
func TestObserversCover(t *testing.T) {
	src := rand.New(rand.NewPCG(7, 1))
	held := 0
	const surveys = 2000
	for range surveys {
		var c compared
		for quad := range 15 {
			shared := 3 * src.NormFloat64()
			for range 1 + src.IntN(5) {
				c.add(quad, 20, 20+2+shared+4*src.NormFloat64(), 1)
			}
		}
		if a := c.agreement(0.95); a.Lo <= 2 && 2 <= a.Hi {
			held++
		}
	}
	assert.InDelta(t, 0.95, float64(held)/surveys, 0.02)
}
