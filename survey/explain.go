package survey

import (
	"math"
	"slices"
	"strings"
)

// Explanation is how a [Stock] came about: the numbers that its formulas are made of, so that it can be followed by
// hand. With the fields of Strata, Groups, Units, Conversion and Parts
//
//	B = Σ_h Area KgM2 (Strata),   v = Σ V (Parts),   SE = sqrt(v),   df = v² / Σ V²/DF,   Lo, Hi = B -+ T SE
//
// or Lo, Hi = B exp(-+ T sqrt(log(1 + SE²/B²))) where Stock.Kg.Kind is "log-t"; the lower end of a t interval is not
// below 0.
type Explanation struct {
	Stock     Stock
	Unit      string // what the sampling units are: "transect", "quadrat"
	SampledM2 float64
	Strata    []StratumPart // visited
	Unvisited []string      // labels of strata not visited
	Groups    []GroupPart   // of the variance between sampling units
	Units     []UnitPart    // none where nothing was found or it could not be weighed

	Conversion ConversionPart
	Parts      []VariancePart // of the variance of Stock.Kg; none where it has no standard error
	T          float64        // quantile of Student's t for Stock.Kg; NaN without one
	Next       string         // what to measure next time where there is no number or it is of a part only
}

// StratumPart is one stratum in the sum of a stock.
type StratumPart struct {
	Label                          string  // empty for a bed without strata
	Area, AreaSE                   float64 // m2
	Units, Quadrats, With, Weighed int
	M2                             float64 // of its quadrats
	Cover                          float64 // percent, mean by size of quadrats; NaN where blank
	KgM2                           float64 // mean by size of quadrats; NaN unknown
}

// GroupPart is a stratum, or several that share a transect, in the variance between sampling units,
//
//	V = FPC n/(n-1) Σ (z - zbar)²
//
// over the Z of its n units. Of a single unit V is FPC z² (lonely "adjust"), 0 ("certainty"), or the mean of the other
// groups ("average").
type GroupPart struct {
	Strata []string
	Units  int
	FPC    float64 // finite population correction; 1 for none
	V      float64 // kg²
}

// UnitPart is a sampling unit in the variance,
//
//	Z = Σ A_h m2/M_h (y - ybar_h)
//
// over its quadrats, with M_h the m2 of all quadrats of the stratum. A conversion by the survey's own weighed quadrats
// moves B by C more: X Σ w (y - k x) / Σ w x for the ratio, the first sum over its weighed quadrats and the second over
// all that were weighed; Σ ψ of the generalised regression for other models.
type UnitPart struct {
	Label, Stratum string
	Group          int // index in Groups
	Quadrats       int
	M2, KgM2       float64 // KgM2 by size of quadrats
	Z              float64 // kg
	C              float64 // kg: what its weighed quadrats add by a conversion of the survey's own; 0 without one
}

// ConversionPart is how what was read became weight. Numbers that do not belong to the model are NaN.
type ConversionPart struct {
	Model, Domain string // as in Stock
	ID            string // of the error shared with other stocks, empty for none
	Params        []Param
	Pairs, Units  int     // weighed quadrats with cover, and the sampling units they lie in; fronds for allometry
	Beds          int     // of the calibration; 0 for one of the survey's own
	VK, VKDF      float64 // variance of k
	X             float64 // Σ w x: what k multiplies, percent m2
	Scale         float64 // of a model other than the ratio fitted to other surveys too: weight is Scale times the model
	Rest          float64 // mean of what was weighed less the model, kg/m2, added to every quadrat that holds it
	Converted     float64 // kg of B that were converted and not weighed
	Between       BedRatios
	TauSquared    float64 // variance between beds that was used, of k or of the scale of the model
	CV            float64 // of a given conversion
}

