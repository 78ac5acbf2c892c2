package survey

import (
	"fmt"
	"math"
)

// The middle of a class stands for the covers in it; how far their mean lies from it is not known. The error has two
// parts. How the covers of a class scatter about their own mean is between quadrats, and the variance between sampling
// units holds it already: it is the middles that are averaged, and they differ as the letters do. How far the mean of a
// class lies from its middle is one error of all quadrats of the class: more quadrats do not lessen it. Taken as even over
// the class, of width d_k, it has the variance d_k²/12, and with W_k the weights of the quadrats of class k (m2 of the bed
// that they stand for) a bed's mean cover has, besides the variance between its sampling units,
//
//	v = Σ_k d_k²/12 (W_k/A)²
//
// Classes err independently; the error of a class is one for all beds and surveys of a species, for a canopy that fills its
// quadrats lies near the top of S everywhere. Were the errors independent between quadrats (Σ d²/12 w²), the 95 %
// interval of 40 quadrats in SACFOR letters would hold the truth of a full canopy never, and of 11 kinds of beds in 0 to
// 97 % of surveys; with the shared error it is 87 to 100 % (testdata/sacfor: cover.csv).
//
// Weights that a conversion from elsewhere makes of letters err by what the conversion gives between the limits of a
// class, R, instead of d. A conversion by the survey's own weighed quadrats needs no more: it is right on average with any
// auxiliary x, so with letters as well (Särndal, Swensson & Wretman 1992, section 6.5), and its own error tells how well
// letters serve. Where a conversion from elsewhere was itself fitted to letters, the two errors partly cancel; that is not
// counted on.

// classPart is what a class adds to the error of a total: the standard error that is shared, and the class.
type classPart struct {
	class CoverClass
	se    float64
}

// id names the error of a class: one for all beds and surveys of the species.
func (c classPart) id(species string) string {
	return "class|" + c.class.Scale + "|" + c.class.Letter + "|" + species
}

// classParts sums weight times range over the quadrats of each class, for those asked for.
func (r readings) classParts(weight []float64, span func(i int, c CoverClass) float64) []classPart {
	if r.class == nil {
		return nil
	}
	sums := make([]float64, len(r.classes))
	for i, k := range r.class {
		if k > 0 {
			sums[k-1] += weight[i] * span(i, r.classes[k-1])
		}
	}
	var out []classPart
	for k, sum := range sums {
		if sum > 0 {
			out = append(out, classPart{r.classes[k], sum / math.Sqrt(12)})
		}
	}
	return out
}

// classVariance is the sum of the squares of independent errors.
func classVariance(parts []classPart) float64 {
	v := 0.0
	for _, p := range parts {
		v += p.se * p.se
	}
	return v
}

// coverClasses are the class errors of the area covered, percent times m2.
func (r readings) coverClasses(weight []float64) []classPart {
	return r.classParts(weight, func(_ int, c CoverClass) float64 { return c.Hi - c.Lo })
}

// classed adds to a conversion from elsewhere the errors of the letters that it was given; at is what it makes of a
// cover in quadrat i, kg/m2.
func (w weight) classed(r readings, species string, at func(i int, cover float64) float64) weight {
	parts := r.classParts(w.total.weight, func(i int, c CoverClass) float64 {
		if r.weighed(i) {
			return 0
		}
		return math.Abs(at(i, c.Hi) - at(i, c.Lo))
	})
	if w.total.total <= 0 {
		return w
	}
	for _, p := range parts {
		w.shared = append(w.shared, part{p.se * p.se, math.Inf(1)})
		w.errors = append(w.errors, SharedError{p.id(species), p.se / w.total.total})
	}
	return w
}

// classNote says that covers were read in classes; empty where none was.
func (r readings) classNote() string {
	for _, k := range r.class {
		if k > 0 {
			return fmt.Sprintf("cover read in classes (%s): the middle of each is taken, and the interval allows for all covers of a "+
				"class lying anywhere in it, which more quadrats do not mend", r.classes[k-1].Scale)
		}
	}
	return ""
}

// atCover is what a calibration from elsewhere makes of a cover in quadrat i, kg/m2.
func (c calibration) atCover(r readings) func(i int, cover float64) float64 {
	return func(i int, cover float64) float64 {
		if c.model == nil {
			return c.k * cover
		}
		q := r.look(i, nil)
		q.cover = cover
		return max(0, c.model.kappa*c.model.curve.at(q))
	}
}

// atCover is what the given conversion makes of a cover, kg/m2.
func (s *Species) atCover(_ int, cover float64) float64 {
	if cover == 0 {
		return 0
	}
	return s.CoverA.V * math.Pow(cover, s.CoverB.Or(1))
}
