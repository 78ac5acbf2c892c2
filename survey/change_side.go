package survey

import (
	"math"
	"slices"
)

// side is a species at one of two compared surveys, on their common ground.
type side struct {
	s       *fieldwork
	st      *Stock
	r       readings
	w       weight
	found   bool      // the species was found on the common ground
	kg      Estimate  // OK: kg wet on the common ground
	z       []float64 // per unit: its part of the linearised kg
	cover   Estimate  // OK: percent of the common ground
	zCover  []float64
	units   int     // on the common ground
	df      float64 // of the design on the common ground
	density float64 // kg/m2, mean over the units holding the species
	covered float64 // percent cover, likewise
}

// side lays out a species at one survey, once.
func (c *comparer) side(s *fieldwork, st *Stock) side {
	key := sideKey{s, st.Species}
	x, known := c.sides[key]
	if !known {
		x = c.newSide(s, st)
		c.sides[key] = x
	}
	return x
}

func (c *comparer) newSide(s *fieldwork, st *Stock) side {
	x := side{s: s, st: st, kg: missing(), cover: missing()}
	x.r = s.readings(&c.f.Quadrats, s.species[c.calibrations.id(st.Species)])
	x.limit()
	x.found = x.r.count(x.r.holds) > 0
	x.count()
	x.estimateCover()
	if !st.Kg.OK {
		return x
	}
	if !x.found {
		x.kg = Estimate{OK: true, SE: math.NaN(), DF: x.df, Lo: math.NaN(), Hi: math.NaN()}
		return x
	}
	x.w = s.weigh(x.r, c.species(st.Species), st.Species, c.calibrations)
	x.estimateKg()
	return x
}

func (c *comparer) species(name string) *Species {
	e := estimator{f: c.f}
	return e.species(name)
}

// limit empties the readings outside the common ground, so that they count as a domain that holds nothing.
func (x *side) limit() {
	for i, h := range x.s.design.stratum {
		if x.s.design.strata[h].area == 0 {
			x.r.cover[i], x.r.kg[i], x.r.frond[i] = 0, 0, math.NaN()
		}
	}
}

// count counts the sampling units and degrees of freedom on the common ground.
func (x *side) count() {
	d := x.s.design
	units, groups := map[int32]bool{}, map[int32]bool{}
	for i, u := range d.unit {
		if d.strata[d.stratum[i]].area > 0 {
			units[u], groups[d.group[u]] = true, true
		}
	}
	x.units, x.df = len(units), float64(len(units)-len(groups))
}

// estimateCover estimates the percent cover.
func (x *side) estimateCover() {
	d := x.s.design
	if !x.st.Cover.OK {
		return
	}
	if slices.ContainsFunc(x.r.cover, math.IsNaN) {
		return
	}
	t := d.total(x.r.cover)
	x.cover = Estimate{OK: true, Value: t.total / d.area, SE: math.NaN(), DF: math.NaN()}
	x.zCover = t.unit
	for i := range x.zCover {
		x.zCover[i] /= d.area
	}
	if v := d.cov(x.zCover, x.zCover); x.found && !math.IsNaN(v) {
		x.cover.SE, x.cover.DF = math.Sqrt(v), min(x.df, d.dfOf(x.zCover))
	}
	x.covered = x.meanHolding(x.r.cover)
}

// estimateKg estimates the weight; its SE is that of the units and of a conversion made in the survey, without shared
// errors.
func (x *side) estimateKg() {
	if x.w.kg == nil || math.IsNaN(x.w.total.total) {
		return
	}
	x.kg.OK, x.kg.Value = true, x.w.total.total
	x.z = x.w.influence()
	x.density = x.meanHolding(x.w.kg)
	if v := x.w.own.v; !math.IsNaN(v) {
		x.kg.SE, x.kg.DF = math.Sqrt(v), min(x.w.own.df, x.df)
	}
}

// influence is each unit's part of the linearised total in kg: that of the predictions, and where the conversion comes
// from the survey itself, that of its weighed quadrats.
func (w weight) influence() []float64 {
	z := append([]float64(nil), w.total.unit...)
	for u, v := range w.linear {
		z[u] += v
	}
	return z
}

// meanHolding is the mean of y over the units that hold the species.
func (x *side) meanHolding(y []float64) float64 {
	d := x.s.design
	sum, m2, holds := make([]float64, d.units), make([]float64, d.units), make([]bool, d.units)
	for i, v := range y {
		u := d.unit[i]
		sum[u] += v * d.m2[i]
		m2[u] += d.m2[i]
		holds[u] = holds[u] || x.r.holds(i)
	}
	total, n := 0.0, 0.0
	for u, h := range holds {
		if h {
			total += sum[u] / m2[u]
			n++
		}
	}
	return total / n
}

// holding is the number of units that hold the species.
func (x *side) holding() int {
	d := x.s.design
	units := map[int32]bool{}
	for i := range x.r.cover {
		if x.r.holds(i) {
			units[d.unit[i]] = true
		}
	}
	return len(units)
}

// mostShare is the largest share of sampling units that could hold a species which none of n holds,
//
//	1 - (α/2)^(1/n),   α = 1 - level
//
// the upper bound of Clopper and Pearson for 0 of n.
func mostShare(n int, level float64) float64 {
	return -math.Expm1(math.Log((1-level)/2) / float64(n))
}
