package plan

import (
	"cmp"
	"slices"
)

// lay gives the outings of beds their days.
func (l *layer) lay(held []Task) []Outing {
	todo := l.pack(held)
	at := heightsOf(held)
	var out []Outing
	begun := map[string]int{} // last day so far by bed
	days := l.earliest(needsOf(todo))
	for i, d := range days {
		k := next(todo, days[i:], begun)
		o := todo[k]
		todo = slices.Delete(todo, k, k+1)
		o.Low = d
		for _, p := range o.Parts {
			begun[p.Bed] = d.Day
		}
		slices.SortStableFunc(o.Parts, func(a, b Part) int { return cmp.Compare(at[b.Bed], at[a.Bed]) })
		out = append(out, o)
	}
	even(out)
	return out
}

// heightsOf are the highest low waters of beds.
func heightsOf(tasks []Task) map[string]float64 {
	at := map[string]float64{}
	for _, t := range tasks {
		at[t.Bed] = t.At
	}
	return at
}

// earliest are the days for these needs, sorted: no other days that serve them have their first, second, ... earlier.
// The days must serve the needs.
func (l *layer) earliest(needs []float64) []Low {
	var out []Low
	var taken []float64 // heights, sorted
	for _, d := range l.days {
		i, _ := slices.BinarySearch(taken, d.Height)
		if with := slices.Insert(slices.Clone(taken), i, d.Height); given(with, needs) {
			out, taken = append(out, d), with
		}
	}
	return out
}

// given says whether days of these heights, sorted, can be given to different needs, sorted: the highest to the least
// needy.
func given(heights, needs []float64) bool {
	spare := len(needs) - len(heights)
	if spare < 0 {
		return false
	}
	for i, h := range heights {
		if h > needs[spare+i] {
			return false
		}
	}
	return true
}

// next chooses what is done on the first of these days, such that the others serve what is then left: a bed that was
// begun, the one that has waited longest first; else the neediest.
func next(todo []Outing, days []Low, begun map[string]int) int {
	var rest []float64
	for _, d := range days[1:] {
		rest = append(rest, d.Height)
	}
	slices.Sort(rest)
	served := servedWithout(rest, needsOf(todo))
	best := -1
	for k, o := range todo {
		if o.Need < days[0].Height || best >= 0 && !sooner(o, todo[best], begun) {
			continue
		}
		if served(o.Need) {
			best = k
		}
	}
	return best
}

// servedWithout tells of each of these needs, sorted, whether days of these heights, sorted, meet the others. Without the
// p-th, those below it keep their days and those above it have the day before: so p must not be behind the first that
// its own day does not meet, nor before one that the day before does not meet.
func servedWithout(heights, needs []float64) func(need float64) bool {
	first, last := len(needs), 0
	for i := range needs {
		if i < len(heights) && heights[i] > needs[i] && i < first {
			first = i
		}
		if i > 0 && i <= len(heights) && heights[i-1] > needs[i] {
			last = i
		}
	}
	return func(need float64) bool {
		p, _ := slices.BinarySearch(needs, need)
		return len(needs)-1 <= len(heights) && last <= p && p <= first
	}
}

func sooner(a, b Outing, begun map[string]int) bool {
	lastA, isA := waited(a, begun)
	lastB, isB := waited(b, begun)
	switch {
	case isA != isB:
		return isA
	case isA && lastA != lastB:
		return lastA < lastB
	}
	return a.Need < b.Need
}

// waited is the earliest day on which one of the beds of an outing was last visited.
func waited(o Outing, begun map[string]int) (day int, ok bool) {
	for _, p := range o.Parts {
		if d, was := begun[p.Bed]; was && (!ok || d < day) {
			day, ok = d, true
		}
	}
	return day, ok
}

// even numbers the parts of each bed by day, and spreads the work of a bed that shares no low water evenly over its own.
func even(outings []Outing) {
	number, shared, work := map[string]int{}, map[string]bool{}, map[string]float64{}
	for i := range outings {
		for k := range outings[i].Parts {
			p := &outings[i].Parts[k]
			number[p.Bed]++
			p.Number = number[p.Bed]
			work[p.Bed] += p.Work
			shared[p.Bed] = shared[p.Bed] || len(outings[i].Parts) > 1
		}
	}
	for i := range outings {
		if p := &outings[i].Parts[0]; !shared[p.Bed] {
			p.Work = work[p.Bed] / float64(p.Of)
		}
	}
}

// farthest is the bed with the longest time between two visits where that is longer than so many days.
func farthest(outings []Outing, window int) string {
	last, bed, most := map[string]int{}, "", window
	for _, o := range outings {
		for _, p := range o.Parts {
			if d, was := last[p.Bed]; was && o.Day-d > most {
				bed, most = p.Bed, o.Day-d
			}
			last[p.Bed] = o.Day
		}
	}
	return bed
}
