package survey

import (
	"fmt"
	"math"
	"slices"
)

// amount is an amount per m2 of a bed at a survey, known per quadrat, as a term of a sum.
type amount struct {
	s      *fieldwork
	y      []float64 // per quadrat
	total  bedTotal  // of y
	unit   []float64 // per sampling unit: part of the linearised total, conversion included
	excess float64   // variance beyond that of unit
	v      float64   // of its own error on the whole bed
	fewer  float64   // degrees of freedom of that error over those of the design
	shared []sharedPart
	by     float64 // factor
}

// sharedPart is an error shared with other amounts, in units of the total.
type sharedPart struct {
	id     string
	se, df float64
}

// newAmount totals y, which is 0 outside the domain. A stratum without a quadrat inside is known to hold 0 and adds no
// error, also where it has a single sampling unit.
func newAmount(s *fieldwork, y []float64, inside []bool) amount {
	d := s.design
	t := d.total(y)
	touched := make([]bool, len(d.strata))
	for i, in := range inside {
		touched[d.stratum[i]] = touched[d.stratum[i]] || in
	}
	if slices.Contains(touched, false) {
		center := d.centers(t)
		clear(t.unit)
		for i, v := range y {
			if h := d.stratum[i]; touched[h] && !math.IsNaN(v) {
				t.unit[d.unit[i]] += t.weight[i] * (v - center[h])
			}
		}
	}
	return amount{s: s, y: y, total: t, unit: slices.Clone(t.unit), by: 1}
}

// bedSum is a sum of amounts of one bed at one survey.
type bedSum struct {
	s          *fieldwork
	y          []float64
	total      bedTotal
	unit       []float64
	excess     float64
	vSum, vDF  float64 // Σ v and Σ v/fewer of the amounts
	inside     []bool
	own        part
	area       float64
	noVariance bool
}

// grandSum is a linear combination of amounts over beds.
type grandSum struct {
	value  float64
	ground float64 // m2, where the sum is a mean over the ground; else 0
	beds   []*bedSum
	shared []sharedPart
}

// add joins an amount. Amounts of one bed are summed before their variance is taken; shared errors of one ID add up.
func (s *grandSum) add(a amount, inside []bool) {
	s.value += a.by * a.total.total
	b := s.bed(a, inside)
	for i, v := range a.y {
		b.y[i] += a.by * v
	}
	b.total.total += a.by * a.total.total
	for h, m := range a.total.means {
		b.total.means[h] += a.by * m
	}
	for c := range a.unit {
		b.unit[c] += a.by * a.unit[c]
		b.total.unit[c] += a.by * a.total.unit[c]
	}
	b.excess += a.by * a.by * a.excess
	if v := a.by * a.by * a.v; v > 0 {
		b.vSum += v
		b.vDF += v / a.fewer
	}
	for _, e := range a.shared {
		s.share(sharedPart{e.id, a.by * e.se, e.df})
	}
}

// bed is the sum of the amount's bed and survey.
func (s *grandSum) bed(a amount, inside []bool) *bedSum {
	for _, b := range s.beds {
		if b.s == a.s {
			return b
		}
	}
	d := a.s.design
	b := &bedSum{s: a.s, y: make([]float64, len(a.y)), unit: make([]float64, d.units), inside: inside,
		total: bedTotal{means: make([]float64, len(d.strata)), unit: make([]float64, d.units), weight: a.total.weight}}
	s.beds = append(s.beds, b)
	return b
}

func (s *grandSum) share(e sharedPart) {
	for i := range s.shared {
		if s.shared[i].id == e.id {
			s.shared[i].se += e.se
			return
		}
	}
	s.shared = append(s.shared, e)
}

// variance is the variance of the sum: its own part, the areas' (one for each bed) and the shared ones.
func (s *grandSum) variance() (own part, areas []part, shared []part) {
	var parts []part
	for _, b := range s.beds {
		b.settle()
		parts = append(parts, b.own)
	}
	for _, e := range s.shared {
		shared = append(shared, part{e.se * e.se, e.df})
	}
	own = s.pooled(parts)
	for _, b := range s.beds {
		sampled := b.own.v
		for _, p := range s.sharedOf(b) {
			sampled += p
		}
		b.area = b.s.design.areaVariance(b.y, b.total, sampled)
		if s.ground > 0 {
			b.area = b.shareVariance(s.ground, own.v)
		}
		areas = append(areas, part{b.area, math.Inf(1)})
	}
	return own, areas, shared
}

