package offtake

import "math"

// groups is how many groups of draws there are that are followed side by side.
func (p *paths) groups() int { return (p.n + lanes - 1) / lanes }

// inGroup is how many draws are in a group.
func (p *paths) inGroup(g int) int { return min(lanes, p.n-g*lanes) }

// count follows groups of draws under the planned cuts, adds to the counts of each year those that are below the limit
// then, and sets for each of these groups how often any of its draws was.
func (p *paths) count(groups []int, counts, of []int) {
	clear(p.tally)
	if p.miss == nil {
		tallyExact(p, groups, of)
		groups = nil
	}
	for len(groups) > 0 {
		n := 0
		for n < len(groups) && p.leaves(groups[n], p.most) {
			n++
		}
		tallyFraction(p, groups[:n], of)
		groups = groups[n:]
		if len(groups) > 0 {
			of[groups[0]] = p.countEmptied(groups[0])
			groups = groups[1:]
		}
	}
	for y, t := range p.tally {
		counts[y] += t.sum()
	}
}

// tally is how many draws are below the limit in a year, as four numbers whose sum it is.
type tally [lanes]int32

func (t *tally) sum() int { return int(t[0] + t[1] + t[2] + t[3]) }

// leaves tells whether cuts of so much at most leave so much of each draw of a group that it can be followed as a fraction.
func (p *paths) leaves(g int, most float64) bool {
	if p.miss != nil {
		most *= p.worst[g]
	}
	return most <= mostlyCut && p.years <= fewYears
}

// cutFirst is v of the draws of a group just after the same kg are cut in each; one that holds no more is empty.
func (p *paths) cutFirst(g int, kg float64) tile {
	floor, b := (*tile)(p.floor[g*lanes:]), (*tile)(p.b[g*lanes:])
	return tile{floor[0] / positive(b[0]-kg), floor[1] / positive(b[1]-kg), floor[2] / positive(b[2]-kg), floor[3] / positive(b[3]-kg)}
}

// countExact follows v of groups of draws where the cuts are what they are meant to be. Positive numbers order as their bits
// do, so that the sign of a difference of bits counts without a branch. This loop and the next are where the time of an advice
// goes: see count_amd64.s. As there, each product is rounded by itself: float64 keeps a processor that could from rounding it
// together with the sum that it goes into.
func (p *paths) countExact(groups, of []int) {
	cut := p.cut
	tally := p.tally[:len(cut)]
	for _, g := range groups {
		v := p.cutFirst(g, p.kg)
		v0, v1, v2, v3 := v[0], v[1], v[2], v[3]
		years := p.year[g*p.years:][:len(cut)]
		sum := 0
		for y, m := range cut {
			t := &years[y]
			v0 = float64(v0*m*t.keep[0]) + t.gain[0]
			v1 = float64(v1*m*t.keep[1]) + t.gain[1]
			v2 = float64(v2*m*t.keep[2]) + t.gain[2]
			v3 = float64(v3*m*t.keep[3]) + t.gain[3]
			n := over(v0) + over(v1) + over(v2) + over(v3)
			tally[y][0] += int32(n)
			sum += int(n)
		}
		of[g] = sum
	}
}

// A fraction cut in few years can be followed without dividing, and without a number becoming too small.
const (
	mostlyCut = 0.99
	fewYears  = 50
)

// countFraction follows v as x/d, which takes no division: d -> d (1 - h w), x -> x keep + d gain.
func (p *paths) countFraction(groups, of []int) {
	cut := p.cut
	tally := p.tally[:len(cut)]
	for _, g := range groups {
		x := p.cutFirst(g, p.kg)
		x0, x1, x2, x3 := x[0], x[1], x[2], x[3]
		years, miss := p.year[g*p.years:][:len(cut)], p.miss[g*p.years:][:len(cut)]
		d0, d1, d2, d3 := 1.0, 1.0, 1.0, 1.0
		sum := 0
		for y, h := range cut {
			t, w := &years[y], &miss[y]
			d0 = float64(d0 * (1 - float64(h*w[0])))
			x0 = float64(x0*t.keep[0]) + float64(d0*t.gain[0])
			n := negative(d0 - x0)
			d1 = float64(d1 * (1 - float64(h*w[1])))
			x1 = float64(x1*t.keep[1]) + float64(d1*t.gain[1])
			n += negative(d1 - x1)
			d2 = float64(d2 * (1 - float64(h*w[2])))
			x2 = float64(x2*t.keep[2]) + float64(d2*t.gain[2])
			n += negative(d2 - x2)
			d3 = float64(d3 * (1 - float64(h*w[3])))
			x3 = float64(x3*t.keep[3]) + float64(d3*t.gain[3])
			n += negative(d3 - x3)
			tally[y][0] += int32(n)
			sum += int(n)
		}
		of[g] = sum
	}
}

// countEmptied follows v of a group where a survey that finds too much may have all cut that stands.
func (p *paths) countEmptied(g int) (sum int) {
	v, years, miss := p.cutFirst(g, p.kg), p.year[g*p.years:], p.miss[g*p.years:]
	for y, h := range p.cut {
		for l := range v {
			v[l] = v[l]*years[y].keep[l]/left(h*miss[y][l]) + years[y].gain[l]
			n := over(v[l])
			p.tally[y][l] += int32(n)
			sum += int(n)
		}
	}
	return sum
}

// negative is 1 if x < 0, else 0.
func negative(x float64) uint64 { return math.Float64bits(x) >> 63 }

// over is 1 if v > 1, else 0, for v >= 0 (also +Inf).
func over(v float64) uint64 { return uint64(one-int64(math.Float64bits(v))) >> 63 }

const one = 0x3FF << 52 // the bits of 1.0

// left is max(1-x, 0).
func left(x float64) float64 { return positive(1 - float64(x)) }

// positive is max(x, 0), without a branch.
func positive(x float64) float64 {
	b := math.Float64bits(x)
	return math.Float64frombits(b &^ uint64(int64(b)>>63))
}
