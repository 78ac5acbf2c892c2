package offtake

import (
	"math"
	"slices"
)

// outlook is what one way of cutting leads to.
type outlook struct {
	risk, se float64   // highest yearly probability of being below the limit, Monte Carlo standard error
	ever     float64   // probability of being below at least once
	next     []float64 // kg a year on, by draw
	yield    []float64 // kg a year over the horizon, by draw
}

// look follows every draw under a first cut of kg and the fraction h of the exploitable stock at every later cut.
func (p *paths) look(kg, h float64) outlook {
	o := outlook{next: make([]float64, p.n), yield: make([]float64, p.n)}
	below := make([]int, p.years)
	ever := 0
	for i, b := range p.b {
		p.follow(i, kg, h, func(y int, v, cut float64) {
			o.yield[i] += cut
			if v > 1 {
				below[y]++
			}
			if y == 0 {
				o.next[i] = p.floor[i] / v
			}
		}, &ever)
		o.yield[i] = (o.yield[i] + min(kg, b)) / float64(p.years)
	}
	o.risk, o.se = probability(slices.Max(below), p.n)
	o.se *= p.wider
	o.ever, _ = probability(ever, p.n)
	return o
}

// stockNext is the stock a year on, kg. It reorders the draws.
func (o *outlook) stockNext(level float64) (median, lo, hi float64) {
	s := spanOf(o.next, level)
	return s.Median, s.Lo, s.Hi
}

// follow shows the years of draw i: the limit over the stock at the end of year y, and what was cut at its start by the later
// cuts, kg. It counts into ever a draw that is below the limit in any year. Its arithmetic is that of the counting.
func (p *paths) follow(i int, kg, h float64, see func(y int, v, cut float64), ever *int) {
	v := p.floor[i] / max(p.b[i]-kg, 0)
	below := false
	for y := range p.years {
		f := p.fraction(y, h)
		stock := p.floor[i] / v
		keep, gain := p.at(i, y)
		if p.miss == nil {
			v = v*(1/math.Max(1-f, nothing))*keep + gain
		} else {
			f *= p.missed(i, y)
			v = v*keep/left(f) + gain
		}
		below = below || v > 1
		see(y, v, min(f, 1)*stock)
	}
	if below {
		*ever++
	}
}

// probability of so many of n draws, with its Monte Carlo standard error.
func probability(count, n int) (p, se float64) {
	p = float64(count) / float64(n)
	return p, math.Sqrt(p * (1 - p) / float64(n))
}
