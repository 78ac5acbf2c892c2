package offtake

import "slices"

// view is what is seen of a stand under one plan.
type view struct {
	way
	most  float64     // the largest fraction that is meant to be cut
	at    []int       // years at whose ends the stock is kept
	stock [][]float64 // kg then, by draw
	then  []tile      // limit over the stock then, of the draws that are looked at
	taken []float64   // kg over the horizon, by draw
	below []int       // draws that are below the limit at the end of each year
	ever  int         // and in any of them
}

// view of nothing yet; room is for the numbers that are kept of each draw.
func (p *paths) view(plan Plan, at []int, room []float64) view {
	v := view{way: p.way(plan), at: at, below: make([]int, p.years), taken: room[:p.n], then: make([]tile, len(at))}
	v.most = slices.Max(v.meant)
	for range at {
		room = room[p.n:]
		v.stock = append(v.stock, room[:p.n])
	}
	return v
}

// outlook is what was seen.
func (v *view) outlook(p *paths) outlook {
	o := outlook{stock: v.stock, taken: v.taken, years: float64(p.years)}
	o.risk, o.se = probability(slices.Max(v.below), p.n)
	o.se *= p.wider
	o.ever, _ = probability(v.ever, p.n)
	return o
}

// watch follows a group of draws and keeps what is seen of it.
func (p *paths) watch(g int, v *view) {
	n, worst := p.inGroup(g), 1.0
	if p.miss != nil {
		worst = p.worst[g]
	}
	var taken tile // by later cuts, over the limit
	if v.most*worst <= mostlyCut && p.years <= fewYears {
		start := p.cutFirst(g, v.kg)
		for l := 0; l < lanes; l += 2 {
			p.watchFraction(g, l, v, start, &taken)
		}
		for k := range v.at {
			p.keep(g, v.stock[k], v.then[k])
		}
	} else {
		taken = p.watchEmptied(g, v)
	}
	for l := range n {
		i := g*lanes + l
		v.taken[i] = p.floor[i]*taken[l] + min(v.kg, p.b[i])
	}
}

// unmissed are the errors of a survey that has none.
var unmissed = tile{1, 1, 1, 1}

// watchFraction follows v of two draws, which the processor has room for, as x/d, as [paths.countFraction] does: it divides once
// for each cut.
func (p *paths) watchFraction(g, l int, v *view, start tile, taken *tile) {
	from, miss, kept := g*p.years, &unmissed, 0
	meant, l0, l1 := v.meant, l&2, l&2+1
	years, below := p.year[from:from+len(meant)], v.below[:len(meant)]
	x0, x1 := start[l0], start[l1]
	d0, d1, s0, s1 := 1.0, 1.0, 0.0, 0.0
	low0, low1 := uint64(0), uint64(0)
	for y, f := range meant {
		t := &years[y]
		if f != 0 {
			if p.miss != nil {
				miss = &p.miss[from+y]
			}
			f0, f1 := f*miss[l0], f*miss[l1]
			s0, s1 = s0+f0*d0/x0, s1+f1*d1/x1
			d0, d1 = d0*(1-f0), d1*(1-f1)
		}
		x0, x1 = x0*t.keep[l0]+d0*t.gain[l0], x1*t.keep[l1]+d1*t.gain[l1]
		n0, n1 := negative(d0-x0), negative(d1-x1)
		low0, low1 = low0|n0, low1|n1
		below[y] += int(n0 + n1)
		if kept < len(v.at) && v.at[kept] == y {
			then := &v.then[kept]
			then[l0], then[l1] = x0, x1
			if y > 0 {
				then[l0], then[l1] = x0/d0, x1/d1
			}
			kept++
		}
	}
	v.ever += int(low0 + low1)
	taken[l0], taken[l1] = s0, s1
}

// watchEmptied follows v where a survey that finds too much may have all cut that stands.
func (p *paths) watchEmptied(g int, v *view) (taken tile) {
	p.follow(g, &v.way)
	kept := 0
	var low [lanes]int
	for y, t := range v.v {
		n := 0
		for l := range t {
			if t[l] > 1 {
				n++
				low[l] = 1
			}
		}
		v.below[y] += n
		if kept < len(v.at) && v.at[kept] == y {
			p.keep(g, v.stock[kept], t)
			kept++
		}
	}
	v.ever += low[0] + low[1] + low[2] + low[3]
	return p.takenBy(g, &v.way)
}

// takenBy is what the later cuts of a way took of a group, over the limit.
func (p *paths) takenBy(g int, w *way) (taken tile) {
	for _, cut := range w.cut {
		for l := range cut {
			taken[l] += cut[l] / p.floor[g*lanes+l]
		}
	}
	return taken
}

// keep writes the stocks of a group, kg, from the limit over them.
func (p *paths) keep(g int, stock []float64, v tile) {
	for l := range p.inGroup(g) {
		stock[g*lanes+l] = p.floor[g*lanes+l] / v[l]
	}
}
