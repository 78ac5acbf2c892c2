package survey

import (
	"fmt"
	"math"
)

// weight is the standing stock of a species at one survey, before it is written into a [Stock].
type weight struct {
	kg         []float64 // kg/m2 per quadrat, weighed or else converted; NaN unknown; nil where nothing could be converted
	summed     []float64 // kg/m2 per quadrat as they enter the total
	total      bedTotal  // of summed
	sampled    float64   // variance of the total between sampling units
	own        part      // variance not shared with other stocks
	linear     []float64 // per sampling unit: what a conversion by the survey's own weighed quadrats adds to total.unit
	shared     []part    // calibration errors shared with other stocks
	errors     []SharedError
	conversion string
	domain     string
	candidates []Candidate
	fit        *fit       // the model of the survey's own weighed quadrats, nil for none
	fronds     *allometry // what it needs of the measured fronds
	between    BedRatios  // how beds differ in the calibration used
	reason     string     // why there is none
	notes      []string
}

// weigh turns the readings of a species into kg per m2 and their total over the bed.
//
//   - direct: every quadrat holding the species was weighed.
//   - own: at least 10 of them were weighed with cover above 0.
//   - fronds: nothing or little was weighed but all fronds were measured, as the survey's protocol or the rules say.
//   - wider: the model comes from other surveys too. What was weighed here stands as it was weighed.
//   - given: kg/m2 = CoverA cover^CoverB, where fewer than three were weighed in the whole folder.
//
// A quadrat whose cover is blank but which was weighed joins by its weight.
func (s *fieldwork) weigh(r readings, sp *Species, species string, c *calibrations) weight {
	if r.count(r.weighed) == r.count(r.holds) {
		w := s.spread(r.kg)
		w.conversion = "direct"
		return w
	}
	if r.count(func(i int) bool { return r.paired(i) && r.cover[i] > 0 }) >= soundPairs {
		return s.own(r, species, c)
	}
	cal, n, ok := c.wide(species, s.shore, s.date.Year())
	a, why := s.frondsAlone(r, c, species, ok)
	switch {
	case a != nil:
		return s.byFronds(r, a, species)
	case ok:
		return s.noted(s.wider(r, cal, species).classed(r, species, cal.atCover(r)), why)
	case sp != nil && sp.CoverA.OK:
		return s.noted(s.given(r, sp, species).classed(r, species, sp.atCover), why)
	}
	return s.noted(weight{conversion: "none", reason: tooFew(n)}, why)
}

// tooFew is why n weighed quadrats give no conversion.
func tooFew(n int) string {
	if n == 0 {
		return "nothing weighed"
	}
	return fmt.Sprintf("only %s weighed, at least %d needed", counted(n, "quadrat"), fewPairs)
}

// spread takes kg per quadrat as known and totals them.
func (s *fieldwork) spread(kg []float64) weight {
	w := weight{kg: kg, summed: kg, total: s.design.total(kg)}
	w.sampled = s.design.cov(w.total.unit, w.total.unit)
	w.own = part{w.sampled, s.design.dfOf(w.total.unit)}
	return w
}

// ownRatio converts by the ratio of the survey's own weighed quadrats. With X = Σ w x over all quadrats and k = Σ w y /
// Σ w x over the weighed ones, w the design weights,
//
//	B = k X,   v = k² v(X) + X² v(k) + 2 k X cov(X, k)
//
// The predictions need no mean residual, for it is 0 by the choice of k. v(k) is linearised between sampling units;
// the covariance, positive where the line bends upwards, comes from the units' parts of X and k. Degrees of freedom by
// Satterthwaite from those of the design and the smaller of n - 2 and the weighed units - 1.
//
// References:
//   - Cochran, W. G.: Sampling Techniques, 3rd ed. Wiley (1977), section 12.8
//   - Särndal, C.-E., Swensson, B. and Wretman, J.: Model Assisted Survey Sampling. Springer (1992), section 9.7
func (s *fieldwork) ownRatio(r readings) weight {
	weights := s.design.total(coverOrKg(r)).weight
	fit, w, units, n := s.ownFit(r, weights)
	pred := make([]float64, len(r.cover))
	bigX := 0.0
	for i, x := range r.cover {
		pred[i] = fit.k * x
		if math.IsNaN(x) {
			pred[i] = r.kg[i]
		} else {
			bigX += weights[i] * x
		}
	}
	out := s.spread(pred)
	out.conversion, out.domain = "ratio", "survey"
	vk := clusteredVariance(fit, w, units)
	vk.df = min(vk.df, float64(n-2))
	parts := make([]float64, s.design.units) // of k per unit
	for j, e := range fit.rest {
		parts[units[j]] += w[j] * e / fit.sum
	}
	sampled := max(0, out.sampled+2*bigX*s.design.cov(out.total.unit, parts))
	if math.IsNaN(out.sampled) {
		sampled = math.NaN()
	}
	out.own = satterthwaite(part{sampled, s.design.dfOf(out.total.unit)}, part{bigX * bigX * vk.v, vk.df})
	for c := range parts {
		parts[c] *= bigX
	}
	out.linear = parts
	if distinct(units) < 2 && s.design.units > 1 {
		out.notes = append(out.notes, "weighed in one transect only: the error of weight per cover is taken between quadrats")
	}
	out.kg = composite(r, pred)
	return out
}

