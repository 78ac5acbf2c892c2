//go:build unix

package offtake

import (
	"math/rand/v2"
	"testing"

	"bedstock/model/internal/fence"
)

// The loops read and write nothing behind the numbers that they are given.
func TestLoopsKeepToTheirNumbers(t *testing.T) {
	rng := rand.New(rand.NewPCG(35, 36))
	for range 200 {
		t.Run("", func(t *testing.T) {
			p := oddPaths(rng)
			p.b, p.floor, p.year, p.miss = fence.Before(t, p.b), fence.Before(t, p.floor), fence.Before(t, p.year), fence.Before(t, p.miss)
			p.cut, p.tally = fence.Before(t, p.cut), fence.Before(t, p.tally)
			groups := fence.Before(t, rng.Perm(p.groups())[:rng.IntN(p.groups()+1)])
			of := fence.Before(t, make([]int, p.groups()))
			tallyExact(p, groups, of)
			tallyFraction(p, groups, of)
			if rng.IntN(3) == 0 {
				p.miss = nil
			}
			v := p.view(Plan{p.kg, 0}, nil, make([]float64, len(p.b)))
			v.meant, v.tally, v.taken = p.cut, fence.Before(t, v.tally), fence.Before(t, v.taken)
			for y := range v.kept {
				if rng.IntN(2) == 0 {
					v.kept[y] = fence.Before(t, v.taken)
				}
			}
			watchFractions(p, &v, 0, p.groups())
		})
	}
}
