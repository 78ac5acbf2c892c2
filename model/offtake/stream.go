package offtake

import (
	"hash/fnv"
	"io"
	"math"
	"math/rand/v2"
	"strconv"

	"bedstock/model/internal/elementary"
)

// stream is a random stream of its own for each name.
func stream(seed uint64, name string) *rand.Rand {
	h := fnv.New64a()
	io.WriteString(h, name) // a hash never fails to write
	return rand.New(rand.NewPCG(seed, h.Sum64()))
}

// streams are those of one kind of chance, one a year, so that looking further ahead, taking more draws or adding another
// kind leaves the others as they were.
func streams(s Stand, rules Rules, kind string) []*rand.Rand {
	out := make([]*rand.Rand, rules.Horizon)
	for y := range out {
		out[y] = stream(s.Seed, s.Stream+"|"+kind+"|"+strconv.Itoa(y))
	}
	return out
}

// lanes is how many draws the projection follows side by side; their chances lie together in memory.
const lanes = 4

// tile holds the chances of one year of four draws side by side.
type tile [lanes]float64

// chances draws what happens to a stand, four draws after the other.
type chances struct {
	n                    int
	sigma                []float64
	cv                   float64
	every                int // years from one cut to the next
	noise, storm, survey []*rand.Rand
	chance               float64    // of a storm
	hit                  [2]float64 // what none and one add to the exponent
}

func newChances(s Stand, rules Rules) *chances {
	c := &chances{n: len(s.B), sigma: s.Sigma, cv: s.SurveyCV, every: rules.RestYears + 1, noise: streams(s, rules, "noise"),
		storm: streams(s, rules, "storm"), chance: rules.StormChance, hit: [...]float64{0, -math.Log(rules.StormSurvival)}}
	if s.SurveyCV != 0 {
		c.survey = streams(s, rules, "survey")
	}
	return c
}

// inverseNoise are the factors by which the chances of the years multiply 1/B in the next four draws, from draw i on:
//
//	exp(-sigma z) / storm,  storm = survival with probability chance, else 1
//
// Median noise is 1. Every path that has a storm at one chance has it at every higher chance. Beyond the last draw they are 1.
func (c *chances) inverseNoise(i int, x []tile) {
	sigma := c.sigma[i:min(i+lanes, c.n)]
	clear(x)
	for y := range x {
		noise, storm, t := c.noise[y], c.storm[y], &x[y]
		for l, sd := range sigma {
			storms := 0
			if storm.Float64() < c.chance {
				storms = 1
			}
			t[l] = float64(-sd*noise.NormFloat64()) + c.hit[storms]
		}
	}
	for y := range x {
		elementary.Exp(x[y][:])
	}
}

// surveyError are the factors exp(c z) by which the surveys before later cuts miss the stock in the next four draws, from draw
// i on. In years without such a cut they are 0.
func (c *chances) surveyError(i int, x []tile) {
	clear(x)
	n := min(lanes, c.n-i)
	for y := c.every; y < len(x); y += c.every {
		survey, t := c.survey[y], &x[y]
		for l := range t[:n] {
			t[l] = c.cv * survey.NormFloat64()
		}
	}
	for y := c.every; y < len(x); y += c.every {
		elementary.Exp(x[y][:])
	}
}
