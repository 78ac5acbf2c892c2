package survey

import (
	"cmp"
	"slices"
)

// BedAt is the place in Beds of the bed of that name, false where beds.csv has none. Beds are in the order of their names.
func (f *Folder) BedAt(id string) (int, bool) {
	return slices.BinarySearchFunc(f.Beds, id, func(b Bed, id string) int { return cmp.Compare(b.ID, id) })
}

// BedIndex finds the rows of a table of a bed, those of all beds ("*") among them, in the order of the table. It is made in
// one pass, where a walk through the table for each bed would take the square of the number of beds.
type BedIndex[T any] struct {
	own map[string][]T
	all []T // those of all beds alone
}

// Gather gathers rows by what each names, in their order.
func Gather[K comparable, T any](rows []T, key func(T) K) map[K][]T {
	out := map[K][]T{}
	for _, r := range rows {
		k := key(r)
		out[k] = append(out[k], r)
	}
	return out
}

// NewBedIndex gathers rows by the bed that each names.
func NewBedIndex[T any](rows []T, bed func(T) string) BedIndex[T] {
	x := BedIndex[T]{own: map[string][]T{}}
	for _, r := range rows {
		id := bed(r)
		if id == allBeds {
			x.all = append(x.all, r)
			for b := range x.own {
				x.own[b] = append(x.own[b], r)
			}
			continue
		}
		if _, seen := x.own[id]; !seen {
			x.own[id] = slices.Clone(x.all)
		}
		x.own[id] = append(x.own[id], r)
	}
	return x
}

// Of are the rows of a bed. They must not be changed.
func (x BedIndex[T]) Of(bed string) []T {
	if rows, ok := x.own[bed]; ok {
		return rows
	}
	return x.all
}
