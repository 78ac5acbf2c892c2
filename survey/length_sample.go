package survey

import (
	"math"
	"slices"
)

// What quadrats count by when lengths are put together.
const (
	byWeight = "weight" // kg/m2, weighed or converted
	byCover  = "cover"  // percent, where nothing could be converted
	byArea   = "area"   // every quadrat with lengths alike
)

// lengthPart is one measured frond, or the lognormal fronds of a quadrat of which only the mean length is known.
type lengthPart struct {
	quad     int32
	measured bool
	length   float64 // cm: of the frond, else the mean
}

// lengthModel is how weight goes with length (w = a L^power) and the sd of log length within quadrats.
type lengthModel struct{ power, sigma float64 }

// lengthSample is what one survey of a bed knows of the lengths of a species.
//
// The fronds measured in a quadrat are taken as a fair sample of its fronds, and the quadrat as a sample of the bed. A
// quadrat that stands for W kg of the bed (design weight times kg/m2) then holds
//
//	N = W / Σ_j L_j^b * n   fronds,
//
// up to a factor that all quadrats share, so each of its n measured fronds stands for W / Σ_j L_j^b fronds of the bed.
// In shares of weight the quadrats count by W, in shares of number by N: a quadrat of short fronds has many of them.
type lengthSample struct {
	s      *fieldwork
	by     string    // what quadrats count by
	stands []float64 // per quadrat: kg/m2, percent or 1; NaN where missing
	weight []float64 // per quadrat: m2 of the bed that it stands for, 0 where missing
	parts  []lengthPart
	spread *lengthSpread
	known  float64 // share of what stands that is in quadrats with lengths
	lost   int     // fronds measured in quadrats without the species
}

// newLengthSample puts together the lengths of a survey: the measured fronds of each quadrat, else its mean length.
// Quadrats count by weight, by cover where nothing could be converted, and alike where no quadrat with lengths has
// either.
func newLengthSample(s *fieldwork, r readings, w weight, fronds []frond, spread *lengthSpread) *lengthSample {
	l := &lengthSample{s: s, spread: spread}
	l.by, l.stands, l.weight = byCover, r.cover, nil
	if w.kg != nil {
		l.by, l.stands, l.weight = byWeight, w.kg, w.total.weight
	} else {
		l.weight = s.design.total(r.cover).weight
	}
	l.collect(r, fronds)
	if len(l.parts) == 0 && l.by == byWeight {
		l.by, l.stands, l.weight = byCover, r.cover, s.design.total(r.cover).weight
		l.collect(r, fronds)
	}
	if len(l.parts) == 0 {
		l.by, l.stands = byArea, make([]float64, len(r.cover))
		for i := range l.stands {
			if r.holds(i) {
				l.stands[i] = 1
			}
		}
		l.weight = s.design.total(l.stands).weight
		l.collect(r, fronds)
	}
	return l
}

// collect fills in the parts, ordered by quadrat, of quadrats that count for something.
func (l *lengthSample) collect(r readings, fronds []frond) {
	l.parts, l.lost = nil, 0
	sorted := slices.IsSortedFunc(fronds, func(a, b frond) int { return int(a.quad) - int(b.quad) })
	if !sorted {
		fronds = slices.Clone(fronds)
		slices.SortStableFunc(fronds, func(a, b frond) int { return int(a.quad) - int(b.quad) })
	}
	at, all, known := 0, 0.0, 0.0
	for i := range r.cover {
		from := at
		for at < len(fronds) && int(fronds[at].quad) == i {
			at++
		}
		stands := l.stands[i] * l.weight[i]
		if !r.holds(i) || !(stands > 0) {
			l.lost += at - from
			continue
		}
		all += stands
		for _, f := range fronds[from:at] {
			l.parts = append(l.parts, lengthPart{int32(i), true, f.length})
		}
		if from == at && r.frond[i] > 0 {
			l.parts = append(l.parts, lengthPart{int32(i), false, r.frond[i]})
		}
		if from < at || r.frond[i] > 0 {
			known += stands
		}
	}
	l.known = known / all
}

// model is what was fitted or assumed.
func (l *lengthSample) model() lengthModel { return lengthModel{l.spread.power, l.spread.sigma} }

// counts are the measured fronds, the quadrats with them, and the quadrats with a mean length alone.
func (l *lengthSample) counts() (fronds, quadrats, means int) {
	last := int32(-1)
	for _, p := range l.parts {
		switch {
		case !p.measured:
			means++
			continue
		case p.quad != last:
			quadrats++
		}
		fronds, last = fronds+1, p.quad
	}
	return fronds, quadrats, means
}

// units are the sampling units with lengths, and their degrees of freedom: units less the groups of strata they are in.
// As for a domain in R survey, units and strata without a length do not count.
func (l *lengthSample) units() (n int, df float64) {
	inside := make([]bool, len(l.stands))
	for _, p := range l.parts {
		inside[p.quad] = true
	}
	n, groups := l.s.design.domainUnits(inside)
	return n, float64(n - groups)
}

// mass is the mean weight of the fronds of a part over the a of w = a L^b.
func (m lengthModel) mass(p lengthPart) float64 {
	if p.measured {
		return math.Pow(p.length, m.power)
	}
	mu := math.Log(p.length) - m.sigma*m.sigma/2
	return math.Exp(m.power*mu + m.power*m.power*m.sigma*m.sigma/2)
}

// below is the share of the fronds of a part that are shorter than c.
func (m lengthModel) below(p lengthPart, c float64) float64 {
	switch {
	case p.measured || m.sigma == 0:
		if p.length < c {
			return 1
		}
		return 0
	case c <= 0:
		return 0
	}
	z := (math.Log(c/p.length) + m.sigma*m.sigma/2) / m.sigma
	return 0.5 * math.Erfc(-z/math.Sqrt2)
}

// above is the weight above leave of the fronds of a part that are at least c long, over all their weight.
func (m lengthModel) above(p lengthPart, c, leave float64) float64 {
	switch {
	case !p.measured:
		return exploitableShare(p.length, m.sigma, m.power, c, leave)
	case p.length < c:
		return 0
	case leave <= 0:
		return 1
	}
	return 1 - math.Pow(leave/p.length, m.power)
}
