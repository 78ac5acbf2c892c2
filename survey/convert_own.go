package survey

import (
	"fmt"
	"math"
)

// weighings are the survey's quadrats with cover and weight.
func (s *fieldwork) weighings(r readings, a *allometry, weights []float64) *weighings {
	p := &weighings{}
	for i := range r.cover {
		if r.paired(i) {
			p.y, p.w = append(p.y, r.kg[i]), append(p.w, weights[i])
			p.q, p.units = append(p.q, r.look(i, a)), append(p.units, int(s.design.unit[i]))
		}
	}
	return p
}

// look is what was read in a quadrat.
func (r readings) look(i int, a *allometry) look {
	q := look{cover: r.cover[i], length: r.frond[i], fronds: math.NaN()}
	if a != nil {
		q.fronds, q.logs = a.kg[i], a.logs[i]
	}
	return q
}

// own converts by the survey's own weighed quadrats, with the model asked for or the best of all.
func (s *fieldwork) own(r readings, species string, c *calibrations) weight {
	var a *allometry
	why := ""
	if c.conversion == "auto" || c.conversion == byAllometry {
		a, why = c.fitAllometry(s, c.id(species))
	}
	weights := s.design.total(coverOrKg(r)).weight
	p := s.weighings(r, a, weights)
	fits := p.fits(c.conversion, a, why, r)
	at, note := wanted(fits, c.conversion)
	var w weight
	if fits[at].Model == byRatio {
		w = s.ownRatio(r)
	} else {
		w = s.corrected(r, p, fits[at], a, weights)
	}
	w.candidates, w.fit, w.fronds = candidatesOf(fits, at), &fits[at], a
	if note != "" {
		w.notes = append(w.notes, note)
	}
	return w
}

// corrected is the generalised regression estimate of a two-phase survey by any model m of kg/m2. With w the design
// weights, phase 1 the quadrats that hold the species, phase 2 those of them that were weighed, W_1 and W_2 the sums of
// their weights and e = y - m,
//
//	B = Σ_1 w (m + ebar),   ebar = Σ_2 w e / W_2
//
// which is right on average whatever the model, as long as quadrats were weighed at random; a better model lowers the
// variance. (Quadrats without the species have none, known without weighing.) B is moved by phase 1 through the
// quadrats' m + ebar and by each weighed quadrat through
//
//	ψ = W_1/W_2 w (e - ebar) + d·ι,   d = Σ_1 w m' - W_1/W_2 Σ_2 w m'
//
// m' the derivatives of m to its parameters and ι the quadrat's influence on them: the second part grows as what was
// weighed differs from the whole (the conditional term). So
//
//	v = v_1(Σ w (m + ebar)) + v(Σ ψ) + 2 cov,   v(Σ ψ) = c/(c-1) (n-1)/(n-p) Σ_c (Σ_{i in c} ψ_i)²
//
// over c sampling units, n weighed quadrats with cover and p parameters. Of quadrats that are their own units this is
// s_e² (1/n + (xbar' - xbar)²/Σ(x - xbar)²) for a line. Degrees of freedom by Satterthwaite from those of the design
// and the smaller of n - 2 and c - 1.
//
// References:
//   - Cochran, W. G.: Sampling Techniques, 3rd ed. Wiley (1977), sections 12.6-12.7
//   - Särndal, C.-E., Swensson, B. and Wretman, J.: Model Assisted Survey Sampling. Springer (1992), sections 6.5, 9.7
//   - Breidt, F. J. and Opsomer, J. D.: Model-assisted survey estimation with modern prediction techniques. Statistical
//     Science 32 (2017) 190-205
func (s *fieldwork) corrected(r readings, p *weighings, f fit, a *allometry, weights []float64) weight {
	g := s.regress(r, p, f, a, weights)
	out := s.spread(g.summed)
	out.conversion, out.domain = f.Model, "survey"
	phase2 := clusteredProduct(g.psi, p.units, 0, 0, p.covered(), f.lost)
	phase2.df = min(phase2.df, float64(p.covered()-2))
	parts := make([]float64, s.design.units)
	for j, v := range g.psi {
		parts[p.units[j]] += v[0]
	}
	sampled := max(0, out.sampled+2*s.design.cov(out.total.unit, parts))
	if math.IsNaN(out.sampled) {
		sampled = math.NaN()
	}
	outside := part{quadratic(g.d, f.cov), f.covDF}
	out.own = satterthwaite(part{sampled, s.design.dfOf(out.total.unit)}, phase2, outside)
	out.linear = parts
	if distinct(p.units) < 2 && s.design.units > 1 {
		out.notes = append(out.notes, "weighed in one transect only: the error of weight per cover is taken between quadrats")
	}
	lo, hi := p.span()
	out.notes = append(out.notes, beyond(r, f, lo, hi)...)
	out.kg = composite(r, positive(g.summed))
	return out
}

