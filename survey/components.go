package survey

import (
	"math"
	"slices"
)

// Components is how a species varied at one survey of a bed, for planning the next.
type Components struct {
	Stock     Stock
	QuadratM2 float64 // usual size
	Transects bool    // the sampling units are transects, else single quadrats
	Groups    []GroupComponents

	// Weight about what cover tells of it: the sum of squared residuals over that of the predictions, both of quadrats
	// that were weighed and hold the species, estimates the squared relative error of one. RestDF 0: too few were weighed.
	Rest   float64
	RestDF float64

	Reason string // why there are none; Groups is then nil
}

// GroupComponents are the variances of weight within strata that share no transect with others, (kg/m2)².
type GroupComponents struct {
	Strata   []string  // labels; one empty where the bed is one stratum
	Shares   []float64 // of the group's area
	Area     float64   // m2
	Units    int       // sampling units visited
	Mean     float64   // kg/m2
	Means    float64   // variance of the means of transects; NaN for fewer than two, or without transects
	PerMean  float64   // quadrats that such a mean is of: Within/PerMean is what quadrats add to Means
	Within   float64   // variance of quadrats within transects (all there is, without transects); NaN not known
	MeansDF  float64
	WithinDF float64
	Square   float64 // mean square of the predicted kg/m2, from which and Rest the residual variance follows
}

// VarianceComponents estimates, for every [Stock] of a folder that holds the species, the variances between transects and
// within them. With z_c = Σ_h W_h ybar_ch the mean of a transect over the strata it crosses (W_h their shares of area),
//
//	s_z² = Σ_c (z_c - zbar)²/(n - 1),   E s_z² = S_b² + mean_c Σ_h W_h² S_wh²/m_ch
//
// and S_wh² pooled over the transects, so that S_b² = s_z² - S_w²/PerMean by unweighted means, where a group has one
// stratum or its strata vary alike within; S_w² = Σ W_h S_wh² is that of quadrats laid out by area. Weight is what was weighed where all of it was, else what cover tells, of which the
// residual variance, Rest Square, is added to that within transects and what it adds to means of weights to theirs.
//
// References:
//   - Searle, S. R., Casella, G. and McCulloch, C. E.: Variance Components. Wiley (1992), section 3.6 and chapter 4
//   - Cochran, W. G.: Sampling Techniques, 3rd ed. Wiley (1977), sections 10.3-10.6
func VarianceComponents(f *Folder, opt Options) []Components {
	opt.Interval = "t" // the bootstrap tells nothing here
	e, visits := layOut(f, opt)
	e.lengths = newLengths(f, e.calibrations.fronds)
	var out []Components
	for _, s := range visits {
		if s.design == nil {
			continue
		}
		for _, st := range e.stocks(s) {
			if st.QuadratsWith > 0 {
				out = append(out, e.components(s, st))
			}
		}
	}
	slices.SortStableFunc(out, func(a, b Components) int { return compareStocks(a.Stock, b.Stock) })
	return out
}

// components of one stock.
func (e *estimator) components(s *fieldwork, st Stock) Components {
	out := Components{Stock: st, QuadratM2: s.size, Transects: s.unitName == "transect"}
	id, _ := slices.BinarySearch(e.f.Names, st.Species)
	r := s.readings(&e.f.Quadrats, s.species[uint32(id)])
	w := s.weigh(r, e.species(st.Species), st.Species, e.calibrations)
	switch {
	case !st.Kg.OK || w.kg == nil:
		out.Reason = st.Reason
		if out.Reason == "" {
			out.Reason = "its weight could not be estimated"
		}
		return out
	case slices.ContainsFunc(w.summed, math.IsNaN):
		out.Reason = "cover blank in some quadrats that were not weighed"
		return out
	}
	pred := s.predictions(r, w)
	out.Rest, out.RestDF = r.rest(pred)
	y := pred
	if w.conversion == "direct" {
		y = w.kg
	}
	out.Groups = s.groupComponents(y, pred)
	if w.conversion != "direct" {
		for g := range out.Groups {
			v := out.Rest * out.Groups[g].Square
			out.Groups[g].Within += v
			out.Groups[g].Means += v / out.Groups[g].PerMean
		}
	}
	return out
}

// predictions are kg/m2 of every quadrat as cover tells it: by the model of the conversion or, for a weighed quadrat
// that has none, by the ratio of weight to cover of all quadrats.
func (s *fieldwork) predictions(r readings, w weight) []float64 {
	kg, cover := 0.0, 0.0
	for i, y := range w.summed {
		if !math.IsNaN(r.cover[i]) {
			kg, cover = kg+w.total.weight[i]*y, cover+w.total.weight[i]*r.cover[i]
		}
	}
	out := slices.Clone(w.summed)
	if w.domain == "survey" || cover == 0 {
		return out
	}
	for i := range out {
		if r.paired(i) {
			out[i] = kg / cover * r.cover[i]
		}
	}
	return out
}

// rest is the squared relative error of a prediction.
func (r readings) rest(pred []float64) (rest, df float64) {
	errors, squares, n := 0.0, 0.0, 0.0
	for i, m := range pred {
		if r.paired(i) && m > 0 {
			e := r.kg[i] - m
			errors, squares, n = errors+e*e, squares+m*m, n+1
		}
	}
	if n < fewPairs {
		return 0, 0
	}
	return errors / squares * n / (n - 1), n - 1
}
