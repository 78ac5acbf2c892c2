package offtake

import (
	"math"
	"slices"
)

// countExact counts where the cuts are what they are meant to be. This loop is where the time of an advice goes.
// Positive numbers order as their bits do, so that the sign of a difference of bits counts without a branch.
func (p *paths) countExact() {
	cut := p.cut
	counts, all := p.counts[:len(cut)], p.year
	for i := 0; i+lanes <= len(p.start); i += lanes {
		v := p.start[i : i+lanes : i+lanes]
		v0, v1, v2, v3 := v[0], v[1], v[2], v[3]
		years := all[:len(cut)]
		all = all[len(cut):]
		for y, m := range cut {
			t := &years[y]
			v0 = v0*m*t.keep[0] + t.gain[0]
			v1 = v1*m*t.keep[1] + t.gain[1]
			v2 = v2*m*t.keep[2] + t.gain[2]
			v3 = v3*m*t.keep[3] + t.gain[3]
			counts[y] += int(over(v0) + over(v1) + over(v2) + over(v3))
		}
	}
}

// countSurveyed counts where each cut is a fraction of what a survey with error found.
func (p *paths) countSurveyed() {
	h := slices.Max(p.cut)
	for i := 0; i+lanes <= len(p.start); i += lanes {
		from, to := i/lanes*p.years, (i/lanes+1)*p.years
		if h*p.worst[i/lanes] <= mostlyCut && p.years <= fewYears {
			p.countFraction(p.start[i:i+lanes], p.year[from:to], p.miss[from:to])
		} else {
			p.countEmptied(p.start[i:i+lanes], p.year[from:to], p.miss[from:to])
		}
	}
}

// A fraction cut in few years can be followed without dividing, and without a number becoming too small.
const (
	mostlyCut = 0.99
	fewYears  = 50
)

// countFraction follows v as x/d, which takes no division: d -> d (1 - h w), x -> x keep + d gain.
func (p *paths) countFraction(x []float64, years []year, miss []tile) {
	cut := p.cut
	counts, years, miss := p.counts[:len(cut)], years[:len(cut)], miss[:len(cut)]
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
	}
}

// countEmptied follows v where a survey that finds too much may have all cut that stands.
func (p *paths) countEmptied(v []float64, years []year, miss []tile) {
	counts := p.counts[:len(p.cut)]
	var x [lanes]float64
	copy(x[:], v)
	for y, h := range p.cut {
		for l := range x {
			x[l] = x[l]*years[y].keep[l]/left(h*miss[y][l]) + years[y].gain[l]
			counts[y] += int(over(x[l]))
		}
	}
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
