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
// last draw it is 0. It is drawn once and serves all stands of its stream.
type luck struct {
	luckOf
	once          sync.Once
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

// chancesOf is what the luck of a stand depends on.
func chancesOf(s Stand, rules Rules) luckOf {
	of := luckOf{s.Seed, s.Stream, len(s.B), rules.Horizon, 0, rules.StormChance}
	if s.SurveyCV != 0 {
		of.every = rules.RestYears + 1
	}
	return of
}

// tiles is how many there are of each kind.
func (of luckOf) tiles() int { return (of.n + lanes - 1) / lanes * of.years }

// draw draws the luck.
func (c *luck) draw() {
	c.noise, c.storm = make([]tile, c.tiles()), make([]uint8, c.tiles())
	c.normals(c.noise, "noise", 0, 1)
	c.storms()
	if c.every == 0 {
		return
	}
	c.survey = make([]tile, c.tiles())
	c.normals(c.survey, "survey", c.every, c.every)
	c.highest = make([]float64, c.tiles()/c.years)
	for g := range c.highest {
		c.highest[g] = highest(c.survey[g*c.years : (g+1)*c.years])
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
	for y := from; y < c.years; y += every {
		r := rand.New(c.streamOf(kind, y))
		for i := range c.n {
			x[i/lanes*c.years+y][i%lanes] = r.NormFloat64()
		}
	}
}

// storms draws them. Every path that has a storm at one chance has it at every higher chance.
func (c *luck) storms() {
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
