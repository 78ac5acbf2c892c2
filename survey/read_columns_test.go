package survey

import (
	"errors"
	"fmt"
	"math/rand/v2"
	"runtime"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// manyQuadrats makes a folder of n rows of quadrats.csv, four species a quadrat, ten quadrats a transect.
func manyQuadrats(n int) map[string]string {
	rng := rand.New(rand.NewPCG(1, 2))
	species := []string{"Fucus serratus", "Palmaria palmata", "Himanthalia elongata", "Chondrus crispus"}
	var b strings.Builder
	b.WriteString("bed,date,stratum,transect,quadrat,quadrat_m2,visit,species,cover_pct,frond_cm,biomass_g,observer\n")
	for i := range n {
		q := i / 4
		fmt.Fprintf(&b, "Bed %02d,%d-06-%02d,low,T%03d,%d,0.25,done,%s,%d,%.1f,", q/100%12, 2020+q/1200%10, 1+q/100%28,
			q/10%1000, q, species[i%4], rng.IntN(101), 5+40*rng.Float64())
		if i%5 == 0 {
			fmt.Fprintf(&b, "%.1f", 900*rng.Float64())
		}
		b.WriteString(",KL\n")
	}
	var beds strings.Builder
	beds.WriteString("bed,area_m2\n")
	for i := range 12 {
		fmt.Fprintf(&beds, "Bed %02d,1000\n", i)
	}
	return map[string]string{"beds.csv": beds.String(), "quadrats.csv": b.String()}
}

func TestReadManyQuadrats(t *testing.T) {
	f, err := Read(files(manyQuadrats(20000)), nil, DefaultOptions())
	require.NoError(t, err)
	assert.Equal(t, 20000, f.Quadrats.Len())
	assert.Equal(t, int32(20001), f.Quadrats.Line[19999])
	q := &f.Quadrats
	for _, n := range []int{cap(q.Bed), cap(q.Line), cap(q.Cover)} {
		assert.LessOrEqual(t, n, 20002, "room is made once")
	}
}

// A fault in every row is listed twenty times and then counted.
func TestReadFoldsAlike(t *testing.T) {
	texts := manyQuadrats(3000)
	texts["quadrats.csv"] = strings.ReplaceAll(texts["quadrats.csv"], ",0.25,", ",-0.25,")
	_, err := readThen(unchecked, files(texts), nil, DefaultOptions())
	ps, ok := errors.AsType[Problems](err)
	require.True(t, ok)
	require.Len(t, ps, maxAlike+1)
	assert.Equal(t, "quadrats.csv:22:30: quadrat_m2: ... and 2980 more like it", ps[maxAlike].String())
}

func TestPoolSorts(t *testing.T) {
	p := newPool()
	ids := []uint32{p.id("b"), p.id(""), p.id("a"), p.id("b"), p.id("c")}
	names, place := p.sorted()
	assert.Equal(t, []string{"", "a", "b", "c"}, names)
	var got []string
	for _, id := range ids {
		got = append(got, names[place[id]])
	}
	assert.Equal(t, []string{"b", "", "a", "b", "c"}, got)
}

// Time and bytes allocated a row of reading 100,000 rows of quadrats.csv; the text itself is some 73 bytes a row.
func BenchmarkReadQuadrats(b *testing.B) {
	const n = 100_000
	fsys := files(manyQuadrats(n))
	b.SetBytes(int64(len(fsys["quadrats.csv"].Data)))
	b.ReportAllocs()
	var before, after runtime.MemStats
	runtime.ReadMemStats(&before)
	for b.Loop() {
		if _, err := Read(fsys, nil, DefaultOptions()); err != nil {
			b.Fatal(err)
		}
	}
	b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N)/n, "ns/row")
	runtime.ReadMemStats(&after)
	b.ReportMetric(float64(after.TotalAlloc-before.TotalAlloc)/float64(b.N)/n, "B/row")
}

// Two rows are the same quadrat and species only where all six columns of the key agree.
func TestQuadratsSame(t *testing.T) {
	q := &Quadrats{Bed: []uint32{1, 1}, Stratum: []uint32{1, 1}, Transect: []uint32{1, 1}, Quadrat: []uint32{1, 1},
		Species: []uint32{1, 1}, Day: []Day{1, 1}}
	assert.True(t, q.same(0, 1))
	assert.Equal(t, q.hash(0), q.hash(1))
	for i, ids := range [][]uint32{q.Bed, q.Stratum, q.Transect, q.Quadrat, q.Species} {
		ids[1] = 2
		assert.False(t, q.same(0, 1), i)
		assert.NotEqual(t, q.hash(0), q.hash(1), i)
		ids[1] = 1
	}
	q.Day[1] = 2
	assert.False(t, q.same(0, 1))
}
