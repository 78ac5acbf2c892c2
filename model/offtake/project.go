package offtake

import (
	"math"
	"slices"
)

// paths are the futures of a stand, one a draw, under chances that are the same for every take that is tried. The
// stand is followed as v = limit K/B, which is above 1 where the stock is below the limit. A year is
//
//	v -> v keep / (1 - h w) + gain,  keep = e^-r c,  gain = limit (1 - e^-r) c,  c = exp(-sigma z) / storm
//
// with h the fraction cut of what stands (0 in years of rest) and w the error of that year's survey.
type paths struct {
	wider    float64 // Monte Carlo standard errors over those of independent draws
	level    float64 // of intervals
	n, years int
	every    int     // years from one cut to the next
	share    float64 // of the stock that may be cut by length
	k, b     []float64
	floor    []float64 // limit K, kg
	year     []year    // what the years do to four draws side by side: all years of the first four, then the next
	miss     []tile    // errors of the surveys, in the same order; nil: none
	worst    []float64 // largest error of the surveys among four draws that lie together
	start    []float64 // scratch: v just after the first cut
	cut      []float64 // scratch: the year's cut, as 1/(1-h) or as h
	counts   []int     // scratch: draws below the limit, by year
}

// year is v -> v keep + gain for four draws, with the chances in it: one line of the cache.
type year struct{ keep, gain tile }

// at is what year y does to draw i.
func (p *paths) at(i, y int) (keep, gain float64) {
	t := &p.year[i/lanes*p.years+y]
	return t.keep[i%lanes], t.gain[i%lanes]
}

// missed is the error of the survey of draw i before the cut of year y; there must be some.
func (p *paths) missed(i, y int) float64 { return p.miss[i/lanes*p.years+y][i%lanes] }

func newPaths(s Stand, rules Rules) *paths {
	n := len(s.B)
	p := &paths{n: n, years: rules.Horizon, every: rules.RestYears + 1, share: s.Exploitable, level: rules.Level,
		k: s.K, b: s.B, wider: s.wider(), miss: surveyError(s, rules)}
	p.floor, p.start = make([]float64, n), make([]float64, (n+lanes-1)/lanes*lanes)
	p.year = room[year](&spareYears, n, p.years)
	inverseNoise(s, rules, p.year)
	for i, r := range s.R {
		p.floor[i] = rules.LimitOfK * s.K[i]
		decay, gain := math.Exp(-r), -rules.LimitOfK*math.Expm1(-r)
		for y := range p.years {
			t := &p.year[i/lanes*p.years+y]
			c := t.keep[i%lanes]
			t.keep[i%lanes], t.gain[i%lanes] = decay*c, gain*c
		}
	}
	for tiles := range slices.Chunk(p.miss, p.years) {
		worst := 0.0
		for _, w := range tiles {
			worst = max(worst, w[0], w[1], w[2], w[3])
		}
		p.worst = append(p.worst, worst)
	}
	p.cut, p.counts = make([]float64, p.years), make([]int, p.years)
	return p
}

// below counts, year by year, the draws that are below the limit just before the next cut, when kg are cut at first
// and the fraction h of the exploitable stock at every later cut. The result is overwritten by the next call.
func (p *paths) below(kg, h float64) []int {
	p.cutFirst(kg)
	clear(p.counts)
	if p.miss == nil {
		for y := range p.cut {
			p.cut[y] = 1 / math.Max(1-p.fraction(y, h), nothing)
		}
		p.countExact()
	} else {
		for y := range p.cut {
			p.cut[y] = p.fraction(y, h)
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
		p.start[i] = p.floor[i] / max(b-kg, 0)
	}
}
