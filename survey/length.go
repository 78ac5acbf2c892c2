package survey

import (
	"cmp"
	"math"
	"slices"
	"strings"
)

// Sources of lengths.
const (
	FromFronds = "fronds"           // fronds.csv
	FromMeans  = "means"            // frond_cm of quadrats.csv, lognormal about it
	FromBoth   = "fronds and means" // fronds where a quadrat has them, else its mean
)

// LengthSummary is how long the fronds of a species were on a bed at a survey, see [Lengths]. Estimates that cannot be
// had are not OK. Kind of the intervals is "t" or "log-t" (the mean), "woodruff" (percentiles), "logit" (shares) or "all
// alike" (recruits where all fronds are on one side).
type LengthSummary struct {
	Bed, Species, Survey string
	From, To, Date       Day

	Source    string  // FromFronds, FromMeans, FromBoth, empty for no lengths
	CountedBy string  // what quadrats count by: weight, cover, area
	Fronds    int     // measured one by one
	Quadrats  int     // with measured fronds
	Means     int     // further quadrats with a mean length
	Units     int     // sampling units with lengths
	Effective float64 // fronds of equal weight that would tell as much, (Σ w)²/Σ w²; NaN with means
	Known     float64 // share of the stock that stands in quadrats with lengths, 0-1

	Mean        Estimate           // cm, over fronds
	Percentiles []LengthPercentile // cm, over fronds: 5, 25, 50, 75 and 95 %
	Longest     Num                // cm, of the measured fronds
	Bins        []LengthBin

	Recruits    Estimate // share of fronds shorter than recruit_cm
	LongEnough  Estimate // share of weight in fronds of min_length_cm and more
	AboveLeave  Estimate // share of weight that stands above leave_cm
	Exploitable Estimate // share of weight above leave_cm in fronds that may be cut, as Stock.Exploitable

	Status   Status
	Reason   string
	Warnings []string
}

// percents are the probabilities of LengthSummary.Percentiles.
var percents = []float64{0.05, 0.25, 0.5, 0.75, 0.95}

// Lengths summarises the lengths of every species found at every survey of every bed, sorted by bed, species and date.
//
// Two things are told apart. Of the fronds (mean, percentiles, recruits, Bins.Fronds) each counts alike wherever it
// stands; of the weight (the other shares, Bins.Weight) each counts by its weight L^b. The fronds that were measured in
// a quadrat are taken as a fair sample of its fronds; so they stand for the quadrat, however many were measured. The
// quadrat stands for as much of the bed's weight W as in [Stocks] (its stratum's area over its sampled area, times
// kg/m2), and for W/mean(L^b) fronds. With M quadrats and n_i fronds measured in quadrat i,
//
//	mean over fronds = Σ_i N_i/n_i Σ_j L_ij / Σ_i N_i,   N_i = W_i / (Σ_j L_ij^b / n_i)
//	share of weight  = Σ_i W_i Σ_j L_ij^b s_ij / Σ_j L_ij^b / Σ_i W_i
//
// with s_ij the share of frond j that counts. No count of fronds is needed, but a fair choice of them is: who measures
// the longest gets them. Where few fronds a quadrat are measured (fewer than 10) lengths come out somewhat low, a bias
// of the ratio W/Σ L^b of order 1/n_i that the intervals do not hold. b is fitted as in [Allometries], else 2 with a standard error of 0.5. Quadrats of which the
// mean length frond_cm is known, but no frond was measured, count with lognormal lengths about it. Quadrats without
// lengths are taken to be like the others; LengthSummary.Known says how much they hold.
//
// Variances are linearised between sampling units (see [Stocks]), with the errors of b and of the spread of lengths.
// Shares have intervals on the logit; percentiles those of Woodruff. A species without any length is not estimable, as
// are shares without recruit_cm, min_length_cm or leave_cm in the species table.
//
// It panics on options that [Stocks] refuses.
//
// References:
//   - Särndal, C.-E., Swensson, B. and Wretman, J.: Model Assisted Survey Sampling. Springer (1992), sections 5.6, 5.11
//   - Lumley, T.: Complex Surveys. Wiley (2010), sections 2.2-2.4
func Lengths(f *Folder, opt Options) []LengthSummary {
	e, visits := layOut(f, opt)
	e.lengths = newLengths(f, e.calibrations.fronds)
	widths := binWidths(f)
	out := ofVisits(visits, func(s *fieldwork) []LengthSummary { return e.lengthsIn(s, widths) })
	slices.SortStableFunc(out, func(a, b LengthSummary) int {
		return cmp.Or(cmp.Compare(a.Bed, b.Bed), cmp.Compare(a.Species, b.Species), cmp.Compare(a.Date, b.Date),
			cmp.Compare(a.Survey, b.Survey))
	})
	return out
}

