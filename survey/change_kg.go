package survey

import (
	"math"
	"slices"
)

// comparison is a species at two surveys on their common ground.
type comparison struct {
	g    *ground
	opt  Options
	a, b side
}

// cover fills in the change of cover. Areas are taken as known.
func (x *comparison) cover(out *Change) {
	if !x.a.cover.OK || !x.b.cover.OK {
		return
	}
	a, b := x.a.cover, x.b.cover
	out.Cover = missing()
	out.Cover.OK, out.Cover.Value = true, b.Value-a.Value
	if x.a.found != x.b.found {
		bound := mostShare(x.empty().units, x.opt.Confidence) * x.full().covered
		out.Cover = x.recovered(out.Cover, x.full().cover, bound)
	} else if x.a.found {
		v1, v2 := a.SE*a.SE, b.SE*b.SE
		rho := x.correlation(x.a.zCover, x.b.zCover, v1, v2)
		v := x.own(v1, v2, a.DF, b.DF, rho)
		out.Cover = plainInterval(withError(out.Cover, v), x.opt.Confidence)
	}
	out.Cover.Lo, out.Cover.Hi = max(out.Cover.Lo, -100), min(out.Cover.Hi, 100)
}

// kg fills in the change of kg, absolute and relative.
func (x *comparison) kg(out *Change) {
	if reason, next := x.notEstimable(); reason != "" {
		out.Status, out.Reason, out.Next = NotEstimable, reason, next
		return
	}
	a, b := x.a.kg, x.b.kg
	out.FromKg, out.ToKg = a.Value, b.Value
	out.Kg.OK, out.Kg.Value = true, b.Value-a.Value
	out.Paired = len(x.g.paired)
	switch {
	case x.a.found && x.b.found:
		v1, v2 := x.a.w.own.v, x.b.w.own.v
		out.Correlation = x.correlation(x.a.z, x.b.z, v1, v2)
		out.Kg = plainInterval(withError(out.Kg, x.difference(out.Correlation)), x.opt.Confidence)
		out.Relative = x.relative(out.Correlation)
	case x.a.found || x.b.found:
		full, d := x.full(), x.g.a.design
		e := withError(full.kg, satterthwaite(x.allParts(full)...))
		out.Kg = x.recovered(out.Kg, e, mostShare(x.empty().units, x.opt.Confidence)*full.density*d.area)
		if x.a.found {
			out.Relative.OK, out.Relative.Value = true, -1
		}
	}
	if x.g.part {
		out.Status = SurveyedPart
	}
}

// full is the side that found the species, empty the one that did not, where one did.
func (x *comparison) full() *side {
	if x.a.found {
		return &x.a
	}
	return &x.b
}

func (x *comparison) empty() *side {
	if x.a.found {
		return &x.b
	}
	return &x.a
}

// recovered builds the interval of a change to or from none found. With B, Lo, Hi the estimate of the side that found
// the species and U the most that the other can hold, a fall is from B to 0:
//
//	-B - (Hi - B)   to   -B + sqrt(U² + (B - Lo)²)
//
// a rise the same with the signs turned.
func (x *comparison) recovered(change, full Estimate, most float64) Estimate {
	full = full.IntervalOf(x.opt)
	above, below := full.Hi-full.Value, math.Hypot(most, full.Value-full.Lo)
	change.Level, change.Kind = x.opt.Confidence, full.Kind
	change.Lo, change.Hi = full.Value-below, full.Value+above
	if x.a.found {
		change.Lo, change.Hi = -change.Hi, -change.Lo
	}
	return change
}

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

// relative is the relative change with its interval.
func (x *comparison) relative(rho float64) Estimate {
	a, b := x.a.kg.Value, x.b.kg.Value
	e := missing()
	if !(a > 0) || !(b > 0) {
		return e
	}
	parts := []part{x.own(x.a.w.own.v/(a*a), x.b.w.own.v/(b*b), x.a.kg.DF, x.b.kg.DF, rho)}
	parts = append(parts, differenceOfShared(scaled(x.a.w.kgErrors(), 1/a), scaled(x.b.w.kgErrors(), 1/b))...)
	p := satterthwaite(append(parts, part{x.relativeAreaVariance(), math.Inf(1)})...)
	e.OK, e.Value = true, b/a-1
	e = withError(e, p)
	e.SE *= b / a
	return ratioInterval(e, math.Sqrt(p.v), x.opt.Confidence)
}

// ratioInterval gives a relative change e = R - 1 its interval R exp(-+ t s) - 1, with s the standard error of log R;
// with fewer than leastLogDF degrees of freedom R -+ t s R, not below 0.
func ratioInterval(e Estimate, s, level float64) Estimate {
	e.Level = level
	if math.IsNaN(s) || !(e.DF >= 0.5) {
		return e
	}
	t, r := tQuantile(0.5+level/2, e.DF), 1+e.Value
	if e.DF < leastLogDF {
		e.Lo, e.Hi, e.Kind = max(0, r-t*s*r)-1, r+t*s*r-1, "t"
		return e
	}
	e.Lo, e.Hi, e.Kind = r*math.Exp(-t*s)-1, r*math.Exp(t*s)-1, "log-t"
	return e
}

// withError gives an estimate its standard error and degrees of freedom.
func withError(e Estimate, p part) Estimate {
	e.SE, e.DF = math.NaN(), math.NaN()
	if !math.IsNaN(p.v) {
		e.SE, e.DF = math.Sqrt(p.v), p.df
	}
	return e
}

// plainInterval is the t interval of a number that may be negative.
func plainInterval(e Estimate, level float64) Estimate {
	e.Level, e.Lo, e.Hi = level, math.NaN(), math.NaN()
	switch {
	case !e.OK || math.IsNaN(e.SE) || !(e.DF >= 0.5):
	case e.SE == 0:
		e.Lo, e.Hi, e.Kind = e.Value, e.Value, "t"
	default:
		t := tQuantile(0.5+level/2, e.DF)
		e.Kind = "t"
		e.Lo, e.Hi = e.Value-t*e.SE, e.Value+t*e.SE
	}
	return e
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
