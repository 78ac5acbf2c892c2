package offtake

import (
	"math"

	"bedstock/model/internal/quantile"
)

// outlook is what one way of cutting leads to.
type outlook struct {
	risk, se float64     // highest yearly probability of being below the limit, Monte Carlo standard error
	ever     float64     // probability of being below at least once
	stock    [][]float64 // kg at the ends of the years asked for, by draw
	taken    []float64   // kg over the horizon, by draw
	years    float64     // of it
}

// look is the outlook of a plan, with the stock a year on. The next look writes over it.
func (p *paths) look(kg, h float64) outlook { return p.looks([]Plan{{kg, h}}, []int{0})[0] }

// stockNext is the stock a year on, kg. It reorders the draws.
func (o *outlook) stockNext(level float64) (median, lo, hi float64) {
	s := spanOf(o.stock[0], level)
	return s.Median, s.Lo, s.Hi
}

// yield is what is cut, kg a year over the horizon: its median. It reorders the draws.
func (o *outlook) yield() float64 { return quantile.Of(o.taken, 0.5) / o.years }

// atHand is how many groups are followed under all plans before the next ones are: what the years do to them stays at hand.
const atHand = 16

// looks are the outlooks of several plans, with the stocks at the ends of the years at, counted from 0 and in rising order. The
// next looks write over them.
func (p *paths) looks(plans []Plan, at []int) []outlook {
	views, each := make([]view, len(plans)), (len(at)+1)*len(p.b)
	p.seen = sized(p.seen, len(plans)*each)
	for i, plan := range plans {
		views[i] = p.view(plan, at, p.seen[i*each:(i+1)*each])
	}
	for g := 0; g < p.groups(); g += atHand {
		for i := range views {
			p.watch(&views[i], g, min(g+atHand, p.groups()))
		}
	}
	out := make([]outlook, len(views))
	for i := range views {
		out[i] = views[i].outlook(p)
	}
	return out
}

// way is what the years of a group of draws come to after a first cut of kg, at the fractions of the whole stock that are meant
// to be cut at their starts.
type way struct {
	kg     float64
	meant  []float64
	v, cut []tile // limit over the stock at the end of each year, and what the later cuts took at its start, kg
}

// way has the cuts of a plan and room for a group.
func (p *paths) way(plan Plan) way {
	w := way{plan.Kg, make([]float64, p.years), make([]tile, p.years), make([]tile, p.years)}
	for y := range w.meant {
		w.meant[y] = p.fraction(y, plan.Fraction)
	}
	return w
}

// follow writes what becomes of a group of draws. Its arithmetic is that of the counting; beyond the last draw there is
// nothing, which is never below the limit.
func (p *paths) follow(g int, w *way) {
	v := p.cutFirst(g, w.kg)
	v0, v1, v2, v3 := v[0], v[1], v[2], v[3]
	floor := (*tile)(p.floor[g*lanes:])
	years := p.year[g*p.years : (g+1)*p.years]
	for y, f := range w.meant {
		t, cut := &years[y], &w.cut[y]
		switch {
		case f == 0:
			v0, v1 = float64(v0*t.keep[0])+t.gain[0], float64(v1*t.keep[1])+t.gain[1]
			v2, v3 = float64(v2*t.keep[2])+t.gain[2], float64(v3*t.keep[3])+t.gain[3]
		case p.miss == nil:
			m := 1 / math.Max(1-f, nothing)
			for l, v := range [...]float64{v0, v1, v2, v3} {
				cut[l] = f * (floor[l] / v)
			}
			v0, v1 = float64(v0*m*t.keep[0])+t.gain[0], float64(v1*m*t.keep[1])+t.gain[1]
			v2, v3 = float64(v2*m*t.keep[2])+t.gain[2], float64(v3*m*t.keep[3])+t.gain[3]
		default:
			miss := &p.miss[g*p.years+y]
			v0, cut[0] = surveyed(v0, f*miss[0], floor[0], t.keep[0], t.gain[0])
			v1, cut[1] = surveyed(v1, f*miss[1], floor[1], t.keep[1], t.gain[1])
			v2, cut[2] = surveyed(v2, f*miss[2], floor[2], t.keep[2], t.gain[2])
			v3, cut[3] = surveyed(v3, f*miss[3], floor[3], t.keep[3], t.gain[3])
		}
		w.v[y] = tile{v0, v1, v2, v3}
	}
}

// surveyed is v after a year at whose start the fraction f was cut, or all that stood, and that cut, kg.
func surveyed(v, f, floor, keep, gain float64) (after, cut float64) {
	after, cut = v*keep/left(f)+gain, floor/v
	if f < 1 {
		cut *= f
	}
	return after, cut
}

// probability of so many of n draws, with its Monte Carlo standard error.
func probability(count, n int) (p, se float64) {
	p = float64(count) / float64(n)
	return p, math.Sqrt(p * (1 - p) / float64(n))
}
