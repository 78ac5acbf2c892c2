package growth

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"bedstock/model/internal/elementary"
)

// Path is the way from one time to another through dated takes and storms, ready to be walked for many r and K.
type Path struct {
	steps []pathStep
	rest  float64 // ∫ g dt after the last step, years
}

// pathStep is growth up to an event, then the event.
type pathStep struct {
	growth float64 // ∫ g dt since the step before, years
	kg     float64 // taken
	left   float64 // share left, 1 where it is a take
}

// NewPath lays out the way from t1 to t2 (years). Takes and storms dated in [t1, t2) are on it, others are not: what
// happens on the day of a survey comes after that survey. On one date storms come before takes, and equal kinds keep
// their order. A storm with Left NaN leaves the fraction unknownLeft. It panics when t2 is before t1, when a take is
// negative or not a number, and when a storm leaves a fraction outside [0, 1].
func NewPath(season Season, t1, t2 float64, cuts []Pulse, storms []Storm, unknownLeft float64) Path {
	if !(t2 >= t1) {
		panic(fmt.Sprintf("growth: path from %v back to %v", t1, t2))
	}
	type event struct {
		t    float64
		step pathStep
	}
	var events []event
	for _, s := range storms {
		left := s.Left
		if math.IsNaN(left) {
			left = unknownLeft
		}
		if !(left >= 0 && left <= 1) {
			panic(fmt.Sprintf("growth: a storm that leaves the fraction %v", left))
		}
		if s.T >= t1 && s.T < t2 {
			events = append(events, event{s.T, pathStep{left: left}})
		}
	}
	for _, c := range cuts {
		if !(c.Kg >= 0) {
			panic(fmt.Sprintf("growth: a take of %v kg", c.Kg))
		}
		if c.T >= t1 && c.T < t2 && c.Kg > 0 {
			events = append(events, event{c.T, pathStep{kg: c.Kg, left: 1}})
		}
	}
	slices.SortStableFunc(events, func(a, b event) int { return cmp.Compare(a.t, b.t) })
	var p Path
	at := t1
	for _, e := range events {
		e.step.growth = season.Integral(at, e.t)
		p.steps = append(p.steps, e.step)
		at = e.t
	}
	p.rest = season.Integral(at, t2)
	return p
}

// Advance walks the path from the stock 1/u (kg) with the growth rate r (per year) and the ceiling 1/invK (kg), and
// returns the inverse of the stock at its end; +Inf where a take was as large as the stock before it. It does not
// allocate.
func (p *Path) Advance(u, r, invK float64) float64 {
	for i := range p.steps {
		s := &p.steps[i]
		if s.growth != 0 {
			u = Grow(u, r*s.growth, invK)
		}
		if s.kg > 0 {
			u = TakeKg(u, s.kg)
		} else {
			u /= s.left
		}
	}
	if p.rest == 0 {
		return u
	}
	return Grow(u, r*p.rest, invK)
}

// decays appends exp(-r ∫g) of every stretch of the path to a list.
func (p *Path) decays(to []float64, r float64) []float64 {
	n := len(to)
	for i := range p.steps {
		to = append(to, -r*p.steps[i].growth)
	}
	to = append(to, -r*p.rest)
	elementary.Exp(to[n:])
	return to
}

// stretches is how many there are.
func (p *Path) stretches() int { return len(p.steps) + 1 }

// advance is Advance with the decays worked out.
func (p *Path) advance(u float64, decays []float64, invK float64) float64 {
	for i := range p.steps {
		s, e := &p.steps[i], decays[i]
		u = u*e + (1-e)*invK
		if s.kg > 0 {
			u = TakeKg(u, s.kg)
		} else {
			u /= s.left
		}
	}
	e := decays[len(p.steps)]
	return u*e + (1-e)*invK
}

// advanceSlope is advance with the derivative of its value by u.
func (p *Path) advanceSlope(u float64, decays []float64, invK float64) (end, slope float64) {
	slope = 1
	grow := func(e float64) {
		u = u*e + (1-e)*invK
		slope *= e
	}
	for i := range p.steps {
		s := &p.steps[i]
		grow(decays[i])
		if s.kg > 0 {
			before := u
			u = TakeKg(u, s.kg)
			slope *= (u / before) * (u / before)
		} else {
			u /= s.left
			slope /= s.left
		}
	}
	grow(decays[len(p.steps)])
	return u, slope
}

// Advance carries the stock B (kg) from t1 to t2 (years) through the dated takes and storms between, with the growth
// rate r (per year) and the ceiling K (kg). It is 0 where a take was as large as the stock before it. See [NewPath] for
// what counts as between; every storm must say what it left.
func Advance(B, t1, t2, r, K float64, season Season, cuts []Pulse, storms []Storm) float64 {
	p := NewPath(season, t1, t2, cuts, storms, math.NaN())
	return 1 / p.Advance(1/B, r, 1/K)
}
