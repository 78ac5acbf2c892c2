package plan

import (
	"cmp"
	"slices"
)

// mostTries is how often a bed is put on days before a search is left at what it has.
const mostTries = 5_000

// runs looks for a calendar bed by bed where the days of [layer.lay] leave the visits of a bed too far apart: each bed is
// put on the days that serve it and are free from some day on, or left; what is left over of it goes to an outing with
// room first. All first days are tried, of two orders of the beds, as far as [mostTries] goes.
type runs struct {
	*layer
	tasks []Task
	open  []openDay // of days
	held  int
	used  int
	tries int

	best     []openDay
	bestHeld int
	bestUsed int
}

// openDay is a day while beds are put on it; room is what is left of its low water, none where it is full.
type openDay struct {
	parts []Part
	need  float64
	site  string
	room  float64
}

// searchRuns is the best of two orders: the beds with fewest days first, and those that take fewest low waters first.
func (l *layer) searchRuns(tasks []Task) (outings []Outing, held int) {
	var best *runs
	for _, order := range []func(a, b Task) int{
		func(a, b Task) int { return cmp.Or(cmp.Compare(a.At, b.At), cmp.Compare(a.Work, b.Work)) },
		func(a, b Task) int { return cmp.Or(cmp.Compare(a.Work, b.Work), cmp.Compare(a.At, b.At)) },
	} {
		r := &runs{layer: l, tasks: slices.SortedStableFunc(slices.Values(tasks), order), open: make([]openDay, len(l.days))}
		r.try(0)
		if best == nil || r.bestHeld > best.bestHeld || r.bestHeld == best.bestHeld && r.bestUsed < best.bestUsed {
			best = r
		}
	}
	at := heightsOf(tasks)
	for i, d := range best.best {
		if len(d.parts) > 0 {
			slices.SortStableFunc(d.parts, func(a, b Part) int { return cmp.Compare(at[b.Bed], at[a.Bed]) })
			outings = append(outings, Outing{Low: l.days[i], Parts: d.parts, Need: d.need})
		}
	}
	even(outings)
	return outings, best.bestHeld
}

// try puts the beds from i on onto days.
func (r *runs) try(i int) {
	if r.held > r.bestHeld || r.held == r.bestHeld && (r.best == nil || r.used < r.bestUsed) {
		r.best, r.bestHeld, r.bestUsed = slices.Clone(r.open), r.held, r.used
	}
	if i == len(r.tasks) || r.held+len(r.tasks)-i < r.bestHeld {
		return
	}
	for from := range r.days {
		if r.tries >= mostTries {
			return
		}
		now, used, ok := r.put(r.tasks[i], from)
		if !ok {
			continue
		}
		was := r.open
		r.open, r.held, r.used = now, r.held+1, r.used+used
		r.try(i + 1)
		r.open, r.held, r.used = was, r.held-1, r.used-used
	}
	r.try(i + 1)
}

// put puts a bed on the first days that are free from a day on, which must be one of them; used is how many were empty.
func (r *runs) put(t Task, from int) (now []openDay, used int, ok bool) {
	if d := &r.open[from]; r.days[from].Height > t.At || d.parts != nil && d.room == 0 {
		return nil, 0, false
	}
	r.tries++
	k, size := int(r.takes(t)), r.left(t)+r.costs.Visit
	whole, rest, last := k-1, true, r.days[from].Day
	now = slices.Clone(r.open)
	for i := from; i < len(now) && (whole > 0 || rest); i++ {
		d := &now[i]
		switch {
		case r.days[i].Day-last > r.window:
			return nil, 0, false
		case r.days[i].Height > t.At:
			continue
		case d.parts == nil && whole > 0:
			whole--
			used++
			*d = openDay{[]Part{{Bed: t.Bed, Of: k, Work: r.costs.Tide - r.costs.Visit}}, t.At, t.Site, 0}
		case d.parts == nil && rest:
			rest = false
			used++
			*d = openDay{[]Part{{Bed: t.Bed, Of: k, Work: r.left(t), Last: true}}, t.At, t.Site, r.costs.Tide - size}
		case rest && d.site == t.Site && d.room >= size-1e-9:
			rest = false
			*d = openDay{append(slices.Clone(d.parts), Part{Bed: t.Bed, Of: k, Work: r.left(t), Last: true}), min(d.need, t.At), t.Site, d.room - size}
		case i == from:
			return nil, 0, false
		default:
			continue
		}
		last = r.days[i].Day
	}
	return now, used, whole == 0 && !rest
}

// alone says whether a bed could be put on days if it had them all.
func (l *layer) alone(t Task) bool {
	r := runs{layer: l, open: make([]openDay, len(l.days))}
	for from := range l.days {
		if _, _, ok := r.put(t, from); ok {
			return true
		}
	}
	return false
}