// shareVariance is what the uncertainty of the areas adds to a mean over the ground: as [design.shareVariance], over all
// beds. The means of the sum are those of strata less the mean, over the ground.
func (b *bedSum) shareVariance(ground, sampled float64) float64 {
	d, v := b.s.design, 0.0
	if d.areaSE > 0 {
		return d.areaVariance(b.y, b.total, b.own.v)
	}
	for h, st := range d.strata {
		if st.areaSE > 0 {
			excess := (1-2*st.area/ground)*orZero(d.meanVariance(b.y, b.total, h)) + orZero(sampled)/(ground*ground)
			v += st.areaSE * st.areaSE * max(0, b.total.means[h]*b.total.means[h]-excess)
		}
	}
	return v
}

// sharedOf are the shared variances where the sum is of one bed: Goodman's formula takes them off with the rest.
func (s *grandSum) sharedOf(*bedSum) []float64 {
	if len(s.beds) > 1 {
		return nil
	}
	var out []float64
	for _, e := range s.shared {
		out = append(out, e.se*e.se)
	}
	return out
}

// pooled sums the beds' own variances, with their degrees of freedom added up or, by group, by Satterthwaite.
func (s *grandSum) pooled(parts []part) part {
	if len(s.beds) > 0 && s.beds[0].s.design.byGroup {
		return satterthwaite(parts...)
	}
	out := part{}
	for _, p := range parts {
		out.v += p.v
		out.df += p.df
	}
	return out
}

// settle finds the bed's own variance and its degrees of freedom. Those are the design's (of the domain), in proportion
// changed where a conversion made on the bed has others: by the harmonic mean over the amounts, weighted by variance.
func (b *bedSum) settle() {
	d := b.s.design
	if b.noVariance {
		b.own = part{math.NaN(), math.NaN()}
		return
	}
	v := d.cov(b.unit, b.unit) + b.excess
	units, groups := d.domainUnits(b.inside)
	df := float64(units - groups)
	if d.byGroup {
		df = min(df, d.satterthwaite(b.total.unit))
	}
	if by := b.vSum / b.vDF; math.Abs(by-1) > 1e-9 {
		df *= by
	}
	b.own = part{v, df}
	if v < 0 {
		b.own.v = 0
	}
}

// estimate writes the sum as an estimate with its interval.
func (s *grandSum) estimate(opt Options) Estimate {
	e := missing()
	e.OK, e.Value = true, s.value
	own, area, shared := s.variance()
	parts := append(append([]part{own}, shared...), area...)
	if all := satterthwaite(parts...); !math.IsNaN(all.v) {
		e.SE, e.DF = math.Sqrt(all.v), all.df
	}
	return e.IntervalOf(opt)
}

// ratioTerms divides the sum by another: the linear form of the ratio, whose value is R and whose terms are (num - R den)/D.
func ratioTerms(num, den []amount) (ratio float64, terms []amount, below float64) {
	n, d := 0.0, 0.0
	for _, a := range num {
		n += a.by * a.total.total
	}
	for _, a := range den {
		d += a.by * a.total.total
	}
	ratio = n / d
	for _, a := range num {
		a.by /= d
		terms = append(terms, a)
	}
	for _, a := range den {
		a.by *= -ratio / d
		terms = append(terms, a)
	}
	return ratio, terms, d
}

// few warns where degrees of freedom counted by units promise more than twice what the strata and beds that carry the
// error have.
func (s *grandSum) few() string {
	if len(s.beds) == 0 || s.beds[0].s.design.byGroup {
		return ""
	}
	var parts []part
	units := 0.0
	for _, b := range s.beds {
		b.settle()
		if b.own.v > 0 && b.own.df > 0 {
			d := b.s.design
			parts = append(parts, part{b.own.v, min(b.own.df, d.satterthwaite(b.total.unit))})
		}
		units += orZero(b.own.df)
	}
	held := satterthwaite(parts...).df
	if len(parts) == 0 || units <= 2*held {
		return ""
	}
	return fmt.Sprintf("interval too narrow: most of the error comes from few strata or beds, with about %.0f degrees of "+
		"freedom instead of %.0f (df = \"satterthwaite\" in rules.toml); lay more units there", held, units)
}

// effect is the design effect of the sum over all beds, of the quadrats in the domain.
func (s *grandSum) effect() float64 {
	n, w, m, sampled := 0.0, 0.0, 0.0, 0.0
	each := func(do func(w, y float64)) {
		for _, b := range s.beds {
			for i, in := range b.inside {
				if in && !math.IsNaN(b.y[i]) {
					do(b.total.weight[i], b.y[i])
				}
			}
		}
	}
	each(func(wi, y float64) { n, w, m = n+1, w+wi, m+wi*y })
	m /= w
	ss := 0.0
	each(func(wi, y float64) { ss += wi * (y - m) * (y - m) })
	for _, b := range s.beds {
		sampled += b.s.design.cov(b.total.unit, b.total.unit)
	}
	if ss == 0 || n < 2 {
		return math.NaN()
	}
	return sampled / (w * ss / (n - 1))
}