// regression is what the generalised regression estimate is made of.
type regression struct {
	summed []float64    // per quadrat: m + ebar, what was weighed where the cover is blank
	psi    [][2]float64 // per weighed quadrat: ψ, 0
	d      [2]float64
}

func (s *fieldwork) regress(r readings, p *weighings, f fit, a *allometry, weights []float64) regression {
	w1, w2, sum := 0.0, 0.0, 0.0
	rest := make([]float64, len(p.y))
	var d1, d2 [2]float64
	for j, q := range p.q {
		rest[j] = p.y[j] - f.curve.at(q)
		m := f.curve.slope(q)
		w2, sum = w2+p.w[j], sum+p.w[j]*rest[j]
		d2[0], d2[1] = d2[0]+p.w[j]*m[0], d2[1]+p.w[j]*m[1]
	}
	ebar := sum / w2
	g := regression{summed: make([]float64, len(r.cover)), psi: make([][2]float64, len(p.y))}
	for i, x := range r.cover {
		switch {
		case math.IsNaN(x):
			g.summed[i] = r.kg[i]
		case r.holds(i):
			q := r.look(i, a)
			m := f.curve.slope(q)
			g.summed[i] = f.curve.at(q) + ebar
			w1 += weights[i]
			d1[0], d1[1] = d1[0]+weights[i]*m[0], d1[1]+weights[i]*m[1]
		}
	}
	for k := range g.d {
		g.d[k] = d1[k] - w1/w2*d2[k]
	}
	for j := range g.psi {
		g.psi[j][0] = w1/w2*p.w[j]*(rest[j]-ebar) + g.d[0]*f.infl[j][0] + g.d[1]*f.infl[j][1]
	}
	return g
}

// clusteredProduct is the covariance of two sums of influences (which are 0 in all) between clusters,
//
//	c/(c-1) (n-1)/(n-p) Σ_c (Σ a)(Σ b)
//
// between points where there is one cluster. n is the number of points and p the number of parameters fitted to them.
func clusteredProduct(infl [][2]float64, clusters []int, k, l, n, lost int) part {
	places, rows, alone := clustersOf(clusters)
	sums := make([][2]float64, rows)
	for i, v := range infl {
		t := &sums[places[i]]
		t[0], t[1] = t[0]+v[0], t[1]+v[1]
	}
	v := 0.0
	for _, t := range sums {
		v += t[k] * t[l]
	}
	s := betweenClusters(rows, n, lost, alone)
	return part{v * s.v, s.df}
}

// betweenClusters is what the sum over clusters is multiplied by, and its degrees of freedom.
func betweenClusters(m, n, lost int, alone bool) part {
	if alone {
		m = n
	}
	return part{float64(m) / float64(m-1) * float64(n-1) / float64(n-lost), float64(m - 1)}
}

// clustersOf gives every point the place of its cluster, by their first points, of so many; where there is one cluster
// every point stands alone.
func clustersOf(clusters []int) (places []int, rows int, alone bool) {
	at := map[int]int{}
	places = make([]int, len(clusters))
	for i, c := range clusters {
		k, seen := at[c]
		if !seen {
			k = len(at)
			at[c] = k
		}
		places[i] = k
	}
	if len(at) >= 2 {
		return places, len(at), false
	}
	for i := range places {
		places[i] = i
	}
	return places, len(places), true
}

// quadratic is d'V d.
func quadratic(d [2]float64, v [2][2]float64) float64 {
	return max(0, d[0]*d[0]*v[0][0]+2*d[0]*d[1]*v[0][1]+d[1]*d[1]*v[1][1])
}

// positive is x with what lies below 0 at 0: a line through thin quadrats can cross it.
func positive(x []float64) []float64 {
	out := make([]float64, len(x))
	for i, v := range x {
		out[i] = v
		if v < 0 {
			out[i] = 0
		}
	}
	return out
}

// beyond notes quadrats whose cover lies outside what was weighed, where the model bends or has an intercept.
func beyond(r readings, f fit, lo, hi float64) []string {
	if f.Model != byLinear && f.Model != byPower {
		return nil
	}
	n := r.count(func(i int) bool { return r.cover[i] > 0 && (r.cover[i] < lo || r.cover[i] > hi) })
	if n == 0 {
		return nil
	}
	return []string{fmt.Sprintf("cover of %s outside what was weighed (%g to %g %%): weigh thin and thick ones next time",
		counted(n, "quadrat"), lo, hi)}
}