// Kinds of [VariancePart].
const (
	PartSampling    = "sampling"     // between sampling units, with the covariance of a conversion of the survey's own
	PartWeighing    = "weighing"     // of a conversion by the survey's own weighed quadrats
	PartCurve       = "curve"        // of weight on length, fitted to single fronds
	PartCalibration = "calibration"  // of a conversion by weighed quadrats of other surveys too
	PartClass       = "classes"      // cover that was read in classes
	PartBeds        = "between beds" // beds that differ in weight per cover
	PartGiven       = "given"        // of a conversion given in the species table
	PartArea        = "area"         // of the area of the bed
)

// VariancePart is one component of the variance of a stock with its degrees of freedom, +Inf where it is known.
type VariancePart struct {
	Kind       string
	V          float64 // kg²
	DF         float64
	Between    float64 // of PartSampling: the sum of the groups
	Covariance float64 // of PartSampling: 2 cov(Z, C), by groups as Between; V is the sum of both, not below 0
	Factor     float64 // of PartWeighing: V = Factor Σ C²; NaN where weighed in one unit, and V is between quadrats
	ID         string  // of the error, where other stocks share it
}

// Explain takes the stocks of a species on a bed, of every survey by date, apart. The numbers are those of [Stocks] for
// the same folder and options, made by the same functions. It is empty where no survey looked for the species there,
// and panics as Stocks does.
func Explain(f *Folder, opt Options, bed, species string) []Explanation {
	return explainAll(f, opt, func(b string) bool { return b == bed }, func(s string) bool { return s == species })
}

// explainAll takes the stocks of some beds and species apart, sorted by bed, species and date.
func explainAll(f *Folder, opt Options, ofBed, ofSpecies func(string) bool) []Explanation {
	e, visits := layOut(f, opt)
	e.lengths = newLengths(f, e.calibrations.fronds)
	var out []Explanation
	for _, s := range visits {
		if s.design == nil || !ofBed(s.bedID) {
			continue
		}
		for _, st := range e.stocks(s) {
			if ofSpecies(st.Species) {
				out = append(out, e.explain(s, st))
			}
		}
	}
	slices.SortStableFunc(out, func(a, b Explanation) int { return compareStocks(a.Stock, b.Stock) })
	return out
}

// explain takes one stock apart.
func (e *estimator) explain(s *fieldwork, st Stock) Explanation {
	out := Explanation{Stock: st, Unit: s.unitName, Unvisited: s.unvisited, T: math.NaN(), Next: e.next(st, s)}
	for _, m2 := range s.design.m2 {
		out.SampledM2 += m2
	}
	r := s.readings(&e.f.Quadrats, s.species[speciesID(e.f, st.Species)])
	x := explainer{e: e, s: s, st: &st, r: r}
	if st.QuadratsWith > 0 {
		x.w = s.weigh(r, e.species(st.Species), st.Species, e.calibrations)
	}
	out.Strata = x.strata()
	out.Conversion = x.conversion()
	if !st.Kg.OK || x.w.kg == nil {
		return out
	}
	out.Groups, out.Units = x.groups(), x.units()
	if st.Kg.SE == st.Kg.SE {
		out.Parts = x.parts()
	}
	if st.Kg.Kind == "t" || st.Kg.Kind == "log-t" {
		out.T = tQuantile(0.5+st.Kg.Level/2, st.Kg.DF)
	}
	return out
}

// next is what to measure where a stock has no number, no error, or is of a part only.
func (e *estimator) next(st Stock, s *fieldwork) string {
	var out []string
	switch {
	case st.Status == NotEstimable:
		out = append(out, nextTime(st.Reason))
	case st.QuadratsWith > 0 && (math.IsNaN(st.Kg.SE) || math.IsNaN(st.Kg.Lo)):
		out = append(out, "place at least two "+s.unitName+"s in every stratum")
	}
	if len(s.unvisited) > 0 {
		out = append(out, "visit stratum "+strings.Join(s.unvisited, ", "))
	}
	return strings.Join(out, "; ")
}
