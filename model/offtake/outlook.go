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
	w := p.way(h)
	for i, b := range p.b {
		p.follow(i, kg, &w)
		low := false
		for y, v := range w.v {
			o.yield[i] += w.cut[y]
			if v > 1 {
				below[y]++
				low = true
			}
		}
		if low {
			ever++
		}
		o.next[i] = p.floor[i] / w.v[0]
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

// way is what the years of one draw come to, at the fractions of the whole stock that are meant to be cut at their starts.
type way struct {
	meant  []float64
	v, cut []float64 // limit over the stock at the end of each year, and what the later cuts took at its start, kg
}

// way has the fractions that follow from h, and room for a draw.
func (p *paths) way(h float64) way {
	w := way{make([]float64, p.years), make([]float64, p.years), make([]float64, p.years)}
	for y := range w.meant {
		w.meant[y] = p.fraction(y, h)
	}
	return w
}

// follow writes what becomes of draw i after a first cut of kg. Its arithmetic is that of the counting.
func (p *paths) follow(i int, kg float64, w *way) {
	v := p.floor[i] / max(p.b[i]-kg, 0)
	for y, f := range w.meant {
		stock := p.floor[i] / v
		keep, gain := p.at(i, y)
		if p.miss == nil {
			v = v*(1/math.Max(1-f, nothing))*keep + gain
		} else {
			f *= p.missed(i, y)
			v = v*keep/left(f) + gain
		}
		w.v[y], w.cut[y] = v, min(f, 1)*stock
	}
}

// probability of so many of n draws, with its Monte Carlo standard error.
func probability(count, n int) (p, se float64) {
	p = float64(count) / float64(n)
	return p, math.Sqrt(p * (1 - p) / float64(n))
}
