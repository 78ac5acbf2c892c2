package plan

import (
	"fmt"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
)

// Needs less one of them are met as they are found to be when that one is taken out and all are looked at.
func TestServedWithoutOne(t *testing.T) {
	rng := rand.New(rand.NewPCG(4, 2))
	counts := map[bool]int{}
	for range 5000 {
		heights, needs := make([]float64, rng.IntN(6)), make([]float64, 1+rng.IntN(6))
		for _, v := range [][]float64{heights, needs} {
			for i := range v {
				v[i] = float64(rng.IntN(5))
			}
			slices.Sort(v)
		}
		served := servedWithout(heights, needs)
		for i, n := range needs {
			want := serve(heights, slices.Delete(slices.Clone(needs), i, i+1))
			counts[want]++
			assert.Equal(t, want, served(n), "%v of %v without %d", needs, heights, i)
		}
	}
	assert.Greater(t, min(counts[true], counts[false]), 1000)
}

// A packing finds beds to fit where the outings that they are packed into are served.
func TestPackingFitsAsItIsPacked(t *testing.T) {
	rng := rand.New(rand.NewPCG(8, 3))
	counts := map[bool]int{}
	for range 300 {
		l := &layer{costs: shoreCosts}
		var tasks []Task
		for i := range 1 + rng.IntN(30) {
			tasks = append(tasks, Task{Bed: fmt.Sprint("b", i), Site: fmt.Sprint("s", rng.IntN(4)), At: float64(rng.IntN(8)), Work: 400 * rng.Float64()})
		}
		for range rng.IntN(40) {
			l.heights = append(l.heights, float64(rng.IntN(8)))
		}
		slices.Sort(l.heights)
		p := l.packing(tasks)
		for range 20 {
			var some []Task
			part := rng.Float64()
			for i := range tasks {
				if p.in[i] = rng.Float64() < part; p.in[i] {
					some = append(some, tasks[i])
				}
			}
			want := serve(l.heights, needsOf(l.pack(some)))
			counts[want]++
			assert.Equal(t, want, p.fit())
		}
	}
	assert.Greater(t, min(counts[true], counts[false]), 500)
}
