package offtake

import "slices"

// view is what is seen of a stand under one plan.
type view struct {
	way
	most  float64     // the largest fraction that is meant to be cut
	at    []int       // years at whose ends the stock is kept
	stock [][]float64 // kg then, by draw
	yield []float64   // kg a year over the horizon, by draw
	below []int       // draws that are below the limit at the end of each year
	ever  int         // and in any of them
}

// view of nothing yet; room is for the numbers that are kept of each draw.
func (p *paths) view(plan Plan, at []int, room []float64) view {
	v := view{way: p.way(plan), at: at, below: make([]int, p.years), yield: room[:p.n]}
	v.most = slices.Max(v.meant)
	for range at {
		room = room[p.n:]
		v.stock = append(v.stock, room[:p.n])
	}
	return v
}

// outlook is what was seen.
func (v *view) outlook(p *paths) outlook {
	o := outlook{stock: v.stock, yield: v.yield}
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
	var taken tile // by later cuts, as a share of the limit
	var low [lanes]uint64
	if v.most*worst <= mostlyCut && p.years <= fewYears {
		taken, low = p.watchFraction(g, v)
	} else {
		taken, low = p.watchEmptied(g, v)
	}
	for l := range n {
		i := g*lanes + l
		v.yield[i] = (p.floor[i]*taken[l] + min(v.kg, p.b[i])) / float64(p.years)
		v.ever += int(low[l])
	}
}

// unmissed are the errors of a survey that has none.
var unmissed = tile{1, 1, 1, 1}

// watchFraction follows v as x/d, as [paths.countFraction] does: it divides once for each cut.
func (p *paths) watchFraction(g int, v *view) (taken tile, low [lanes]uint64) {
	from := g * p.years
	x, miss, kept := p.cutFirst(g, v.kg), &unmissed, 0
	meant := v.meant
	years, below := p.year[from:from+len(meant)], v.below[:len(meant)]
	x0, x1, x2, x3 := x[0], x[1], x[2], x[3]
	d0, d1, d2, d3 := 1.0, 1.0, 1.0, 1.0
	s0, s1, s2, s3 := 0.0, 0.0, 0.0, 0.0
	l0, l1, l2, l3 := uint64(0), uint64(0), uint64(0), uint64(0)
	for y, f := range meant {
		t := &years[y]
		if f != 0 {
			if p.miss != nil {
				miss = &p.miss[from+y]
			}
			f0, f1, f2, f3 := f*miss[0], f*miss[1], f*miss[2], f*miss[3]
			s0, s1, s2, s3 = s0+f0*d0/x0, s1+f1*d1/x1, s2+f2*d2/x2, s3+f3*d3/x3
			d0, d1, d2, d3 = d0*(1-f0), d1*(1-f1), d2*(1-f2), d3*(1-f3)
		}
		x0, x1 = x0*t.keep[0]+d0*t.gain[0], x1*t.keep[1]+d1*t.gain[1]
		x2, x3 = x2*t.keep[2]+d2*t.gain[2], x3*t.keep[3]+d3*t.gain[3]
		n0, n1, n2, n3 := negative(d0-x0), negative(d1-x1), negative(d2-x2), negative(d3-x3)
		l0, l1, l2, l3 = l0|n0, l1|n1, l2|n2, l3|n3
		below[y] += int(n0 + n1 + n2 + n3)
		if kept < len(v.at) && v.at[kept] == y {
			p.keep(g, v.stock[kept], tile{x0 / d0, x1 / d1, x2 / d2, x3 / d3})
			kept++
		}
	}
	return tile{s0, s1, s2, s3}, [lanes]uint64{l0, l1, l2, l3}
}

// watchEmptied follows v where a survey that finds too much may have all cut that stands.
func (p *paths) watchEmptied(g int, v *view) (taken tile, low [lanes]uint64) {
	p.follow(g, &v.way)
	kept := 0
	for y, t := range v.v {
		n := 0
		for l := range t {
			taken[l] += v.cut[y][l] / p.floor[g*lanes+l]
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
	return taken, low
}

// keep writes the stocks of a group, kg, from the limit over them.
func (p *paths) keep(g int, stock []float64, v tile) {
	for l := range p.inGroup(g) {
		stock[g*lanes+l] = p.floor[g*lanes+l] / v[l]
	}
}
