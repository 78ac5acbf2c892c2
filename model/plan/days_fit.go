package plan

import (
	"math"
	"slices"
)

// packing tells whether the days serve some of the beds, as [layer.pack] packs them, for many choices of them: what does
// not depend on the choice is worked out once.
type packing struct {
	heights []float64 // of the days, sorted
	tide    float64
	in      []bool         // the choice, by place of the task
	at      map[string]int // place of the task of a bed
	orders  [2][]item
	bins    [][]room // by site
	needs   []float64
}

// item is a bed in one of the orders of first fit.
type item struct {
	task, site, takes int
	need, size        float64 // size: what is left over after whole low waters, and the way to it
}

// room is what is left of a low water, and at which needs it has a place.
type room struct {
	left float64
	need int
}

func (l *layer) packing(tasks []Task) *packing {
	p := &packing{heights: l.heights, tide: l.costs.Tide, in: make([]bool, len(tasks)), at: map[string]int{}}
	sites := map[string]int{}
	for i, t := range tasks {
		p.at[t.Bed] = i
		if _, ok := sites[t.Site]; !ok {
			sites[t.Site] = len(sites)
		}
	}
	p.bins = make([][]room, len(sites))
	for k, order := range []func(a, b Task) int{l.byNeed, l.byWork} {
		for _, t := range slices.SortedFunc(slices.Values(tasks), order) {
			p.orders[k] = append(p.orders[k], item{p.at[t.Bed], sites[t.Site], int(l.takes(t)), t.At, l.left(t) + l.costs.Visit})
		}
	}
	return p
}

// choose puts these beds in and no others.
func (p *packing) choose(tasks []Task) {
	clear(p.in)
	for _, t := range tasks {
		p.in[p.at[t.Bed]] = true
	}
}

// fit says whether the days serve the beds that are in.
func (p *packing) fit() bool {
	return p.served(p.orders[0]) || p.served(p.orders[1])
}

// served says whether they do in an order of first fit.
func (p *packing) served(order []item) bool {
	for i := range p.bins {
		p.bins[i] = p.bins[i][:0]
	}
	p.needs = p.needs[:0]
	for _, t := range order {
		if !p.in[t.task] {
			continue
		}
		for range t.takes - 1 {
			p.needs = append(p.needs, t.need)
		}
		p.share(t)
		if len(p.needs) > len(p.heights) {
			return false
		}
	}
	slices.Sort(p.needs)
	return serve(p.heights, p.needs)
}

// share puts what is left over of a bed into the first low water of its site with room.
func (p *packing) share(t item) {
	bins := p.bins[t.site]
	i := slices.IndexFunc(bins, func(b room) bool { return b.left >= t.size-1e-9 })
	if i < 0 {
		i, bins = len(bins), append(bins, room{p.tide, len(p.needs)})
		p.bins[t.site], p.needs = bins, append(p.needs, math.Inf(1))
	}
	b := &bins[i]
	b.left -= t.size
	p.needs[b.need] = min(p.needs[b.need], t.need)
}
