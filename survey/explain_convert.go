package survey

import (
	"math"
	"slices"
)

// conversion is how what was read became weight.
func (x explainer) conversion() ConversionPart {
	nan := math.NaN()
	out := ConversionPart{Model: x.st.Conversion, Domain: x.st.Domain, VK: nan, VKDF: nan, X: nan, Scale: nan, Rest: nan, Converted: nan,
		TauSquared: nan, CV: nan, Between: x.st.BedRatios}
	if x.w.kg == nil {
		return out
	}
	if i := slices.IndexFunc(x.w.candidates, func(c Candidate) bool { return c.Chosen }); i >= 0 {
		out.Params, out.Pairs = x.w.candidates[i].Params, x.w.candidates[i].N
	}
	switch {
	case out.Model == "direct":
		out.Converted = 0
	case out.Model == "given":
		x.explainGiven(&out)
	case x.w.linear != nil:
		x.explainOwn(&out)
	case out.Model == byAllometry:
		out.Converted = x.s.predicted(x.r, x.w, x.w.summed)
		if len(x.w.errors) > 0 {
			out.ID = x.w.errors[0].ID
		}
	default:
		x.explainWide(&out)
	}
	return out
}

// explainGiven fills in a conversion of the species table.
func (x explainer) explainGiven(out *ConversionPart) {
	sp := x.e.species(x.st.Species)
	out.ID = x.w.errors[0].ID
	out.Params = []Param{{"a", sp.CoverA.V}, {"b", sp.CoverB.Or(1)}}
	out.CV = sp.CoverCV.Or(guessedCoverCV)
	out.Converted = x.s.predicted(x.r, x.w, x.w.summed)
}

// explainOwn fills in a conversion by the survey's own weighed quadrats.
func (x explainer) explainOwn(out *ConversionPart) {
	weights := x.weights()
	if out.Model == byRatio {
		fit, _, units, n := x.s.ownFit(x.r, weights)
		vk := x.ownRatio(weights)
		out.Params, out.Pairs, out.Units = []Param{{"k", fit.k}}, n, distinct(units)
		out.VK, out.VKDF, out.X = vk.v, vk.df, x.bigX(weights)
		out.Converted = fit.k * out.X
		return
	}
	f, a, p := x.ownModel(weights)
	out.Pairs, out.Units = p.covered(), distinct(p.units)
	for i := range x.r.cover {
		if x.r.holds(i) && !math.IsNaN(x.r.cover[i]) {
			out.Rest = x.w.summed[i] - f.curve.at(x.r.look(i, a))
			break
		}
	}
	out.Converted = x.w.total.total
}

// explainWide fills in a calibration from other surveys too.
func (x explainer) explainWide(out *ConversionPart) {
	cal, n, _ := x.e.calibrations.wide(x.st.Species, x.s.shore, x.s.date.Year())
	out.ID, out.Pairs, out.Beds, out.TauSquared = x.w.errors[0].ID, n, cal.beds, cal.tau.v
	out.Converted = x.s.predicted(x.r, x.w, x.w.summed)
	if cal.model != nil {
		out.Scale = cal.model.kappa
	}
	if out.Model == byRatio {
		out.Params = []Param{{"k", cal.k}}
		out.VK, out.VKDF, out.X = cal.vk.v, cal.vk.df, x.s.predicted(x.r, x.w, x.r.cover)
	}
}

// guessedCoverCV is the CV of a given conversion that has none.
const guessedCoverCV = 0.5
