package survey

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// drawnQuadrats makes quadrats of two beds and days with blocks of rows pasted twice, coarse numbers so that some are
// equal by chance, and rows of one quadrat apart.
func drawnQuadrats(rng *rand.Rand, n int) *Folder {
	f := &Folder{Names: []string{"", "Ardskar", "Brenna", "Chondrus crispus", "Fucus serratus", "Palmaria palmata"}}
	for i := range n + 2 {
		f.Names = append(f.Names, fmt.Sprintf("q%04d", i))
	}
	q := &f.Quadrats
	coarse := []float64{1, 10, 50, 1000}[rng.IntN(4)]
	number := func() float64 {
		if rng.IntN(4) == 0 {
			return math.NaN()
		}
		return math.Ceil(coarse * rng.Float64())
	}
	add := func(bed uint32, day Day, quadrat, species uint32, cover, frond, biomass float64) {
		q.Bed, q.Day, q.Quadrat, q.Species = append(q.Bed, bed), append(q.Day, day), append(q.Quadrat, quadrat), append(q.Species, species)
		q.Stratum, q.Transect, q.Visit = append(q.Stratum, 0), append(q.Transect, 0), append(q.Visit, Visit(max(0, rng.IntN(30)-28)))
		q.Cover, q.Frond, q.Biomass = append(q.Cover, cover), append(q.Frond, frond), append(q.Biomass, biomass)
		q.Line = append(q.Line, int32(q.Len()+1))
	}
	for k := range uint32(n) {
		bed, day := 1+k%2, Day(20000+365*(k/40))
		back := rng.IntN(12) * 4
		for species := range uint32(4) { // the blank one stands for none
			if from := q.Len() - back; back > 0 && from >= 0 && rng.IntN(9) > 0 {
				add(bed, day, 6+k, q.Species[from], q.Cover[from], q.Frond[from], q.Biomass[from])
			} else if rng.IntN(3) > 0 {
				add(bed, day, 6+(k+uint32(rng.IntN(2)))%uint32(n), []uint32{0, 3, 4, 5}[species], number(), number(), number())
			}
		}
	}
	return f
}

// Copies are found as with texts and maps, and said in the same words.
func TestCopiesAreThoseOfThePlainWay(t *testing.T) {
	some := 0
	rapid.Check(t, func(t *rapid.T) {
		f := drawnQuadrats(rand.New(rand.NewPCG(rapid.Uint64().Draw(t, "seed"), 2)), rapid.IntRange(1, 120).Draw(t, "quadrats"))
		first := f.Quadrats.firstRows()
		slow, quick := newChecker(f, &findings{}), newChecker(f, &findings{})
		slow.slowCopied(first).note()
		quick.copied(first).note()
		require.Equal(t, slow.found.list, quick.found.list)
		some += min(1, len(quick.found.list))
	})
	if !testing.Short() { // which draws a fifth of them
		require.NotZero(t, some, "some of the folders drawn have copies")
	}
}
