package survey

import (
	"slices"
	"strings"
)

// Unallocated is one row of harvest.csv that does not say of which bed or which species it is: its bed or species is
// blank, "mixed" or the like, or a shore stands where the bed should. It was cut, and is no cut of any one stand. Bed and
// Species of the cut are empty where they are not known.
type Unallocated struct {
	Cut
	Shore                string // named instead of a bed; empty: none
	BedText, SpeciesText string // as written

	Beds   []string // beds of beds.csv that it may be from, sorted
	Within []Permit // what limits it further: stands of its permit, of which some are among those beds; nil: nothing
	Kind   int      // landings of one kind may be from the same stands and shores; 0: not worked out
}

// looseWords stand for a bed or species that nobody noted, or several at once.
var looseWords = []string{"", "mixed", "various", "several", "unknown", "not known", "?", "-"}

// loose says whether a cell names no bed or species. A bed or species of that name is one.
func loose(cell string) bool { return slices.Contains(looseWords, foldSpecies(cell)) }

// Landings are all rows of harvest.csv in the order of the file, those without a bed or species as they are written.
func (f *Folder) Landings() []Cut {
	if len(f.Unallocated) == 0 {
		return f.Cuts
	}
	out := slices.Clone(f.Cuts)
	for _, u := range f.Unallocated {
		u.Bed, u.Species = u.BedText, u.SpeciesText
		out = append(out, u.Cut)
	}
	slices.SortStableFunc(out, func(a, b Cut) int { return a.Line - b.Line })
	return out
}

// Nil tells a nil return: nothing was cut, wherever that was.
func (u *Unallocated) Nil() bool { return u.Kg == 0 }

// Concerns tells whether a landing may be from a bed and species: every bed and species that it does not rule out by its
// bed, its shore or its species. Where permits.csv lists its permit, it is of the stands that the permit has a share in
// there, was granted by name in decisions.csv or cut by other rows of harvest.csv; a permit without any such stand among
// those that the row allows limits nothing.
func (u *Unallocated) Concerns(bed, species string) bool {
	if _, known := slices.BinarySearch(u.Beds, bed); !known || u.Species != "" && u.Species != species {
		return false
	}
	return u.Within == nil || slices.ContainsFunc(u.Within, func(p Permit) bool {
		return p.Bed == bed && (p.Species == "" || p.Species == species)
	})
}

// Shores are the shores that a landing may be from, sorted; the empty one where beds.csv names none.
func (u *Unallocated) Shores(f *Folder) []string {
	var out []string
	for _, b := range f.Beds {
		if u.concernsBed(b.ID) {
			out = append(out, b.At(u.From).Shore)
		}
	}
	slices.Sort(out)
	return slices.Compact(out)
}

// concernsBed tells whether a landing may be from a bed.
func (u *Unallocated) concernsBed(bed string) bool {
	_, known := slices.BinarySearch(u.Beds, bed)
	return known && (u.Within == nil || slices.ContainsFunc(u.Within, func(p Permit) bool { return p.Bed == bed }))
}

// looseCut is the landing of a row that names no bed or no species; nil: it names both.
func (r *reading) looseCut(c Cut, bed, species string) *Unallocated {
	u := &Unallocated{Cut: c, BedText: bed, SpeciesText: species}
	if !r.hasBed(bed) {
		if u.Shore = r.shoreOf(bed); u.Shore != "" || loose(bed) {
			u.Bed = ""
		}
	}
	if loose(species) && !r.hasSpecies(species) {
		u.Species = ""
	}
	if u.Bed != "" && u.Species != "" {
		return nil
	}
	return u
}

func (r *reading) hasBed(name string) bool {
	_, ok := r.f.BedAt(name)
	return ok
}

func (r *reading) hasSpecies(name string) bool {
	key := foldSpecies(name)
	return slices.ContainsFunc(r.f.Species, func(s Species) bool { return foldSpecies(s.Name) == key })
}

// shoreOf is the shore of beds.csv that a name is, however it is capitalised; empty: none.
func (r *reading) shoreOf(name string) string {
	for _, b := range r.f.Beds {
		for _, p := range b.Periods {
			if name != "" && strings.EqualFold(strings.TrimSpace(p.Shore), name) {
				return p.Shore
			}
		}
	}
	return ""
}

// standsOf are the stands that a permit has a share in, was granted or cut by other rows; none where permits.csv does not
// list the permit.
func (f *Folder) standsOf(permit string) []Permit {
	var out []Permit
	for _, p := range f.Permits {
		if permit != "" && p.Permit == permit {
			out = append(out, Permit{Permit: permit, Bed: p.Bed, Species: p.Species})
		}
	}
	if out == nil {
		return nil
	}
	add := func(bed, species string) {
		if p := (Permit{Permit: permit, Bed: bed, Species: species}); !slices.Contains(out, p) {
			out = append(out, p)
		}
	}
	for _, d := range f.Decisions {
		if d.Permit == permit {
			add(d.Bed, d.Species)
		}
	}
	for _, c := range f.Cuts {
		if c.Permit == permit {
			add(c.Bed, c.Species)
		}
	}
	return out
}
