package offtake

import (
	"hash/fnv"
	"io"
	"math"
	"math/rand/v2"
	"strconv"
)

// stream is a random stream of its own for each name.
func stream(seed uint64, name string) *rand.PCG {
	h := fnv.New64a()
	io.WriteString(h, name) // a hash never fails to write
	return rand.NewPCG(seed, h.Sum64())
}

// lanes is how many draws the projection follows side by side; their chances lie together in memory.
const lanes = 4

// tile holds the chances of one year of four draws side by side.
type tile [lanes]float64

// luck is what happens to a stand by chance, whatever its draws are: all years of the first four, then the next. Beyond the
// last draw it is 0.
type luck struct {
	luckOf
	noise, survey []tile    // standard normals; survey is 0 in years in which no cut follows one, and means nothing where none does
	highest       []float64 // of survey among four draws
	storm         []uint8   // in which of the four draws there is a storm, a bit each
}

// luckOf is what luck depends on.
type luckOf struct {
	seed     uint64
	stream   string
	n, years int
	every    int     // years from one survey to the next; 0: there are none
	chance   float64 // of a storm
}

// draw draws the luck of a stand, unless it was the last to be drawn for: several things are asked of a stand in a row.
func (c *luck) draw(s Stand, rules Rules) {
	of := luckOf{s.Seed, s.Stream, len(s.B), rules.Horizon, 0, rules.StormChance}
	if s.SurveyCV != 0 {
		of.every = rules.RestYears + 1
	}
	if of == c.luckOf {
		return
	}
	c.luckOf = of
	tiles := (of.n + lanes - 1) / lanes * of.years
	c.noise, c.storm = sized(c.noise, tiles), sized(c.storm, tiles)
	c.normals(c.noise, "noise", 0, 1)
	c.storms()
	if of.every == 0 {
		return
	}
	c.survey = sized(c.survey, tiles)
	c.normals(c.survey, "survey", of.every, of.every)
	c.highest = sized(c.highest, tiles/of.years)
	for g := range c.highest {
		c.highest[g] = highest(c.survey[g*of.years : (g+1)*of.years])
	}
}

// highest of the numbers, at least 0.
func highest(tiles []tile) (most float64) {
	for i := range tiles {
		for _, z := range &tiles[i] {
			if z > most {
				most = z
			}
		}
	}
	return most
}

// streamOf is that of one kind of chance in one year, so that looking further ahead, taking more draws or adding another kind leaves
// the others as they were.
func (c *luck) streamOf(kind string, year int) *rand.PCG {
	return stream(c.seed, c.stream+"|"+kind+"|"+strconv.Itoa(year))
}

// normals draws those of every so many years from one on.
func (c *luck) normals(x []tile, kind string, from, every int) {
	clear(x)
	for y := from; y < c.years; y += every {
		r := rand.New(c.streamOf(kind, y))
		for i := range c.n {
			x[i/lanes*c.years+y][i%lanes] = r.NormFloat64()
		}
	}
}

// storms draws them. Every path that has a storm at one chance has it at every higher chance.
func (c *luck) storms() {
	clear(c.storm)
	if c.chance == 0 {
		return
	}
	const whole = 1 << 53
	below := uint64(math.Ceil(c.chance * whole)) // as Float64 of [rand.Rand] has it, in whole numbers
	for y := range c.years {
		r := c.streamOf("storm", y)
		for i := 0; i < c.n; i += lanes {
			storm := uint64(0)
			for l := range min(lanes, c.n-i) {
				storm |= (r.Uint64()%whole - below) >> 63 << l
			}
			c.storm[i/lanes*c.years+y] = uint8(storm)
		}
	}
}
