package offtake

import (
	"math"
	"slices"
)

// countExact counts where the cuts are what they are meant to be. This loop is where the time of an advice goes.
// Positive numbers order as their bits do, so that the sign of a difference of bits counts without a branch.
func (p *paths) countExact() {
	lim := int64(math.Float64bits(p.limit))
	counts := p.counts[:len(p.keep)]
	for i := 0; i+lanes <= len(p.start); i += lanes {
		v, a, b := p.start[i:i+lanes:i+lanes], p.decay[i:i+lanes:i+lanes], p.gain[i:i+lanes:i+lanes]
		v0, v1, v2, v3 := v[0], v[1], v[2], v[3]
		a0, a1, a2, a3 := a[0], a[1], a[2], a[3]
		b0, b1, b2, b3 := b[0], b[1], b[2], b[3]
		g := p.inv[i*p.years : (i+lanes)*p.years]
		for y, m := range p.keep {
			if len(g) < lanes {
				break
			}
			v0 = (v0*m*a0 + b0) * g[0]
			v1 = (v1*m*a1 + b1) * g[1]
			v2 = (v2*m*a2 + b2) * g[2]
			v3 = (v3*m*a3 + b3) * g[3]
			g = g[lanes:]
			counts[y] += int(over(v0, lim) + over(v1, lim) + over(v2, lim) + over(v3, lim))
		}
	}
}

// countSurveyed counts where each cut is a fraction of what a survey with error found.
func (p *paths) countSurveyed() {
	h := slices.Max(p.keep)
	for i := 0; i+lanes <= len(p.start); i += lanes {
		g, w := p.inv[i*p.years:(i+lanes)*p.years], p.miss[i*p.years:(i+lanes)*p.years]
		if h*p.worst[i/lanes] <= mostlyCut && p.years <= fewYears {
			p.countFraction(i, g, w)
		} else {
			p.countEmptied(i, g, w)
		}
	}
}

// A fraction cut in few years can be followed without dividing, and without a number becoming too small.
const (
	mostlyCut = 0.99
	fewYears  = 50
)

// countFraction follows v as x/d, which takes no division: x -> (x e^-r + d (1 - h w) (1 - e^-r)) g, d -> d (1 - h w).
func (p *paths) countFraction(i int, g, w []float64) {
	lim, counts := p.limit, p.counts[:len(p.keep)]
	x, a, b := p.start[i:i+lanes:i+lanes], p.decay[i:i+lanes:i+lanes], p.gain[i:i+lanes:i+lanes]
	x0, x1, x2, x3 := x[0], x[1], x[2], x[3]
	d0, d1, d2, d3 := 1.0, 1.0, 1.0, 1.0
	for y, h := range p.keep {
		if len(g) < lanes || len(w) < lanes {
			break
		}
		d0 *= 1 - h*w[0]
		x0 = (x0*a[0] + d0*b[0]) * g[0]
		n := negative(lim*d0 - x0)
		d1 *= 1 - h*w[1]
		x1 = (x1*a[1] + d1*b[1]) * g[1]
		n += negative(lim*d1 - x1)
		d2 *= 1 - h*w[2]
		x2 = (x2*a[2] + d2*b[2]) * g[2]
		n += negative(lim*d2 - x2)
		d3 *= 1 - h*w[3]
		x3 = (x3*a[3] + d3*b[3]) * g[3]
		n += negative(lim*d3 - x3)
		g, w = g[lanes:], w[lanes:]
		counts[y] += int(n)
	}
}

// countEmptied follows v where a survey that finds too much may have all cut that stands.
func (p *paths) countEmptied(i int, g, w []float64) {
	lim, counts := int64(math.Float64bits(p.limit)), p.counts[:len(p.keep)]
	v, a, b := p.start[i:i+lanes], p.decay[i:i+lanes], p.gain[i:i+lanes]
	var x [lanes]float64
	copy(x[:], v)
	for y, h := range p.keep {
		for l := range x {
			x[l] = (x[l]*a[l]/left(h*w[y*lanes+l]) + b[l]) * g[y*lanes+l]
			counts[y] += int(over(x[l], lim))
		}
	}
}

// negative is 1 if x < 0, else 0.
func negative(x float64) uint64 { return math.Float64bits(x) >> 63 }

// over is 1 if v > lim, else 0, for v >= 0 (also +Inf) and lim the bits of a positive number.
func over(v float64, lim int64) uint64 { return uint64(lim-int64(math.Float64bits(v))) >> 63 }

// left is max(1-x, 0), without a branch.
func left(x float64) float64 {
	b := math.Float64bits(1 - x)
	return math.Float64frombits(b &^ uint64(int64(b)>>63))
}
