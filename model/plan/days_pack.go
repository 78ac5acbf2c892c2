package plan

import (
	"cmp"
	"math"
	"slices"
)

// hold chooses the beds that are laid out, of tasks sorted by At: by Moore's rule as if none shared a low water, and by the same rule with
// sharing; the larger choice, with those of the others added that still fit, the ones with least work first.
func (l *layer) hold(tasks []Task) []Task {
	held := mostLate(tasks, l.takes, l.due)
	p := l.packing(tasks)
	var shared []Task
	for i, t := range tasks {
		shared = append(shared, t)
		p.in[i] = true
		for !p.fit() {
			k := longest(shared, func(t Task) float64 { return t.Work })
			p.in[p.at[shared[k].Bed]] = false
			shared = slices.Delete(shared, k, k+1)
		}
	}
	if len(shared) > len(held) {
		held = shared
	}
	p.choose(held)
	rest := slices.DeleteFunc(slices.Clone(tasks), func(t Task) bool { return p.in[p.at[t.Bed]] })
	slices.SortStableFunc(rest, func(a, b Task) int { return cmp.Compare(a.Work, b.Work) })
	for _, t := range rest {
		i := p.at[t.Bed]
		if p.in[i] = true; p.fit() {
			held = append(held, t)
		} else {
			p.in[i] = false
		}
	}
	return held
}

// serve says whether days of these heights, sorted, meet all needs, sorted.
func serve(heights, needs []float64) bool {
	if len(needs) > len(heights) {
		return false
	}
	for i, n := range needs {
		if heights[i] > n {
			return false
		}
	}
	return true
}

func needsOf(outings []Outing) []float64 {
	var needs []float64
	for _, o := range outings {
		needs = append(needs, o.Need)
	}
	slices.Sort(needs)
	return needs
}

// bin is an outing with room in it.
type bin struct {
	Outing
	site string
	room float64
}

// pack makes outings without days of the work on beds: each takes whole low waters and one more for what is left over,
// which beds of one site share. Of first fit with the neediest beds first and with the longest work first, the one that
// the days serve with fewest outings; where neither is served, the one with fewest.
func (l *layer) pack(tasks []Task) []Outing {
	one, other := l.firstFit(tasks, l.byNeed), l.firstFit(tasks, l.byWork)
	served := func(o []Outing) bool { return serve(l.heights, needsOf(o)) }
	switch a, b := served(one), served(other); {
	case a == b && len(other) < len(one), b && !a:
		return other
	}
	return one
}

// byNeed and byWork are the two orders of first fit.
func (l *layer) byNeed(a, b Task) int {
	return cmp.Or(cmp.Compare(a.At, b.At), cmp.Compare(l.left(b), l.left(a)), cmp.Compare(a.Bed, b.Bed))
}

func (l *layer) byWork(a, b Task) int {
	return cmp.Or(cmp.Compare(l.left(b), l.left(a)), cmp.Compare(a.At, b.At), cmp.Compare(a.Bed, b.Bed))
}

// left is the work that is left over after whole low waters.
func (l *layer) left(t Task) float64 {
	return t.Work - (l.takes(t)-1)*(l.costs.Tide-l.costs.Visit)
}

func (l *layer) firstFit(tasks []Task, order func(a, b Task) int) []Outing {
	sorted := slices.SortedFunc(slices.Values(tasks), order)
	var bins []bin
	var out []Outing
	for _, t := range sorted {
		k, whole := int(l.takes(t)), l.costs.Tide-l.costs.Visit
		for i := 1; i < k; i++ {
			out = append(out, Outing{Parts: []Part{{Bed: t.Bed, Of: k, Work: whole}}, Need: t.At})
		}
		size := l.left(t) + l.costs.Visit
		i := slices.IndexFunc(bins, func(b bin) bool { return b.site == t.Site && b.room >= size-1e-9 })
		if i < 0 {
			i = len(bins)
			bins = append(bins, bin{Outing{Need: math.Inf(1)}, t.Site, l.costs.Tide})
		}
		b := &bins[i]
		b.Parts = append(b.Parts, Part{Bed: t.Bed, Of: k, Work: l.left(t), Last: true})
		b.Need, b.room = min(b.Need, t.At), b.room-size
	}
	for _, b := range bins {
		out = append(out, b.Outing)
	}
	return out
}
