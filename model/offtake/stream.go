package offtake

import (
	"hash/fnv"
	"io"
	"math"
	"math/rand/v2"
)

// stream is a random stream of its own for each name, so that asking for more of one kind of chance (another year,
// storms as well) leaves the others as they were.
func stream(seed uint64, name string) *rand.Rand {
	h := fnv.New64a()
	io.WriteString(h, name) // a hash never fails to write
	return rand.New(rand.NewPCG(seed, h.Sum64()))
}

// lanes is how many draws the projection follows side by side; their chances lie together in memory.
const lanes = 4

// tiled fills years times n values, year by year, into the layout of [paths]: four draws side by side, then the years
// of these four, then the next four. Places without a draw hold pad.
func tiled(n, years int, pad float64, next func(i int) float64) []float64 {
	tiles := (n + lanes - 1) / lanes
	x := make([]float64, tiles*years*lanes)
	for y := range years {
		for i := range n {
			x[at(i, y, years)] = next(i)
		}
		for i := n; i < tiles*lanes; i++ {
			x[at(i, y, years)] = pad
		}
	}
	return x
}

func at(i, y, years int) int { return (i/lanes*years+y)*lanes + i%lanes }

// inverseNoise are the factors by which the year's chances multiply 1/B:
//
//	exp(-sigma z) / storm,  storm = survival with probability chance, else 1
//
// Median noise is 1. Every path that has a storm at one chance has it at every higher chance.
func inverseNoise(s Stand, rules Rules) []float64 {
	noise := stream(s.Seed, s.Stream+"|noise")
	storm := stream(s.Seed, s.Stream+"|storm")
	hit := 1 / rules.StormSurvival
	return tiled(len(s.B), rules.Horizon, 1, func(i int) float64 {
		g := math.Exp(-s.Sigma[i] * noise.NormFloat64())
		if storm.Float64() < rules.StormChance {
			g *= hit
		}
		return g
	})
}

// surveyError are the factors exp(c z) by which later surveys miss the stock; nil where they do not.
func surveyError(s Stand, rules Rules) []float64 {
	if s.SurveyCV == 0 {
		return nil
	}
	rng := stream(s.Seed, s.Stream+"|survey")
	return tiled(len(s.B), rules.Horizon, 0, func(int) float64 { return math.Exp(s.SurveyCV * rng.NormFloat64()) })
}
