package offtake

import (
	"hash/fnv"
	"io"
	"math"
	"math/rand/v2"
	"strconv"
)

// stream is a random stream of its own for each name.
func stream(seed uint64, name string) *rand.Rand {
	h := fnv.New64a()
	io.WriteString(h, name) // a hash never fails to write
	return rand.New(rand.NewPCG(seed, h.Sum64()))
}

// yearly are the streams of one kind of chance, one a year, so that looking further ahead, taking more draws or adding
// another kind leaves the others as they were.
func yearly(s Stand, rules Rules, kind string) []*rand.Rand {
	streams := make([]*rand.Rand, rules.Horizon)
	for y := range streams {
		streams[y] = stream(s.Seed, s.Stream+"|"+kind+"|"+strconv.Itoa(y))
	}
	return streams
}

// lanes is how many draws the projection follows side by side; their chances lie together in memory.
const lanes = 4

// tiled makes room for the chances of n draws in so many years: four draws side by side, then the years of these four,
// then the next four. Places beyond the last draw are filled by pad.
func tiled(n, years int, pad float64) []float64 {
	x := make([]float64, (n+lanes-1)/lanes*years*lanes)
	for i := n; i%lanes != 0; i++ {
		for y := range years {
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
	noise, storm := yearly(s, rules, "noise"), yearly(s, rules, "storm")
	x := tiled(len(s.B), rules.Horizon, 1)
	hit := 1 / rules.StormSurvival
	for i := 0; i < len(s.B); i += lanes {
		sigma := s.Sigma[i:min(i+lanes, len(s.B))]
		for y := range noise {
			g := x[at(i, y, rules.Horizon):]
			for l, sd := range sigma {
				g[l] = math.Exp(-sd * noise[y].NormFloat64())
				if storm[y].Float64() < rules.StormChance {
					g[l] *= hit
				}
			}
		}
	}
	return x
}

// surveyError are the factors exp(c z) by which the surveys before later cuts miss the stock; nil where they do not. In
// years without such a cut they are 0.
func surveyError(s Stand, rules Rules) []float64 {
	if s.SurveyCV == 0 {
		return nil
	}
	miss := yearly(s, rules, "survey")
	x := tiled(len(s.B), rules.Horizon, 0)
	for i := 0; i < len(s.B); i += lanes {
		for y := rules.RestYears + 1; y < rules.Horizon; y += rules.RestYears + 1 {
			w := x[at(i, y, rules.Horizon):]
			for l := range min(lanes, len(s.B)-i) {
				w[l] = math.Exp(s.SurveyCV * miss[y].NormFloat64())
			}
		}
	}
	return x
}
