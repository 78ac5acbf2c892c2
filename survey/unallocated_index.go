package survey

import "slices"

// UnallocatedIndex finds the landings without a bed or species that may be from a stand. It is made in one pass, where a walk
// through them for each stand would take their number times that of the stands. Landings of one kind are asked together.
type UnallocatedIndex struct {
	rows  []Unallocated
	kinds map[string][]*kindRows // by bed, in the order of their first landing
}

// kindRows are the landings of a kind by their places.
type kindRows struct {
	first *Unallocated
	at    []int
}

// NewUnallocatedIndex gathers the landings by the beds that they may be from.
func NewUnallocatedIndex(f *Folder) UnallocatedIndex {
	x := UnallocatedIndex{rows: f.Unallocated, kinds: map[string][]*kindRows{}}
	known := map[int]*kindRows{}
	for i := range x.rows {
		u := &x.rows[i]
		k := known[u.Kind]
		if k == nil || u.Kind == 0 {
			k = &kindRows{first: u}
			known[u.Kind] = k
			for _, bed := range u.bedsWithin() {
				x.kinds[bed] = append(x.kinds[bed], k)
			}
		}
		k.at = append(k.at, i)
	}
	return x
}

// bedsWithin are the beds that a landing may be from, each once.
func (u *Unallocated) bedsWithin() []string {
	if u.Within == nil {
		return u.Beds
	}
	var out []string
	for _, p := range u.Within {
		if u.concernsBed(p.Bed) {
			out = append(out, p.Bed)
		}
	}
	slices.Sort(out)
	return slices.Compact(out)
}

// Concerning are the landings that a bed and species are not ruled out for, cast weed and nil returns among them, in the order
// of the file.
func (x UnallocatedIndex) Concerning(bed, species string) []*Unallocated {
	var at []int
	for _, k := range x.kinds[bed] {
		if k.first.Concerns(bed, species) {
			at = append(at, k.at...)
		}
	}
	slices.Sort(at)
	var out []*Unallocated
	for _, i := range at {
		out = append(out, &x.rows[i])
	}
	return out
}

// MayBeOf are the landings that may be from a bed and species in the order of the file: neither cast weed nor nil returns.
func (x UnallocatedIndex) MayBeOf(bed, species string) []Unallocated {
	var out []Unallocated
	for _, u := range x.Concerning(bed, species) {
		if !u.Cast && u.Kg > 0 {
			out = append(out, *u)
		}
	}
	return out
}
