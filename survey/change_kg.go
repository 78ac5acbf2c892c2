package survey

import "math"

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
