package survey

import (
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

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
		var want []repeat
		first := make([]int32, q.Len())
		for i := range q.Len() {
			for j := i; j >= 0; j-- {
				if q.Bed[i] == q.Bed[j] && sameQuadrat(q, int32(i), int32(j)) {
					first[i] = int32(j)
				}
			}
			for j := range i {
				if q.same(i, j) {
					want = append(want, repeat{i, j})
					break
				}
			}
		}
		require.Equal(t, want, q.repeats(q.firstRows(), q.same))
		require.Equal(t, first, q.firstRows())
	})
}

// Rows beyond the first stretch are compared with those of the stretches before, and those at the ends of stretches with
// their neighbours.
func TestRepeatsOverStretches(t *testing.T) {
	const n = 2*stretchRows + 1000
	for name, far := range map[string]bool{"together": false, "far apart": true} {
		q := &Quadrats{}
		for i := range n {
			of := uint32(i/3 + 1)
			if far && i%1000 == 999 {
				of = uint32(rand.New(rand.NewPCG(uint64(i), 6)).IntN(n/3) + 1)
			}
			q.Bed, q.Stratum, q.Transect, q.Quadrat = append(q.Bed, 1), append(q.Stratum, 1), append(q.Transect, of%7), append(q.Quadrat, of)
			q.Day, q.Species = append(q.Day, 20000), append(q.Species, uint32(i%3))
			if i%5000 == 0 && i%3 > 0 || i == stretchRows {
				q.Species[i] = q.Species[i-1]
			}
		}
		firstRow, firstSpecies := map[uint32]int{}, map[[2]uint32]int{}
		var rows []int32
		var repeats []repeat
		for i := range n {
			if _, ok := firstRow[q.Quadrat[i]]; !ok {
				firstRow[q.Quadrat[i]] = i
			}
			rows = append(rows, int32(firstRow[q.Quadrat[i]]))
			k := [2]uint32{q.Quadrat[i], q.Species[i]}
			if first, ok := firstSpecies[k]; ok {
				repeats = append(repeats, repeat{i, first})
			} else {
				firstSpecies[k] = i
			}
		}
		require.Equal(t, rows, q.firstRows(), name)
		require.Equal(t, repeats, q.repeats(rows, q.same), name)
		require.Greater(t, len(repeats), 10, name)
	}
}
