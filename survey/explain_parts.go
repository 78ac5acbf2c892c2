package survey

import (
	"math"
	"slices"
	"strings"
)

// explainer takes the stock of one species at one survey apart.
type explainer struct {
	e  *estimator
	s  *fieldwork
	st *Stock
	r  readings
	w  weight // zero where nothing was found
}

// strata are the terms of the sum.
func (x explainer) strata() []StratumPart {
	d := x.s.design
	out := make([]StratumPart, len(d.strata))
	cover := d.total(x.r.cover).means
	for h, st := range d.strata {
		p := &out[h]
		p.Label, p.Area, p.AreaSE, p.Units, p.Cover, p.KgM2 = st.label, st.area, st.areaSE, st.units, cover[h], math.NaN()
		switch {
		case x.w.kg != nil:
			p.KgM2 = x.w.total.means[h]
		case x.st.Kg.OK: // none found
			p.KgM2 = 0
		}
		if x.s.noArea {
			p.Area = math.NaN()
		}
	}
	for i, h := range d.stratum {
		p := &out[h]
		p.Quadrats++
		p.M2 += d.m2[i]
		if x.r.holds(i) {
			p.With++
		}
		if x.r.weighed(i) {
			p.Weighed++
		}
		if math.IsNaN(x.r.cover[i]) {
			p.Cover = math.NaN()
		}
	}
	return out
}

// groups are the groups of strata with the variance of each, as [design.cov] sums them.
func (x explainer) groups() []GroupPart {
	d := x.s.design
	out := make([]GroupPart, len(d.inside))
	for g, n := range d.inside {
		out[g] = GroupPart{Units: n, FPC: 1}
		if d.fpc != nil {
			out[g].FPC = d.fpc[g]
		}
	}
	for i, c := range d.unit {
		g := &out[d.group[c]]
		if label := d.strata[d.stratum[i]].label; !slices.Contains(g.Strata, label) {
			g.Strata = append(g.Strata, label)
		}
	}
	sum, known := 0.0, 0.0
	for g, v := range d.groupCov(x.w.total.unit, x.w.total.unit) {
		slices.Sort(out[g].Strata)
		if out[g].V = v; d.inside[g] > 1 {
			sum, known = sum+v, known+1
		}
	}
	for g, n := range d.inside {
		if n == 1 && d.lonely == "average" {
			out[g].V = sum / known
		}
	}
	return out
}

// units are the sampling units in the order of the quadrats.
func (x explainer) units() []UnitPart {
	d, names := x.s.design, x.e.f.Names
	out := make([]UnitPart, d.units)
	strata := make([][]string, d.units)
	for i, c := range d.unit {
		u, k := &out[c], x.s.quads[i]
		if u.Label = names[k.transect]; k.transect == 0 {
			u.Label = names[k.quadrat]
		}
		if label := d.strata[d.stratum[i]].label; !slices.Contains(strata[c], label) {
			strata[c] = append(strata[c], label)
		}
		u.Quadrats++
		if y := x.w.summed[i]; !math.IsNaN(y) {
			u.M2 += d.m2[i]
			u.KgM2 += d.m2[i] * y
		}
	}
	for c := range out {
		u := &out[c]
		u.KgM2 /= u.M2
		u.Z, u.Group, u.Stratum = x.w.total.unit[c], int(d.group[c]), strings.Join(strata[c], "+")
		if x.w.linear != nil {
			u.C = x.w.linear[c]
		}
	}
	return out
}

// parts are the components of the variance.
func (x explainer) parts() []VariancePart {
	w := x.w
	out := x.ownParts()
	kinds := x.sharedKinds()
	for i, p := range w.shared {
		kind := kinds[min(i, len(kinds)-1)]
		if strings.HasPrefix(w.errors[i].ID, "class|") {
			kind = PartClass
		}
		out = append(out, VariancePart{Kind: kind, V: p.v, DF: p.df, ID: w.errors[i].ID})
	}
	sum := 0.0
	for _, p := range out {
		sum += p.V
	}
	if area := x.s.design.areaVariance(w.summed, w.total, sum); area > 0 {
		out = append(out, VariancePart{Kind: PartArea, V: area, DF: math.Inf(1), ID: x.s.areaID()})
	}
	return out
}

