package growth

import (
	"math"

	"bedstock/model/internal/elementary"
)

// pull is what the surveys of a bed say of its log r and log K as a normal: the precision Λ, Λ times the mean, and how that
// falls with o, what the lasting errors of its surveys come to.
//
// With it r and K of the bed are standardised given what the beds have in common. If the surveys were a normal likelihood,
//
//	(log r_b, log K_b) = m + L z,   P = Λ + diag(1/φ², 1/ω²) = (L Lᵀ)^-1,   P m = Λ mean - o C + (log r/φ², log K/ω²)
//
// would make z standard normal whatever θ is, so that θ moves with z held fixed as if it had no beds to carry. With Λ = 0 it
// is the parameterisation that is not centred, with Λ without end the centred one.
//
// Towards fast regrowth the likelihood of r is no normal but levels off: there, r of the bed keeps to that of the species. So the
// row of r in Λ holds in part where log r of the species lies far above where it mostly does, see [levelling], and log K falls with
// log r no further than to the edge.
//
// References:
//   - Papaspiliopoulos, O., Roberts, G. O. and Sköld, M.: A general framework for the parametrization of hierarchical
//     models. Statistical Science 22 (2007)
type pull struct{ rr, rk, kk, hr, hk, cr, ck float64 } // Λ, Λ mean, C

// levelling is where log r of the species mostly lies, and the sd of what lies below that: above, where the likelihood of r levels
// off towards fast regrowth, the sd says nothing.
type levelling struct{ middle, below float64 }

// reach is how many such sd above the middle the surveys tell of r.
const reach = 3

// edge is the log r from which on beds are full again before they are next surveyed, and surveys tell no more of r.
func (l *levelling) edge() float64 { return l.middle + reach*l.below }

// holds is the share of Λ that holds at log r of the species, 1/2 at the edge.
func (l *levelling) holds(logR float64) float64 {
	d := logR - l.middle
	if !(d > 0) {
		return 1
	}
	q := d / (reach * l.below)
	q *= q
	return 1 / (1 + q*q)
}

// lead is the change of coordinates from z to log r and log K.
type lead struct {
	r, k       float64 // the means
	rr, kr, kk float64 // L
	logDet     float64 // log |L| less that of the prior's, log φ ω
}

// given is the change of coordinates where log r ~ r and log K ~ k before the surveys and the lasting errors come to o.
func (l *pull) given(r, k normal, o float64, off *levelling) lead {
	pr, pk := 1/(r.sd*r.sd), 1/(k.sd*k.sd)
	holds := off.holds(r.mean)
	a, b, c := holds*l.rr+pr, holds*l.rk, l.kk+pk
	hr, hk := holds*(l.hr-l.cr*o)+r.mean*pr, l.hk-l.ck*o+k.mean*pk
	if holds < 1 {
		hk -= (1 - holds) * l.rk * off.edge()
	}
	det := a*c - b*b
	rr := math.Sqrt(c / det)
	out := lead{r: (c*hr - b*hk) / det, k: (a*hk - b*hr) / det, rr: rr, kr: -b / det / rr, kk: 1 / math.Sqrt(c)}
	out.logDet = elementary.Log(out.rr * out.kk / (r.sd * k.sd))
	return out
}

// to replaces z by log r and log K.
func (l *lead) to(v []float64) {
	v[0], v[1] = l.r+l.rr*v[0], l.k+l.kr*v[0]+l.kk*v[1]
}

// from replaces log r and log K by z.
func (l *lead) from(v []float64) {
	v[0] = (v[0] - l.r) / l.rr
	v[1] = (v[1] - l.k - l.kr*v[0]) / l.kk
}
