package survey

import (
	"slices"
)

// kindKey is all that decides of which stands and shores a landing may be.
type kindKey struct {
	bed, species, shore, permit string
	from, to                    int // how often a bed had changed its shore until its days
}

// settleUnallocated works out where the landings may be from, after permits, decisions and all cuts are read. Those of one
// kind share what is found, so that many landings take little more than one.
func (r *reading) settleUnallocated() {
	f := r.f
	moves := shoreMoves(f.Beds)
	kinds, beds := map[kindKey]int{}, [][]string{nil}
	for i := range f.Unallocated {
		u := &f.Unallocated[i]
		k := kindKey{u.Bed, u.Species, u.Shore, u.Permit, movesUntil(moves, u.From), movesUntil(moves, u.To)}
		if kinds[k] == 0 {
			kinds[k] = len(beds)
			beds = append(beds, f.bedsOf(u))
		}
		u.Kind = kinds[k]
		u.Beds = beds[u.Kind]
	}
	f.settlePermits()
}

// bedsOf are the beds that a landing may be from by its bed or shore, sorted.
func (f *Folder) bedsOf(u *Unallocated) []string {
	var out []string
	for _, b := range f.Beds { // sorted
		if u.Bed == b.ID || u.Bed == "" && (u.Shore == "" || b.At(u.From).Shore == u.Shore || b.At(u.To).Shore == u.Shore) {
			out = append(out, b.ID)
		}
	}
	return out
}

// shoreMoves are the days from which beds are of another shore than before, sorted.
func shoreMoves(beds []Bed) []Day {
	var out []Day
	for _, b := range beds {
		for i, p := range b.Periods[1:] {
			if p.Shore != b.Periods[i].Shore {
				out = append(out, p.From)
			}
		}
	}
	slices.Sort(out)
	return slices.Compact(out)
}

// movesUntil counts the moves on a day or before.
func movesUntil(moves []Day, day Day) int {
	n, _ := slices.BinarySearch(moves, day+1)
	return n
}

// settlePermits works out to which stands the permits of landings keep them, by what the folder holds of each permit.
func (f *Folder) settlePermits() {
	stands, settled := map[string][]Permit{}, map[int][]Permit{}
	for i := range f.Unallocated {
		u := &f.Unallocated[i]
		within, done := settled[u.Kind]
		if !done || u.Kind == 0 {
			if _, known := stands[u.Permit]; !known {
				stands[u.Permit] = f.standsOf(u.Permit)
			}
			within = u.among(stands[u.Permit])
			settled[u.Kind] = within
		}
		u.Within = within
	}
}

// among are those stands that a landing may be from by its bed, shore and species; nil: none.
func (u *Unallocated) among(stands []Permit) []Permit {
	var out []Permit
	for _, p := range stands {
		if _, known := slices.BinarySearch(u.Beds, p.Bed); known && (u.Species == "" || p.Species == "" || p.Species == u.Species) {
			out = append(out, p)
		}
	}
	return out
}
