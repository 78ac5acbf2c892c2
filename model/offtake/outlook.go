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
	w := p.way(kg, h)
	for g := range p.groups() {
		p.follow(g, &w)
		var low, taken tile
		for y := range w.v {
			v, cut := &w.v[y], &w.cut[y]
			n := 0
			for l := range v {
				taken[l] += cut[l]
				if v[l] > 1 {
					n++
					low[l] = 1
				}
			}
			below[y] += n
		}
		for l := range p.inGroup(g) {
			i := g*lanes + l
			o.next[i] = p.floor[i] / w.v[0][l]
			o.yield[i] = (taken[l] + min(kg, p.b[i])) / float64(p.years)
			ever += int(low[l])
		}
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

// way is what the years of a group of draws come to, at the fractions of the whole stock that are meant to be cut at their
// starts.
type way struct {
	meant  []float64
	v, cut []tile // limit over the stock at the end of each year, and what the later cuts took at its start, kg
}

// way has a first cut of kg, the fractions that follow from h, and room for a group.
func (p *paths) way(kg, h float64) way {
	p.kg = kg
	w := way{make([]float64, p.years), make([]tile, p.years), make([]tile, p.years)}
	for y := range w.meant {
		w.meant[y] = p.fraction(y, h)
	}
	return w
}

// follow writes what becomes of a group of draws. Its arithmetic is that of the counting; beyond the last draw there is
// nothing, which is never below the limit.
func (p *paths) follow(g int, w *way) {
	v := p.cutFirst(g)
	floor := (*tile)(p.floor[g*lanes:])
	years := p.year[g*p.years : (g+1)*p.years]
	for y, f := range w.meant {
		t, cut := &years[y], &w.cut[y]
		switch {
		case f == 0:
			for l := range v {
				v[l] = v[l]*t.keep[l] + t.gain[l]
			}
		case p.miss == nil:
			m := 1 / math.Max(1-f, nothing)
			for l := range v {
				cut[l] = min(f, 1) * (floor[l] / v[l])
				v[l] = v[l]*m*t.keep[l] + t.gain[l]
			}
		default:
			miss := &p.miss[g*p.years+y]
			for l := range v {
				f := f * miss[l]
				cut[l] = min(f, 1) * (floor[l] / v[l])
				v[l] = v[l]*t.keep[l]/left(f) + t.gain[l]
			}
		}
		w.v[y] = v
	}
}

// probability of so many of n draws, with its Monte Carlo standard error.
func probability(count, n int) (p, se float64) {
	p = float64(count) / float64(n)
	return p, math.Sqrt(p * (1 - p) / float64(n))
}
