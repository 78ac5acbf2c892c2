package survey

// Domain is a part of the ground. The zero value is all of it; of several conditions all hold.
type Domain struct {
	Stratum string // a stratum of the beds
	Zone    string // beds of a zone
	Holding string // where the species was found
	Without string // where the species was not found
}

// split says whether the domain is known only by the sample.
func (in Domain) split() bool { return in.Holding != "" || in.Without != "" }

// inside marks the quadrats of a survey that lie in the domain.
func (in Domain) inside(f *Folder, s *fieldwork) []bool {
	out := make([]bool, len(s.quads))
	zone := f.Beds[s.bed].At(s.date).Zone
	for i := range out {
		label := s.design.strata[s.design.stratum[i]].label
		out[i] = (in.Zone == "" || in.Zone == zone) && (in.Stratum == "" || in.Stratum == label)
	}
	in.species(f, s, out)
	return out
}

// species takes quadrats out by what they hold.
func (in Domain) species(f *Folder, s *fieldwork, out []bool) {
	for _, c := range []struct {
		name string
		want bool
	}{{in.Holding, true}, {in.Without, false}} {
		if c.name == "" {
			continue
		}
		r := s.readings(&f.Quadrats, s.species[speciesID(f, c.name)])
		for i := range out {
			out[i] = out[i] && r.holds(i) == c.want
		}
	}
}

// masked is y inside the domain and 0 outside.
func masked(y []float64, inside []bool) []float64 {
	out := make([]float64, len(y))
	for i, v := range y {
		if inside[i] {
			out[i] = v
		}
	}
	return out
}

// indicator is 1 inside the domain and 0 outside.
func indicator(inside []bool) []float64 {
	out := make([]float64, len(inside))
	for i, in := range inside {
		if in {
			out[i] = 1
		}
	}
	return out
}

// domainUnits counts the sampling units and the groups of strata with a quadrat in the domain.
func (d *design) domainUnits(inside []bool) (units, groups int) {
	unit, group := make([]bool, d.units), make([]bool, len(d.inside))
	for i, in := range inside {
		if in {
			unit[d.unit[i]], group[d.group[d.unit[i]]] = true, true
		}
	}
	for _, u := range unit {
		if u {
			units++
		}
	}
	for _, g := range group {
		if g {
			groups++
		}
	}
	return units, groups
}

// single says whether the domain is a stratum with a single sampling unit, within which nothing can be said of its
// spread.
func (d *design) single(stratum string) bool {
	for _, h := range d.strata {
		if h.label == stratum && stratum != "" {
			return h.units == 1
		}
	}
	return false
}

// anyHolds marks the quadrats inside that hold any of the species read.
func anyHolds(rs []readings, inside []bool) []bool {
	out := make([]bool, len(inside))
	for i := range out {
		for _, r := range rs {
			out[i] = out[i] || inside[i] && r.holds(i)
		}
	}
	return out
}
