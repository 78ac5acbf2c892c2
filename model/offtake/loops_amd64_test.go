package offtake

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
)

// oddPaths are paths of numbers that are ordinary, or at the edges of what there is; in some all are powers of 2, so that v is
// often 1.
func oddPaths(rng *rand.Rand) *paths {
	edges := []float64{0, 1, 1, math.Nextafter(1, 0), math.Nextafter(1, 2), math.SmallestNonzeroFloat64, 1e-300, 1e300, math.MaxFloat64}
	powers := rng.IntN(3) == 0
	odd := func() float64 {
		if powers {
			return math.Ldexp(1, rng.IntN(3)-1)
		}
		if rng.IntN(12) == 0 {
			return edges[rng.IntN(len(edges))]
		}
		return math.Exp(0.3 * rng.NormFloat64())
	}
	p := &paths{n: 1 + rng.IntN(40), years: 1 + rng.IntN(12), every: 1, share: 1}
	k, b := make([]float64, p.n), make([]float64, p.n)
	for i := range k {
		k[i], b[i] = odd()+1e-300, []float64{1, 4}[i%2]*odd()
	}
	p.stands(Stand{K: k, B: b}, Rules{LimitOfK: 1})
	p.cut, p.tally, p.kg = make([]float64, p.years), make([]tally, p.years), []float64{0, 0.5, 4, 1e9}[rng.IntN(4)]
	for y := range p.cut {
		p.cut[y] = odd()
	}
	p.year, p.miss = make([]year, p.groups()*p.years), make([]tile, p.groups()*p.years)
	for i := range p.year {
		for l := range lanes {
			p.year[i].keep[l], p.year[i].gain[l] = odd(), 0.25*odd()
			p.miss[i][l] = min(odd(), mostlyCut/p.cut[i%p.years])
		}
	}
	return p
}

// The loops for this kind of processor count the same draws as those in Go, in any groups: also where nothing is left, so that v is
// infinite, and where nothing grows on it, so that it is no number any more.
func TestCountsTwoAtATimeAreThoseOneByOne(t *testing.T) {
	rng := rand.New(rand.NewPCG(31, 32))
	below, all := 0, 0
	for range 3000 {
		p := oddPaths(rng)
		groups := rng.Perm(p.groups())[:rng.IntN(p.groups()+1)]
		counted := func(count func(groups, of []int)) (years, of []int) {
			years, of = make([]int, p.years), repeatedInt(p.groups(), -1)
			clear(p.tally)
			count(groups, of)
			for y, n := range p.tally {
				years[y] = n.sum()
				below += years[y]
			}
			all += len(groups) * lanes * p.years
			return years, of
		}
		for name, by := range map[string][2]func(groups, of []int){
			"exact":    {p.countExact, func(groups, of []int) { tallyExact(p, groups, of) }},
			"fraction": {p.countFraction, func(groups, of []int) { tallyFraction(p, groups, of) }},
		} {
			years, of := counted(by[0])
			years2, of2 := counted(by[1])
			assert.Equal(t, years, years2, name)
			assert.Equal(t, of, of2, name)
		}
	}
	assert.InDelta(t, 0.5, float64(below)/float64(all), 0.4, "some are below, some are not")
}

// And they see the same of them, to the last bit.
func TestWatchedTwoAtATimeIsAsOneByOne(t *testing.T) {
	rng := rand.New(rand.NewPCG(33, 34))
	for c := range 3000 {
		p := oddPaths(rng)
		meant := make([]float64, p.years)
		for y := range meant {
			meant[y] = p.cut[y] * float64(rng.IntN(2))
		}
		if c%3 == 0 {
			p.miss = nil
			for y := range meant {
				meant[y] = min(meant[y], mostlyCut)
			}
		}
		var at []int
		for y := range meant {
			if rng.IntN(2) == 0 {
				at = append(at, y)
			}
		}
		from := rng.IntN(p.groups())
		to := from + rng.IntN(p.groups()-from+1)
		seen := func(watch func(v *view)) (bits []uint64, below []int) {
			v := p.view(Plan{p.kg, 0}, at, slices.Repeat([]float64{-1}, (len(at)+1)*len(p.b)))
			v.meant = meant
			watch(&v)
			for i, x := range slices.Concat(append(v.kept, v.taken)...) {
				if i%len(p.b) < p.n && !math.IsNaN(x) {
					bits = append(bits, math.Float64bits(x))
				}
			}
			for _, n := range v.tally {
				below = append(below, n.sum())
			}
			return bits, append(below, v.ever.sum())
		}
		bits, below := seen(func(v *view) { p.watchFraction(v, from, to) })
		bits2, below2 := seen(func(v *view) { watchFractions(p, v, from, to) })
		assert.Equal(t, bits, bits2)
		assert.Equal(t, below, below2)
	}
}
