package survey

import (
	"math"
	"slices"
)

// correlation is that of the sampling errors of two totals with the given variances, by the parts of paired units; 0
// where they are independent.
func (x *comparison) correlation(a, b []float64, v1, v2 float64) float64 {
	if x.g.union == nil || !(v1 > 0) || !(v2 > 0) {
		return 0
	}
	u1, u2 := x.g.a.design.uncorrected().cov(a, a), x.g.b.design.uncorrected().cov(b, b)
	rho := x.g.cov(a, b) / math.Sqrt(u1*u2)
	if math.IsNaN(rho) {
		return 0
	}
	return max(-1, min(1, rho))
}

// uncorrected is the design without finite population correction: a correlation is that of the units, however many of
// all there are were visited.
func (d *design) uncorrected() *design {
	out := *d
	out.fpc = nil
	return &out
}

// own is the variance of a difference from the variances of its two sides and the correlation of their errors, with its
// degrees of freedom: those of the paired units, of which there are as many on both sides, and those of the units
// visited once, in proportion to their number.
//
//	v = v1 + v2 - 2 rho sqrt(v1 v2)
func (x *comparison) own(v1, v2, df1, df2, rho float64) part {
	m := float64(len(x.g.paired))
	s1, s2 := m/float64(x.a.units), m/float64(x.b.units)
	both := s1*v1 + s2*v2 - 2*rho*math.Sqrt(v1*v2)
	both = max(both, 0)
	if m == 0 {
		return satterthwaite(part{v1, df1}, part{v2, df2})
	}
	p := satterthwaite(part{both, min(s1*df1, s2*df2)}, part{(1 - s1) * v1, (1 - s1) * df1}, part{(1 - s2) * v2, (1 - s2) * df2})
	p.v = max(0, v1+v2-2*rho*math.Sqrt(v1*v2))
	return p
}

// difference is the variance of the change in kg with every error in it.
func (x *comparison) difference(rho float64) part {
	parts := []part{x.own(x.a.w.own.v, x.b.w.own.v, x.a.kg.DF, x.b.kg.DF, rho)}
	parts = append(parts, differenceOfShared(x.a.w.kgErrors(), x.b.w.kgErrors())...)
	return satterthwaite(append(parts, part{x.areaVariance(rho), math.Inf(1)})...)
}

// sharedKg is an error that a stock shares with others, in kg (or as a fraction), with its degrees of freedom.
type sharedKg struct {
	id string
	se float64
	df float64
}

// kgErrors are the shared errors of a conversion in kg.
func (w weight) kgErrors() []sharedKg {
	var out []sharedKg
	for i, e := range w.errors {
		df := math.Inf(1)
		if i < len(w.shared) {
			df = w.shared[i].df
		}
		out = append(out, sharedKg{e.ID, e.CV * w.total.total, df})
	}
	return out
}

func scaled(errors []sharedKg, by float64) []sharedKg {
	out := slices.Clone(errors)
	for i := range out {
		out[i].se *= by
	}
	return out
}

// differenceOfShared are the variances that shared errors add to a difference: (a2 - a1)² where both sides have the
// error, the square where one has it.
func differenceOfShared(a, b []sharedKg) []part {
	var out []part
	for _, e := range a {
		d := e.se
		if i := slices.IndexFunc(b, func(o sharedKg) bool { return o.id == e.id }); i >= 0 {
			d -= b[i].se
		}
		out = append(out, part{d * d, e.df})
	}
	for _, e := range b {
		if !slices.ContainsFunc(a, func(o sharedKg) bool { return o.id == e.id }) {
			out = append(out, part{e.se * e.se, e.df})
		}
	}
	return out
}

// allParts are the variances of one side: its own, the shared and that of the areas.
func (x *comparison) allParts(s *side) []part {
	out := []part{{s.w.own.v, s.kg.DF}}
	out = append(out, s.w.shared...)
	return append(out, part{s.s.design.areaVariance(s.w.summed, s.w.total, satterthwaite(out...).v), math.Inf(1)})
}

// areaVariance is what the uncertainty of the areas adds to the variance of the change, by Goodman's formula with the
// difference of the means:
//
//	Σ_h v(A_h) ((ybar2_h - ybar1_h)² - v(ybar2_h - ybar1_h))
//
// terms below 0 left out. The areas are the same at both surveys, and so is their error.
func (x *comparison) areaVariance(rho float64) float64 {
	a, b := x.g.a.design, x.g.b.design
	if cv := x.g.areaCV; cv > 0 {
		d := x.b.kg.Value - x.a.kg.Value
		v := x.own(x.a.w.own.v, x.b.w.own.v, 1, 1, rho).v
		return max(0, cv*cv*(d*d-orZero(v)))
	}
	sum := 0.0
	for h, s := range a.strata {
		j := strataIndex(b, a, h)
		if !(s.areaSE > 0) || j < 0 {
			continue
		}
		d := x.b.w.total.means[j] - x.a.w.total.means[h]
		v1, v2 := orZero(a.meanVariance(x.a.w.summed, x.a.w.total, h)), orZero(b.meanVariance(x.b.w.summed, x.b.w.total, j))
		sum += s.areaSE * s.areaSE * max(0, d*d-v1-v2+2*rho*math.Sqrt(v1*v2))
	}
	return sum
}

// relativeAreaVariance is what the areas add to the variance of log B2 - log B1: Σ_h v(A_h) (ybar2_h/B2 - ybar1_h/B1)²,
// nothing where there is one stratum.
func (x *comparison) relativeAreaVariance() float64 {
	a, b := x.g.a.design, x.g.b.design
	sum := 0.0
	if x.g.areaCV > 0 {
		return 0
	}
	for h, s := range a.strata {
		j := strataIndex(b, a, h)
		if !(s.areaSE > 0) || j < 0 {
			continue
		}
		d := x.b.w.total.means[j]/x.b.kg.Value - x.a.w.total.means[h]/x.a.kg.Value
		sum += s.areaSE * s.areaSE * d * d
	}
	return sum
}

// strataIndex is the stratum of b with the label of stratum h of a, -1 for none.
func strataIndex(b, a *design, h int) int {
	return slices.IndexFunc(b.strata, func(t stratum) bool { return t.label == a.strata[h].label })
}
