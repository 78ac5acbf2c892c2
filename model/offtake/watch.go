package offtake

import "slices"

// view is what is seen of a stand under one plan. The memory for the draws reaches to the end of the last group.
type view struct {
	way
	most  float64     // the largest fraction that is meant to be cut
	kept  [][]float64 // by year: the stock at its end, kg, by draw; nil: not asked for
	taken []float64   // kg over the horizon, by draw
	tally []tally     // draws that are below the limit at the end of each year
	ever  tally       // and in any of them
}

// view of nothing yet that keeps the stocks at the ends of some years; room is for the numbers that are kept of each draw.
func (p *paths) view(plan Plan, at []int, room []float64) view {
	n := len(p.b)
	v := view{way: p.way(plan), kept: make([][]float64, p.years), taken: room[:n], tally: make([]tally, p.years)}
	v.most = slices.Max(v.meant)
	for _, y := range at {
		room = room[n:]
		v.kept[y] = room[:n]
	}
	return v
}

// outlook is what was seen.
func (v *view) outlook(p *paths) outlook {
	o := outlook{taken: v.taken[:p.n], years: float64(p.years)}
	for _, x := range v.kept {
		if x != nil {
			o.stock = append(o.stock, x[:p.n])
		}
	}
	worst := 0
	for _, n := range v.tally {
		worst = max(worst, n.sum())
	}
	o.risk, o.se = probability(worst, p.n)
	o.se *= p.wider
	o.ever, _ = probability(v.ever.sum(), p.n)
	return o
}

// watch follows some groups of draws, one after the other, and keeps what is seen of them.
func (p *paths) watch(v *view, from, to int) {
	for from < to {
		g := from
		for g < to && p.leaves(g, v.most) {
			g++
		}
		watchFractions(p, v, from, g)
		if from = g; g < to {
			p.watchEmptied(v, g)
			from++
		}
	}
}

// unmissed are the errors of a survey that has none.
var unmissed = tile{1, 1, 1, 1}

// watchFraction follows v of groups of draws as x/d, as [paths.countFraction] does: it divides once for each cut.
func (p *paths) watchFraction(v *view, from, to int) {
	for g := from; g < to; g++ {
		start := p.cutFirst(g, v.kg)
		p.watchTwo(g, 0, v, start)
		p.watchTwo(g, 2, v, start)
	}
}

// watchTwo follows two draws of a group, which the processor has room for.
func (p *paths) watchTwo(g, l int, v *view, start tile) {
	from, i, miss := g*p.years, g*lanes+l, &unmissed
	meant, l0, l1 := v.meant, l&2, l&2+1
	years, tally, kept := p.year[from:from+len(meant)], v.tally[:len(meant)], v.kept[:len(meant)]
	x0, x1 := start[l0], start[l1]
	d0, d1, s0, s1 := 1.0, 1.0, 0.0, 0.0
	low0, low1 := uint64(0), uint64(0)
	for y, f := range meant {
		t := &years[y]
		if f != 0 {
			if p.miss != nil {
				miss = &p.miss[from+y]
			}
			f0, f1 := float64(f*miss[l0]), float64(f*miss[l1])
			s0, s1 = s0+f0*d0/x0, s1+f1*d1/x1
			d0, d1 = float64(d0*(1-f0)), float64(d1*(1-f1))
		}
		x0 = float64(x0*t.keep[l0]) + float64(d0*t.gain[l0])
		x1 = float64(x1*t.keep[l1]) + float64(d1*t.gain[l1])
		n0, n1 := negative(d0-x0), negative(d1-x1)
		low0, low1 = low0|n0, low1|n1
		tally[y][0] += int32(n0 + n1)
		if stock := kept[y]; stock != nil {
			stock[i], stock[i+1] = p.floor[i]/(x0/d0), p.floor[i+1]/(x1/d1)
		}
	}
	v.ever[0] += int32(low0 + low1)
	v.taken[i] = float64(p.floor[i]*s0) + min(v.kg, p.b[i])
	v.taken[i+1] = float64(p.floor[i+1]*s1) + min(v.kg, p.b[i+1])
}

// watchEmptied follows v of a group where a survey that finds too much may have all cut that stands.
func (p *paths) watchEmptied(v *view, g int) {
	p.follow(g, &v.way)
	var low tally
	for y, t := range v.v {
		for l := range t {
			n := int32(over(t[l]))
			v.tally[y][l] += n
			low[l] |= n
		}
		if v.kept[y] != nil {
			p.keep(g, v.kept[y], t)
		}
	}
	taken := p.takenBy(g, &v.way)
	for l := range p.inGroup(g) {
		i := g*lanes + l
		v.ever[l] += low[l]
		v.taken[i] = float64(p.floor[i]*taken[l]) + min(v.kg, p.b[i])
	}
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
