package survey

import (
	"math"

	"gonum.org/v1/gonum/mat"
)

// wideModel is a model other than the ratio, fitted to weighed quadrats of several surveys and scaled so that it gives
// their whole weight.
type wideModel struct {
	fit
	p     *weighings
	kappa float64 // Σ m2 y / Σ m2 m
	sum   float64 // Σ m2 m

	root   *mat.Dense // see [wideModel.gather]; nil: not worked out yet
	scale  part       // variance = scale |root x|²
	lo, hi float64    // cover of what was weighed, percent
}

// calibrateBy fits the model asked for, or the best, over the pairs of a domain. A model m other than the ratio is
// scaled by
//
//	κ = Σ m2 y / Σ m2 m
//
// and how beds differ is then the variance τ² of their own κ about 1, as it is that of their k for the ratio.
func calibrateBy(sets []pairs, conversion string) calibration {
	c := calibrate(sets)
	if conversion == byAllometry { // sums over fronds need no weighed quadrat
		conversion = byRatio
	}
	p := pooled(sets)
	fits := p.fits(conversion, nil, "", readings{})
	at, note := wanted(fits, conversion)
	if c.note = note; fits[at].Model == byRatio {
		c.candidates = candidatesOf(fits, at)
		return c
	}
	m := &wideModel{fit: fits[at], p: p}
	sy := 0.0
	for i, q := range p.q {
		sy, m.sum = sy+p.w[i]*p.y[i], m.sum+p.w[i]*m.curve.at(q)
	}
	m.kappa = sy / m.sum
	c = calibrate(m.predicted(sets))
	m.gather()
	c.model, c.candidates = m, candidatesOf(fits, at)
	return c
}

// pooled are the weighed quadrats of several surveys, by size.
func pooled(sets []pairs) *weighings {
	p := &weighings{}
	for _, s := range sets {
		p.y, p.w, p.units = append(p.y, s.kg...), append(p.w, s.m2...), append(p.units, s.units...)
		for i := range s.kg {
			p.q = append(p.q, look{cover: s.cover[i], length: s.length[i], fronds: math.NaN()})
		}
	}
	return p
}

// predicted are the pairs with what the model gives in place of cover, so that their ratios are about 1.
func (m *wideModel) predicted(sets []pairs) []pairs {
	out := make([]pairs, len(sets))
	at := 0
	for i, s := range sets {
		out[i] = s
		out[i].cover = make([]float64, len(s.cover))
		for j := range s.cover {
			out[i].cover[j] = m.kappa * m.curve.at(m.p.q[at])
			at++
		}
	}
	return out
}

// wider converts by a calibration from other surveys too.
func (s *fieldwork) wider(r readings, cal calibration, species string) weight {
	if cal.model == nil {
		w := s.wideRatio(r, cal, species)
		w.candidates, w.between = cal.candidates, cal.between
		return s.noted(w, cal.note)
	}
	return s.noted(s.wideCurve(r, cal, species), cal.note)
}

// noted adds a note that is not empty.
func (s *fieldwork) noted(w weight, note string) weight {
	if note != "" {
		w.notes = append(w.notes, note)
	}
	return w
}

// wideCurve is wideRatio for another model. With M = Σ w κ m over the quadrats that were not weighed, D the
// derivatives of M to the parameters and ι the influence of the calibration's quadrats on them, the error of the
// calibration is that of Σ ψ between its sampling units, with
//
//	ψ = D·ι + M ( m2 (y - κ m)/κ - Σ m2 m'·ι )/Σ m2 m
//
// and that between beds M² τ². ψ is linear in M and D: see [wideModel.gather].
func (s *fieldwork) wideCurve(r readings, cal calibration, species string) weight {
	m := cal.model
	pred := make([]float64, len(r.cover))
	slope := [2][]float64{make([]float64, len(pred)), make([]float64, len(pred))}
	for i := range pred {
		q := r.look(i, nil)
		d := m.curve.slope(q)
		pred[i], slope[0][i], slope[1][i] = m.kappa*m.curve.at(q), m.kappa*d[0], m.kappa*d[1]
	}
	out := s.spread(composite(r, positive(pred)))
	out.conversion, out.domain, out.candidates, out.between = m.Model, cal.domain, cal.candidates, cal.between
	big := s.predicted(r, out, pred)
	d := [2]float64{s.predicted(r, out, slope[0]), s.predicted(r, out, slope[1])}
	v := m.variance(big, d)
	out.shared = []part{v, {big * big * cal.tau.v, cal.tau.df}}
	out.errors = []SharedError{{cal.id + "|" + m.Model, math.Sqrt(v.v) / out.total.total},
		{"bed|" + s.bedID + "|" + species, big * math.Sqrt(cal.tau.v) / out.total.total}}
	out.notes = append(s.outside(cal), beyond(r, m.fit, m.lo, m.hi)...)
	return out
}

// gather works out, once for all stocks that use the calibration, what their errors need of its quadrats: with a row of U
// for each sampling unit, of the sums over its quadrats of what M, D1 and D2 are multiplied by in ψ, the variance between
// units is a multiple of
//
//	|U x|² = |R x|², x = (M, D1, D2), U = QR
func (m *wideModel) gather() {
	var a [2]float64 // Σ m2 m'
	for i, q := range m.p.q {
		s := m.curve.slope(q)
		a[0], a[1] = a[0]+m.p.w[i]*s[0], a[1]+m.p.w[i]*s[1]
	}
	units, rows, alone := clustersOf(m.p.units)
	u := mat.NewDense(max(rows, 3), 3, nil)
	for i, q := range m.p.q {
		e := m.p.w[i] * (m.p.y[i]/m.kappa - m.curve.at(q))
		for k, v := range [3]float64{(e - a[0]*m.infl[i][0] - a[1]*m.infl[i][1]) / m.sum, m.infl[i][0], m.infl[i][1]} {
			u.Set(units[i], k, u.At(units[i], k)+v)
		}
	}
	var qr mat.QR
	qr.Factorize(u)
	m.root = &mat.Dense{}
	qr.RTo(m.root)
	m.scale = betweenClusters(rows, m.p.covered(), m.lost, alone)
	m.lo, m.hi = m.p.span()
}

// variance is that of Σ ψ.
func (m *wideModel) variance(big float64, d [2]float64) part {
	if m.root == nil {
		m.gather()
	}
	var rx mat.VecDense
	rx.MulVec(m.root, mat.NewVecDense(3, []float64{big, d[0], d[1]}))
	return part{m.scale.v * mat.Dot(&rx, &rx), m.scale.df}
}
