package growth

import "math"

// pull is what the surveys of a bed say of its log r and log K as a normal: the precision Λ and Λ times the mean.
//
// With it r and K of the bed are standardised given what the beds have in common. If the surveys were a normal likelihood,
//
//	(log r_b, log K_b) = m + L z,   P = Λ + diag(1/φ², 1/ω²) = (L Lᵀ)^-1,   P m = Λ mean + (log r/φ², log K/ω²)
//
// would make z standard normal whatever θ is, so that θ moves with z held fixed as if it had no beds to carry. With Λ = 0 it
// is the parameterisation that is not centred, with Λ without end the centred one.
//
// References:
//   - Papaspiliopoulos, O., Roberts, G. O. and Sköld, M.: A general framework for the parametrization of hierarchical
//     models. Statistical Science 22 (2007)
type pull struct{ rr, rk, kk, hr, hk float64 }

// lead is the change of coordinates from z to log r and log K.
type lead struct {
	r, k       float64 // the means
	rr, kr, kk float64 // L
	logDet     float64 // log |L| less that of the prior's, log φ ω
}

// given is the change of coordinates where log r ~ r and log K ~ k before the surveys.
func (l *pull) given(r, k normal) lead {
	pr, pk := 1/(r.sd*r.sd), 1/(k.sd*k.sd)
	a, b, c := l.rr+pr, l.rk, l.kk+pk
	hr, hk := l.hr+r.mean*pr, l.hk+k.mean*pk
	det := a*c - b*b
	rr := math.Sqrt(c / det)
	out := lead{r: (c*hr - b*hk) / det, k: (a*hk - b*hr) / det, rr: rr, kr: -b / det / rr, kk: 1 / math.Sqrt(c)}
	out.logDet = math.Log(out.rr * out.kk / (r.sd * k.sd))
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

// pulled estimates the pull from draws of the posterior. For a density L(x) N(x; μ, D^-1) Stein's identity gives, for any
// weight that depends on θ alone and with the weighted mean x̄,
//
//	E[w (∂ log p/∂x_i) (x_j - x̄_j)] = -E[w] δ_ij,   ∂ log p/∂x = -Λ (x - mean) - D (x - μ)
//
// which is linear in Λ; the weights φ² and ω² keep it bounded.
type pulled struct{ row [2]pulledRow }

// pulledRow are the sums of one row: of the weight, of x, of its products, of x-μ and of its products with x.
type pulledRow struct{ w, x0, x1, x00, x01, x11, d, d0, d1 float64 }

func (p *pulled) add(r, k float64, prior [2]normal) {
	for i := range p.row {
		s, x := &p.row[i], [2]float64{r, k}
		w, d := prior[i].sd*prior[i].sd, x[i]-prior[i].mean
		s.w += w
		s.x0 += w * r
		s.x1 += w * k
		s.x00 += w * r * r
		s.x01 += w * r * k
		s.x11 += w * k * k
		s.d += d
		s.d0 += d * r
		s.d1 += d * k
	}
}

// solve is the pull; where draws are too few or too odd for a precision, none.
func (p *pulled) solve() pull {
	var lam, mean [2][2]float64
	for i := range p.row {
		s := &p.row[i]
		m0, m1 := s.x0/s.w, s.x1/s.w
		a00, a01, a11 := s.x00/s.w-m0*m0, s.x01/s.w-m0*m1, s.x11/s.w-m1*m1
		b0, b1 := -(s.d0-m0*s.d)/s.w, -(s.d1-m1*s.d)/s.w
		if i == 0 {
			b0++
		} else {
			b1++
		}
		det := a00*a11 - a01*a01
		lam[i] = [2]float64{(a11*b0 - a01*b1) / det, (a00*b1 - a01*b0) / det}
		mean[i] = [2]float64{m0, m1}
	}
	out := pull{rr: max(lam[0][0], 0), kk: max(lam[1][1], 0)}
	out.rk = (lam[0][1] + lam[1][0]) / 2
	if most := 0.95 * math.Sqrt(out.rr*out.kk); math.Abs(out.rk) > most {
		out.rk = math.Copysign(most, out.rk)
	}
	r, k := &p.row[0], &p.row[1] // Λ (x̄ - mean) = -E[x - μ]/E[w]
	out.hr = out.rr*mean[0][0] + out.rk*mean[0][1] + r.d/r.w
	out.hk = out.rk*mean[1][0] + out.kk*mean[1][1] + k.d/k.w
	if math.IsNaN(out.rr + out.rk + out.kk + out.hr + out.hk) {
		return pull{}
	}
	return out
}
