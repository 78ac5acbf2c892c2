package offtake

import "math"

// groups is how many groups of draws there are that are followed side by side.
func (p *paths) groups() int { return (p.n + lanes - 1) / lanes }

// inGroup is how many draws are in a group.
func (p *paths) inGroup(g int) int { return min(lanes, p.n-g*lanes) }

// count follows a group of draws under the planned cuts, adds to the counts of each year those that are below the limit
// then, and gives how often any of them was.
func (p *paths) count(g int, counts []int) int {
	start := p.cutFirst(g, p.kg)
	from, to := g*p.years, (g+1)*p.years
	switch {
	case p.miss == nil:
		return p.countExact(start, p.year[from:to], counts)
	case p.most*p.worst[g] <= mostlyCut && p.years <= fewYears:
		return p.countFraction(start, p.year[from:to], p.miss[from:to], counts)
	default:
		return p.countEmptied(start, p.year[from:to], p.miss[from:to], counts)
	}
}

// cutFirst is v of the draws of a group just after the same kg are cut in each; one that holds no more is empty.
func (p *paths) cutFirst(g int, kg float64) (v tile) {
	i := g * lanes
	for l := range p.inGroup(g) {
		v[l] = p.floor[i+l] / max(p.b[i+l]-kg, 0)
	}
	return v
}

// countExact follows v where the cuts are what they are meant to be. Positive numbers order as their bits do, so that the
// sign of a difference of bits counts without a branch. These loops are where the time of an advice goes.
func (p *paths) countExact(v tile, years []year, counts []int) (sum int) {
	cut := p.cut
	counts, years = counts[:len(cut)], years[:len(cut)]
	v0, v1, v2, v3 := v[0], v[1], v[2], v[3]
	for y, m := range cut {
		t := &years[y]
		v0 = v0*m*t.keep[0] + t.gain[0]
		v1 = v1*m*t.keep[1] + t.gain[1]
		v2 = v2*m*t.keep[2] + t.gain[2]
		v3 = v3*m*t.keep[3] + t.gain[3]
		n := int(over(v0) + over(v1) + over(v2) + over(v3))
		counts[y] += n
		sum += n
	}
	return sum
}

// A fraction cut in few years can be followed without dividing, and without a number becoming too small.
const (
	mostlyCut = 0.99
	fewYears  = 50
)

// countFraction follows v as x/d, which takes no division: d -> d (1 - h w), x -> x keep + d gain.
func (p *paths) countFraction(x tile, years []year, miss []tile, counts []int) (sum int) {
	cut := p.cut
	counts, years, miss = counts[:len(cut)], years[:len(cut)], miss[:len(cut)]
	x0, x1, x2, x3 := x[0], x[1], x[2], x[3]
	d0, d1, d2, d3 := 1.0, 1.0, 1.0, 1.0
	for y, h := range cut {
		t, w := &years[y], &miss[y]
		d0 *= 1 - h*w[0]
		x0 = x0*t.keep[0] + d0*t.gain[0]
		n := negative(d0 - x0)
		d1 *= 1 - h*w[1]
		x1 = x1*t.keep[1] + d1*t.gain[1]
		n += negative(d1 - x1)
		d2 *= 1 - h*w[2]
		x2 = x2*t.keep[2] + d2*t.gain[2]
		n += negative(d2 - x2)
		d3 *= 1 - h*w[3]
		x3 = x3*t.keep[3] + d3*t.gain[3]
		n += negative(d3 - x3)
		counts[y] += int(n)
		sum += int(n)
	}
	return sum
}

// countEmptied follows v where a survey that finds too much may have all cut that stands.
func (p *paths) countEmptied(v tile, years []year, miss []tile, counts []int) (sum int) {
	for y, h := range p.cut {
		n := 0
		for l := range v {
			v[l] = v[l]*years[y].keep[l]/left(h*miss[y][l]) + years[y].gain[l]
			n += int(over(v[l]))
		}
		counts[y] += n
		sum += n
	}
	return sum
}

// negative is 1 if x < 0, else 0.
func negative(x float64) uint64 { return math.Float64bits(x) >> 63 }

// over is 1 if v > 1, else 0, for v >= 0 (also +Inf).
func over(v float64) uint64 { return uint64(one-int64(math.Float64bits(v))) >> 63 }

const one = 0x3FF << 52 // the bits of 1.0

// left is max(1-x, 0), without a branch.
func left(x float64) float64 {
	b := math.Float64bits(1 - x)
	return math.Float64frombits(b &^ uint64(int64(b)>>63))
}