// lengthsIn summarises the species of a survey.
func (e *estimator) lengthsIn(s *fieldwork, widths map[uint32]float64) (out []LengthSummary) {
	fronds := e.lengths.of(e.f, s)
	for id, rows := range s.species {
		r := s.readings(&e.f.Quadrats, rows)
		if r.count(r.holds) > 0 {
			out = append(out, e.lengthsOf(s, e.f.Names[id], r, fronds[id], widths[id]))
		}
	}
	return out
}

// lengthsOf summarises one species of a survey.
func (e *estimator) lengthsOf(s *fieldwork, species string, r readings, fronds []frond, width float64) LengthSummary {
	sp := e.species(species)
	w := s.weigh(r, sp, species, e.calibrations)
	l := newLengthSample(s, r, w, fronds, e.lengths.spread(species))
	out := LengthSummary{Bed: s.bedID, Species: species, Survey: s.label, From: s.from, To: s.to, Date: s.date,
		Effective: math.NaN(), Mean: missing(), Recruits: missing(), LongEnough: missing(), AboveLeave: missing(),
		Exploitable: missing(), Status: OK}
	if len(l.parts) == 0 {
		out.Percentiles = l.percentiles(percents, e.opt.Confidence)
		out.Status, out.Reason = NotEstimable, "no lengths: measure fronds in some quadrats of every transect"
		if l.lost > 0 {
			out.Warnings = append(out.Warnings, l.doubts(e.f.Names)...)
		}
		return out
	}
	l.describe(&out)
	l.shares(&out, sp, e.opt.Confidence)
	out.Mean = l.estimate(meanLength()).Interval(e.opt.Confidence)
	out.Percentiles = l.percentiles(percents, e.opt.Confidence)
	out.Bins = l.bins(width)
	out.Warnings = l.doubts(e.f.Names)
	l.conclude(&out)
	return out
}

// describe counts what the lengths come from.
func (l *lengthSample) describe(out *LengthSummary) {
	out.CountedBy, out.Known = l.by, l.known
	out.Fronds, out.Quadrats, out.Means = l.counts()
	out.Units, _ = l.units()
	switch {
	case out.Means == 0:
		out.Source = FromFronds
	case out.Fronds == 0:
		out.Source = FromMeans
	default:
		out.Source = FromBoth
	}
	sum, squares := 0.0, 0.0
	for j, w := range l.frondWeights(l.model()) {
		sum, squares = sum+w, squares+w*w
		if p := l.parts[j]; p.measured && p.length > out.Longest.V {
			out.Longest = Some(p.length)
		}
	}
	if out.Source == FromFronds {
		out.Effective = sum * sum / squares
	}
}

// shares estimates the shares that the species table draws lines for.
func (l *lengthSample) shares(out *LengthSummary, sp *Species, level float64) {
	if sp == nil {
		return
	}
	if sp.RecruitLen.OK {
		out.Recruits = l.shareOfFronds(shorter(sp.RecruitLen.V, false), level)
	}
	if sp.MinLength.OK {
		out.LongEnough = l.share(taken(sp.MinLength.V, 0), level)
	}
	if sp.Leave.OK {
		out.AboveLeave = l.share(taken(sp.Leave.V, sp.Leave.V), level)
	}
	if rule, ok := ruleOf(sp); ok {
		out.Exploitable = l.share(taken(rule.c, rule.leave), level)
	}
}

// conclude sets the status.
func (l *lengthSample) conclude(out *LengthSummary) {
	out.Warnings = append(out.Warnings, l.s.notes...)
	if len(l.s.unvisited) > 0 {
		out.Status, out.Reason = SurveyedPart, "not visited: stratum "+strings.Join(l.s.unvisited, ", ")
	}
	if one := l.s.design.lonelyStrata(); l.s.design.lonely == "fail" && len(one) > 0 {
		out.Status, out.Reason = NotEstimable, "one sampling unit in stratum "+strings.Join(one, ", ")
		for _, e := range []*Estimate{&out.Mean, &out.Recruits, &out.LongEnough, &out.AboveLeave, &out.Exploitable} {
			e.OK = false
		}
		for i := range out.Percentiles {
			out.Percentiles[i].OK = false
		}
	}
}
