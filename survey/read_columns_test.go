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
	"pgregory.net/rapid"
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

func TestFirstOfEach(t *testing.T) {
	v := []int{3, 1, 3, 2, 1, 3}
	for name, hash := range map[string]func(int) uint64{
		"good":         func(i int) uint64 { return uint64(v[i]) * 0x9e3779b97f4a7c15 },
		"all the same": func(int) uint64 { return ^uint64(0) },
	} {
		var got [][2]int
		firstOfEach(len(v), hash, func(i, j int) bool { return v[i] == v[j] }, func(i, first int) {
			got = append(got, [2]int{i, first})
		})
		assert.Equal(t, [][2]int{{2, 0}, {4, 1}, {5, 0}}, got, name)
	}
	firstOfEach(0, nil, nil, nil)
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

// Repeated rows and the rows of a quadrat are those that comparing all with all finds, whether quadrats have few rows or
// many, together or apart.
func TestRepeatsAreThoseOfThePlainWay(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		rng := rand.New(rand.NewPCG(rapid.Uint64().Draw(t, "seed"), 5))
		f := drawnQuadrats(rng, rapid.IntRange(0, 40).Draw(t, "quadrats"))
		q := &f.Quadrats
		if rapid.Bool().Draw(t, "one") {
			clear(q.Quadrat)
		}
		type pair struct{ i, first int }
		var want, got []pair
		first := make([]int32, q.Len())
		for i := range q.Len() {
			for j := i; j >= 0; j-- {
				if q.Bed[i] == q.Bed[j] && sameQuadrat(q, int32(i), int32(j)) {
					first[i] = int32(j)
				}
			}
			for j := range i {
				if q.same(i, j) {
					want = append(want, pair{i, j})
					break
				}
			}
		}
		q.repeats(q.firstRows(), q.same, func(i, first int) { got = append(got, pair{i, first}) })
		require.Equal(t, want, got)
		require.Equal(t, first, q.firstRows())
	})
}