// sharedKinds are the kinds of weight.shared.
func (x explainer) sharedKinds() []string {
	switch {
	case x.w.conversion == "given":
		return []string{PartGiven}
	case x.w.conversion == byAllometry:
		return []string{PartCurve}
	}
	return []string{PartCalibration, PartBeds}
}

// ownParts are the components of weight.own.
func (x explainer) ownParts() []VariancePart {
	w, d := x.w, x.s.design
	first := VariancePart{Kind: PartSampling, V: w.own.v, DF: w.own.df, Between: w.sampled}
	if w.linear == nil {
		if rest := w.own.v - w.sampled; rest > 1e-12*w.own.v { // fronds of the survey's own
			a, _ := x.e.calibrations.fitAllometry(x.s, speciesID(x.e.f, x.st.Species))
			first.V, first.DF = w.sampled, d.dfOf(w.total.unit)
			return []VariancePart{first, {Kind: PartCurve, V: rest, DF: a.df}}
		}
		return []VariancePart{first}
	}
	first.Covariance = 2 * d.cov(w.total.unit, w.linear)
	first.V, first.DF = max(0, w.sampled+first.Covariance), d.dfOf(w.total.unit)
	second, curve, factor := x.phaseTwo()
	out := []VariancePart{first, {Kind: PartWeighing, V: second.v, DF: second.df, Factor: factor}}
	if curve.v > 0 {
		out = append(out, VariancePart{Kind: PartCurve, V: curve.v, DF: curve.df})
	}
	return out
}

// phaseTwo is what a conversion by the survey's own weighed quadrats adds, and what the allometry in it does; weighing
// is the factor times the squares of the units' parts.
func (x explainer) phaseTwo() (weighing, curve part, factor float64) {
	weights := x.weights()
	if x.w.conversion == byRatio {
		_, _, units, _ := x.s.ownFit(x.r, weights)
		vk := x.ownRatio(weights)
		bigX := x.bigX(weights)
		return part{bigX * bigX * vk.v, vk.df}, part{}, clusterFactor(units)
	}
	f, a, p := x.ownModel(weights)
	g := x.s.regress(x.r, p, f, a, weights)
	weighing = clusteredProduct(g.psi, p.units, 0, 0, p.covered(), f.lost)
	weighing.df = min(weighing.df, float64(p.covered()-2))
	factor = clusterFactor(p.units) * float64(p.covered()-1) / float64(p.covered()-f.lost)
	return weighing, part{quadratic(g.d, f.cov), f.covDF}, factor
}

// clusterFactor is m/(m-1) of m units, NaN of one.
func clusterFactor(units []int) float64 {
	if m := float64(distinct(units)); m > 1 {
		return m / (m - 1)
	}
	return math.NaN()
}

func (x explainer) weights() []float64 { return x.s.design.total(coverOrKg(x.r)).weight }

// bigX is Σ w x over all quadrats.
func (x explainer) bigX(weights []float64) float64 {
	sum := 0.0
	for i, c := range x.r.cover {
		if !math.IsNaN(c) {
			sum += weights[i] * c
		}
	}
	return sum
}

// ownRatio is the variance of the survey's own k.
func (x explainer) ownRatio(weights []float64) part {
	fit, w, units, n := x.s.ownFit(x.r, weights)
	vk := clusteredVariance(fit, w, units)
	vk.df = min(vk.df, float64(n-2))
	return vk
}

// ownModel is the survey's own model again.
func (x explainer) ownModel(weights []float64) (fit, *allometry, *weighings) {
	c := x.e.calibrations
	var a *allometry
	why := ""
	if c.conversion == "auto" || c.conversion == byAllometry {
		a, why = c.fitAllometry(x.s, c.id(x.st.Species))
	}
	p := x.s.weighings(x.r, a, weights)
	fits := p.fits(c.conversion, a, why, x.r)
	at, _ := wanted(fits, c.conversion)
	return fits[at], a, p
}
