package offtake

import (
	"hash/fnv"
	"io"
	"math"
	"math/rand/v2"
	"strconv"
	"sync"
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

// tile holds the chances of one year of four draws side by side.
type tile [lanes]float64

// room is memory for the chances of n draws in so many years, all 0: all years of four draws, then those of the next four.
// It comes from what was given back, as one stand is looked at after the other.
func room[T tile | year](spare *sync.Pool, n, years int) []T {
	size := (n + lanes - 1) / lanes * years
	if x, ok := spare.Get().(*[]T); ok && cap(*x) >= size {
		out := (*x)[:size]
		clear(out)
		return out
	}
	return make([]T, size)
}

var spareYears, spareTiles sync.Pool

// free gives the memory of the paths back; they must not be used again.
func (p *paths) free() {
	if p == nil {
		return
	}
	spareYears.Put(&p.year)
	if p.miss != nil {
		spareTiles.Put(&p.miss)
	}
}

// inverseNoise are the factors by which the year's chances multiply 1/B:
//
//	exp(-sigma z) / storm,  storm = survival with probability chance, else 1
//
// Median noise is 1. Every path that has a storm at one chance has it at every higher chance.
//
// They are put where keep of each year is, which must be 0.
func inverseNoise(s Stand, rules Rules, x []year) {
	noise, storm := yearly(s, rules, "noise"), yearly(s, rules, "storm")
	hit := -math.Log(rules.StormSurvival)
	for j := range x {
		i, y := j/rules.Horizon*lanes, j%rules.Horizon
		t := &x[j].keep
		for l, sd := range s.Sigma[i:min(i+lanes, len(s.B))] {
			t[l] = -sd * noise[y].NormFloat64()
			if storm[y].Float64() < rules.StormChance {
				t[l] += hit
			}
		}
	}
	for j := range x {
		x[j].keep.exp()
	}
}

// surveyError are the factors exp(c z) by which the surveys before later cuts miss the stock; nil where they do not. In
// years without such a cut they are 0.
func surveyError(s Stand, rules Rules) []tile {
	if s.SurveyCV == 0 {
		return nil
	}
	miss := yearly(s, rules, "survey")
	x := room[tile](&spareTiles, len(s.B), rules.Horizon)
	for j := range x {
		i, y := j/rules.Horizon*lanes, j%rules.Horizon
		if y == 0 || y%(rules.RestYears+1) != 0 {
			continue
		}
		for l := range min(lanes, len(s.B)-i) {
			x[j][l] = s.SurveyCV * miss[y].NormFloat64()
		}
	}
	for j := range x {
		if y := j % rules.Horizon; y > 0 && y%(rules.RestYears+1) == 0 {
			x[j].exp()
		}
	}
	return x
}
