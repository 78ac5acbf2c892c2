package survey

import (
	"math"
	"slices"
)

// bootstrapped replaces the intervals of cover and kg by those of the bootstrap, where opt.Interval asks for it and the
// survey allows it; a warning says where not and what would.
func (e *estimator) bootstrapped(st *Stock, s *fieldwork, r readings, w weight) {
	if e.opt.Interval != "bootstrap" || math.IsNaN(st.Cover.Lo) && math.IsNaN(st.Kg.Lo) {
		return
	}
	if slices.Min(s.design.inside) < leastUnits {
		st.Warnings = append(st.Warnings, "no bootstrap interval: fewer than "+counted(leastUnits, s.unitName)+
			" in a stratum, log-t or t taken: visit at least so many in each next time")
		return
	}
	n := max(e.opt.BootstrapDraws, int(math.Ceil(20/(1-e.opt.Confidence))))
	b := newResampler(s, n, e.opt.Seed, "bootstrap|"+st.Bed+"|"+st.Species+"|"+st.Survey)
	ok := true
	if st.Cover.SE > 0 {
		area := s.design.area
		rep := b.evaluate(func(p replicate) (float64, float64) {
			value, v := p.total(r.cover)
			return value / area, v / (area * area)
		})
		var known bool
		st.Cover, _, known = rep.interval(st.Cover, nil, nil)
		st.Cover.Hi = min(st.Cover.Hi, 100)
		ok = ok && known
	}
	if st.Kg.SE > 0 {
		var known bool
		var ends upperEnd
		st.Kg, ends, known = b.evaluate(func(p replicate) (float64, float64) { return p.kg(r, w) }).
			interval(st.Kg, b.others(st.Kg, w, r), newOthersStream(e.opt.Seed, st))
		ok = ok && known
		if text := ends.unsettled(st.Kg); text != "" {
			st.Warnings = append(st.Warnings, text)
		}
	}
	if !ok {
		st.Warnings = append(st.Warnings, "no bootstrap interval: too few "+s.unitName+
			"s hold the species to be resampled, log-t or t taken: visit more next time")
	}
}

// kg is the standing stock of a replicate with its variance between sampling units, converted as the survey's was.
//
// A ratio of the survey is estimated anew from the weighed quadrats that were drawn. Of another model, corrected by the
// mean residual, the correction is estimated anew and the parameters move by their influences, one step of a new fit;
// the choice between models is held. What was converted from outside stays as it is: its error is added to the
// bootstrap's (see resampled.interval).
func (r replicate) kg(of readings, w weight) (value, variance float64) {
	var again weight
	switch {
	case w.domain != "survey" || w.fit == nil:
		return r.total(w.summed)
	case w.conversion == byRatio:
		again = r.ownRatio(r.readings(of))
	default:
		again = r.refitted(of, w)
	}
	return again.total.total, again.own.v
}

// refitted is the generalised regression estimate of a replicate.
func (r replicate) refitted(of readings, w weight) weight {
	place := make([]int, len(of.cover)) // of each weighed quadrat among the weighed
	n := 0
	for i := range of.cover {
		place[i] = n
		if of.paired(i) {
			n++
		}
	}
	f, now := *w.fit, r.readings(of)
	f.infl, f.cov = nil, [2][2]float64{} // the error of parameters fitted elsewhere is not the units'
	move := moved{curve: f.curve}
	for i, q := range r.pick {
		if now.paired(i) {
			a := w.fit.infl[place[q]]
			a[0], a[1] = a[0]*r.factor[i], a[1]*r.factor[i]
			move.by[0], move.by[1] = move.by[0]+a[0], move.by[1]+a[1]
			f.infl = append(f.infl, a)
		}
	}
	f.curve = move
	a := w.fronds
	if a != nil {
		drawn := *a
		drawn.kg, drawn.logs = r.picked(a.kg), r.picked(a.logs)
		a = &drawn
	}
	weights := r.design.total(coverOrKg(now)).weight
	return r.corrected(now, r.weighings(now, a, weights), f, a, weights)
}

// moved is a curve whose parameters have moved a little.
type moved struct {
	curve
	by [2]float64
}

func (c moved) at(q look) float64 {
	m := c.slope(q)
	return c.curve.at(q) + m[0]*c.by[0] + m[1]*c.by[1]
}
