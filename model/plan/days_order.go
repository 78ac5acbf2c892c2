package plan

import (
	"cmp"
	"slices"
)

// inOrder lays out the beds, those of the smallest rank first where not all can be held: of these as many as can be, then of
// the next ones as many as fit besides them, and so on. Those that do not fit all at once are tried one by one, the ones
// with least work first. Beds of one rank are laid out together, see [layer.within].
func (l *layer) inOrder() []Outing {
	best := l.within(l.tasks)
	ranks := ranksOf(l.tasks)
	if len(ranks) < 2 || holdsAll(best, l.tasks) {
		return best
	}
	var held []Task
	var outings []Outing
	p := l.packing(l.tasks)
	for _, rank := range ranks {
		of := slices.DeleteFunc(slices.Clone(l.tasks), func(t Task) bool { return t.Rank != rank })
		with := l.sorted(held, of...)
		if all := l.within(with); holdsAll(all, held) {
			outings = all
			held = slices.DeleteFunc(with, func(t Task) bool { return !holds(all, t.Bed) })
			continue
		}
		slices.SortStableFunc(of, func(a, b Task) int { return cmp.Compare(a.Work, b.Work) })
		for _, t := range of {
			p.choose(held)
			if p.in[p.at[t.Bed]] = true; !p.fit() {
				continue
			}
			more := l.sorted(held, t)
			if laid := l.lay(more); farthest(laid, l.window) == "" {
				held, outings = more, laid
			}
		}
	}
	return outings
}

// ranksOf are the ranks of beds, each once, the smallest first.
func ranksOf(tasks []Task) []int {
	var out []int
	for _, t := range tasks {
		out = append(out, t.Rank)
	}
	slices.Sort(out)
	return slices.Compact(out)
}

func holdsAll(outings []Outing, tasks []Task) bool {
	return !slices.ContainsFunc(tasks, func(t Task) bool { return !holds(outings, t.Bed) })
}

// sorted is beds and others, by At.
func (l *layer) sorted(held []Task, others ...Task) []Task {
	out := append(slices.Clone(held), others...)
	slices.SortStableFunc(out, func(a, b Task) int { return cmp.Compare(a.At, b.At) })
	return out
}
