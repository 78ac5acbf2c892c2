package model

import (
	"cmp"
	"slices"
)

// The growth model is asked about up to MostPooled beds of a species together, of a longer coast about a reach of some ReachBeds at a
// time. The mean of fifty is known to a seventh of the spread between them, by which a bed is known hardly worse than if the mean
// were known exactly; more tell it little more, while the chains of a larger pool take longer for each of its beds.
const MostPooled, ReachBeds = 100, 50

// reaches divides the units of a species, given and returned by bed, into reaches of the coast where there are more than
// [MostPooled]: of about equally many beds, along the shores by name. A boundary is drawn between two shores where one is
// near, else a shore is divided.
func reaches(units []*Unit) [][]*Unit {
	n := len(units)
	if n <= MostPooled {
		return [][]*Unit{units}
	}
	k := (n + ReachBeds/2) / ReachBeds
	along := slices.Clone(units)
	slices.SortStableFunc(along, func(x, y *Unit) int { return cmp.Compare(x.Where.Shore, y.Where.Shore) })
	out, from := make([][]*Unit, 0, k), 0
	for i := range k {
		to := boundary(along, (i+1)*n/k, n/k/4)
		reach := slices.Clone(along[from:to])
		name := reachName(along, from, to)
		for _, u := range reach {
			u.reach = name
		}
		slices.SortFunc(reach, func(x, y *Unit) int { return cmp.Compare(x.Bed, y.Bed) })
		out, from = append(out, reach), to
	}
	return out
}

// boundary is the place nearest to at, and no further from it than so many units, where a shore begins; at where there is none.
func boundary(along []*Unit, at, within int) int {
	for d := range within + 1 {
		for _, i := range []int{at - d, at + d} {
			if beginsShore(along, i) {
				return i
			}
		}
	}
	return at
}

// beginsShore tells whether another shore begins with a unit, or the coast ends before it.
func beginsShore(along []*Unit, i int) bool {
	return i <= 0 || i >= len(along) || along[i].Where.Shore != along[i-1].Where.Shore
}

// reachName is a name that no other reach has: by the shores at its ends, or by beds where a shore is divided.
func reachName(along []*Unit, from, to int) string {
	end := func(u *Unit, whole bool) string {
		if whole && u.Where.Shore != "" {
			return u.Where.Shore
		}
		return u.Bed
	}
	first, last := end(along[from], beginsShore(along, from)), end(along[to-1], beginsShore(along, to))
	if first == last {
		return first
	}
	return first + " to " + last
}
