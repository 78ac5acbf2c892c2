package offtake

import "math"

// paths are the futures of a stand, one a draw, under chances that are the same for every take that is tried. The
// stand is followed as v = K/B, for which a year is
//
//	v -> (v e^-r / (1 - h w) + 1 - e^-r) exp(-sigma z) / storm
//
// with h the fraction cut of what stands (0 in years of rest) and w the error of that year's survey.
type paths struct {
	n, years int
	every    int     // years from one cut to the next
	share    float64 // of the stock that may be cut by length
	limit    float64 // v above which the stock is below the limit
	k, b     []float64
	decay    []float64 // e^-r
	gain     []float64 // 1 - e^-r
	inv      []float64 // chances, tiled
	miss     []float64 // errors of the surveys, tiled; nil: none
	start    []float64 // scratch: v just after the first cut
	keep     []float64 // scratch: what the year's cut leaves, as 1/(1-h) or as h
	counts   []int     // scratch: draws below the limit, by year
}

func newPaths(s Stand, rules Rules) *paths {
	n := len(s.B)
	padded := (n + lanes - 1) / lanes * lanes
	p := &paths{n: n, years: rules.Horizon, every: rules.RestYears + 1, share: s.Exploitable, limit: 1 / rules.LimitOfK,
		k: s.K, b: s.B, inv: inverseNoise(s, rules), miss: surveyError(s, rules)}
	p.decay, p.gain, p.start = make([]float64, padded), make([]float64, padded), make([]float64, padded)
	for i, r := range s.R {
		p.decay[i] = math.Exp(-r)
		p.gain[i] = -math.Expm1(-r)
	}
	p.keep, p.counts = make([]float64, p.years), make([]int, p.years)
	return p
}

// below counts, year by year, the draws that are below the limit just before the next cut, when kg are cut at first
// and the fraction h of the exploitable stock at every later cut. The result is overwritten by the next call.
func (p *paths) below(kg, h float64) []int {
	p.cutFirst(kg)
	clear(p.counts)
	if p.miss == nil {
		for y := range p.keep {
			p.keep[y] = 1 / math.Max(1-p.fraction(y, h), nothing)
		}
		p.countExact()
	} else {
		for y := range p.keep {
			p.keep[y] = p.fraction(y, h)
		}
		p.countSurveyed()
	}
	return p.counts
}

// nothing stands for what is left where all is cut: it cannot grow back within any horizon.
const nothing = 1e-100

// fraction of the whole stock that is meant to be cut at the start of year y; the first cut is in kg.
func (p *paths) fraction(y int, h float64) float64 {
	if y == 0 || y%p.every != 0 {
		return 0
	}
	return h * p.share
}

// cutFirst sets every draw to what it is just after the same kg are cut in each; one that holds no more is empty.
func (p *paths) cutFirst(kg float64) {
	for i, b := range p.b {
		p.start[i] = p.k[i] / max(b-kg, 0)
	}
}

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
	lim := int64(math.Float64bits(p.limit))
	counts := p.counts[:len(p.keep)]
	for i := 0; i+lanes <= len(p.start); i += lanes {
		v, a, b := p.start[i:i+lanes:i+lanes], p.decay[i:i+lanes:i+lanes], p.gain[i:i+lanes:i+lanes]
		v0, v1, v2, v3 := v[0], v[1], v[2], v[3]
		a0, a1, a2, a3 := a[0], a[1], a[2], a[3]
		b0, b1, b2, b3 := b[0], b[1], b[2], b[3]
		g, w := p.inv[i*p.years:(i+lanes)*p.years], p.miss[i*p.years:(i+lanes)*p.years]
		for y, h := range p.keep {
			if len(g) < lanes || len(w) < lanes {
				break
			}
			v0 = (v0*a0/left(h*w[0]) + b0) * g[0]
			v1 = (v1*a1/left(h*w[1]) + b1) * g[1]
			v2 = (v2*a2/left(h*w[2]) + b2) * g[2]
			v3 = (v3*a3/left(h*w[3]) + b3) * g[3]
			g, w = g[lanes:], w[lanes:]
			counts[y] += int(over(v0, lim) + over(v1, lim) + over(v2, lim) + over(v3, lim))
		}
	}
}

// over is 1 if v > lim, else 0, for v >= 0 (also +Inf) and lim the bits of a positive number.
func over(v float64, lim int64) uint64 { return uint64(lim-int64(math.Float64bits(v))) >> 63 }

// left is max(1-x, 0), without a branch.
func left(x float64) float64 {
	b := math.Float64bits(1 - x)
	return math.Float64frombits(b &^ uint64(int64(b)>>63))
}
