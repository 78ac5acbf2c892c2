package survey

import "math"

// frondsAlone is the allometry by which a survey can be turned into weight without weighed quadrats: where the rules
// ask for it, or the survey's protocol says that all fronds were measured and either its own fronds were weighed or
// there is no wider calibration. It is nil where that is not so; the text says why, where the rules ask for it.
func (s *fieldwork) frondsAlone(r readings, c *calibrations, species string, wider bool) (*allometry, string) {
	asked := c.conversion == byAllometry
	if !asked && !(c.conversion == "auto" && s.allFronds()) {
		return nil, ""
	}
	a, why := c.fitAllometry(s, c.id(species))
	if a != nil {
		if n := r.count(func(i int) bool { return r.holds(i) && !r.weighed(i) && math.IsNaN(a.kg[i]) }); n > 0 {
			why = "no frond was measured in " + counted(n, "quadrat") + " holding it: measure all fronds in each"
			a = nil
		} else if !asked && wider && !a.own {
			return nil, ""
		}
	}
	if a == nil && asked {
		return nil, "conversion allometry asked for, but " + why
	}
	return a, ""
}

// byFronds adds up the weight of all measured fronds, by w = a L^b. What was weighed stands as it was weighed. The
// error of a and b, all of one sign in every quadrat, is
//
//	d'V d,   d = Σ w ∂(Σ a L^b)/∂(log a, b)
//
// with V clustered by quadrat. It is shared where a and b come from other surveys too.
func (s *fieldwork) byFronds(r readings, a *allometry, species string) weight {
	out := s.spread(composite(r, a.orNone()))
	out.conversion, out.domain = byAllometry, "survey"
	d := [2]float64{s.predicted(r, out, a.kg), s.predicted(r, out, a.logs)}
	e := part{quadratic(d, a.cov), a.df}
	out.candidates = []Candidate{{Model: byAllometry, N: a.n, Chosen: true, Params: a.params(),
		Note: "not compared with weighed quadrats: too few were weighed"}}
	out.notes = append(out.notes, "weight from the lengths of all fronds ("+counted(a.n, "frond")+
		" weighed), not checked against weighed quadrats: weigh whole quadrats too")
	if a.own {
		out.own = satterthwaite(out.own, e)
		return out
	}
	out.domain = "species"
	out.shared = []part{e}
	out.errors = []SharedError{{"fronds|" + species, math.Sqrt(e.v) / out.total.total}}
	return out
}

// orNone is the weight of the measured fronds, 0 where none was measured.
func (a *allometry) orNone() []float64 {
	out := make([]float64, len(a.kg))
	for i, v := range a.kg {
		if !math.IsNaN(v) {
			out[i] = v
		}
	}
	return out
}