// coverOrKg marks the quadrats that can be used: a number where either was read.
func coverOrKg(r readings) []float64 {
	out := make([]float64, len(r.cover))
	for i, x := range r.cover {
		out[i] = x
		if math.IsNaN(x) {
			out[i] = r.kg[i]
		}
	}
	return out
}

// ownFit is the ratio within the survey, with the weights and units of its pairs; n counts those with cover above 0.
func (s *fieldwork) ownFit(r readings, weights []float64) (fit slope, w []float64, units []int, n int) {
	var y, x []float64
	for i := range r.cover {
		if r.paired(i) {
			y, x, w = append(y, r.kg[i]), append(x, r.cover[i]), append(w, weights[i])
			units = append(units, int(s.design.unit[i]))
			if r.cover[i] > 0 {
				n++
			}
		}
	}
	return throughOrigin(y, x, w), w, units, n
}

// wideRatio converts the quadrats that were not weighed by a calibration from a wider domain. With X = Σ w x over
// these,
//
//	B = Σ w u,  u = y where weighed, else k x,    v = v(Σ w u) + X² (v(k) + τ²)
//
// The last term is shared with all stocks that use the calibration.
func (s *fieldwork) wideRatio(r readings, cal calibration, species string) weight {
	pred := make([]float64, len(r.cover))
	for i, x := range r.cover {
		pred[i] = cal.k * x
	}
	out := s.spread(composite(r, pred))
	out.conversion, out.domain = "ratio", cal.domain
	bigX := s.predicted(r, out, r.cover)
	out.shared = []part{{bigX * bigX * cal.vk.v, cal.vk.df}, {bigX * bigX * cal.tau.v, cal.tau.df}}
	// The error of k is that of the calibration; how this bed differs from the others (tau) stays from year to year.
	out.errors = []SharedError{{cal.id, bigX * math.Sqrt(cal.vk.v) / out.total.total},
		{"bed|" + s.bedID + "|" + species, bigX * math.Sqrt(cal.tau.v) / out.total.total}}
	out.notes = s.outside(cal)
	return out
}

// outside notes that a calibration is not the survey's own.
func (s *fieldwork) outside(cal calibration) []string {
	out := []string{fmt.Sprintf("leans on a conversion from outside: weight per cover from %s (%s weighed on %s)",
		cal.domain, counted(cal.n, "quadrat"), counted(cal.beds, "bed"))}
	if cal.n < soundPairs {
		out = append(out, fmt.Sprintf("weak conversion: only %d quadrats weighed of the species in all, at least %d needed",
			cal.n, soundPairs))
	}
	return out
}

// given converts by the user's kg/m2 = a x^b, x in percent; its error is shared.
func (s *fieldwork) given(r readings, sp *Species, species string) weight {
	pred := make([]float64, len(r.cover))
	for i, x := range r.cover {
		if pred[i] = x; x != 0 {
			pred[i] = sp.CoverA.V * math.Pow(x, sp.CoverB.Or(1))
		}
	}
	out := s.spread(composite(r, pred))
	out.conversion = "given"
	out.notes = append(out.notes, "leans on a conversion from outside: weight per cover as given in the species table")
	if !sp.CoverCV.OK {
		out.notes = append(out.notes, "the given conversion has no cover_cv: 0.5 assumed")
	}
	by := s.predicted(r, out, pred)
	cv := sp.CoverCV.Or(0.5)
	out.shared = []part{{cv * cv * by * by, math.Inf(1)}}
	out.errors = []SharedError{{"conversion|" + species, cv * by / out.total.total}}
	return out
}

// predicted is Σ w v over the quadrats that hold the species and were not weighed.
func (s *fieldwork) predicted(r readings, w weight, v []float64) float64 {
	t := 0.0
	for i := range v {
		if r.holds(i) && !r.weighed(i) && !math.IsNaN(v[i]) {
			t += w.total.weight[i] * v[i]
		}
	}
	return t
}

// composite is what was weighed, and where nothing was, the prediction.
func composite(r readings, pred []float64) []float64 {
	out := make([]float64, len(pred))
	for i := range pred {
		out[i] = r.kg[i]
		if math.IsNaN(out[i]) {
			out[i] = pred[i]
		}
	}
	return out
}
