package survey

import (
	"fmt"
	"math"
	"strings"
)

// blank is a stock with what all species of a survey share.
func (s *fieldwork) blank(species string) Stock {
	st := Stock{
		Bed: s.bedID, Species: species, Survey: s.label, From: s.from, To: s.to, Date: s.date,
		Area: s.design.area, BedArea: s.bedArea, Cover: missing(), Kg: missing(), Exploitable: 1,
		Quadrats: len(s.quads), PSU: s.design.units, DensityWith: math.NaN(), DesignEffect: math.NaN(),
		Conversion: "none", OwnCV: math.NaN(), Status: OK,
	}
	v := s.design.areaSE * s.design.areaSE
	for _, h := range s.design.strata {
		v += h.areaSE * h.areaSE
	}
	st.AreaSE = math.Sqrt(v)
	return st
}

// noneFound fills in a species that was looked for in vain: 0, without error or bounds, of which the sample says
// nothing. Where the species stands elsewhere but could be converted to weight in no survey, its weight is not known
// here either.
func (e *estimator) noneFound(st *Stock, s *fieldwork, sp *Species) weight {
	nan := math.NaN()
	none := Estimate{OK: true, SE: nan, DF: s.design.df(), Lo: nan, Hi: nan, Level: e.opt.Confidence}
	st.Cover = none
	st.Warnings = append(st.Warnings, "none found")
	if reason := e.calibrations.never(st.Species, sp); reason != "" {
		return weight{conversion: "none", reason: reason}
	}
	st.Kg, st.DensityWith = none, 0
	return weight{}
}

// cover estimates the percent cover of the surveyed part. Uncertain areas of strata add to its error what they change
// of the shares of the strata.
func (e *estimator) cover(st *Stock, s *fieldwork, r readings) {
	if n := r.count(func(i int) bool { return math.IsNaN(r.cover[i]) }); n > 0 {
		st.Warnings = append(st.Warnings, fmt.Sprintf("cover blank in %s holding it: cover not estimated", counted(n, "quadrat")))
		return
	}
	t := s.design.total(r.cover)
	v := s.design.cov(t.unit, t.unit)
	c := missing()
	letters := classVariance(r.coverClasses(t.weight))
	all := satterthwaite(part{v + s.design.shareVariance(r.cover, t, v), s.design.dfOf(t.unit)}, part{letters, math.Inf(1)})
	c.OK, c.Value, c.DF = true, t.total/s.design.area, all.df
	c.SE = math.Sqrt(all.v) / s.design.area
	if math.IsNaN(c.SE) {
		c.DF = math.NaN()
	}
	if note := r.classNote(); note != "" {
		st.Warnings = append(st.Warnings, note)
	}
	c = c.IntervalOf(e.opt)
	c.Hi = min(c.Hi, 100)
	st.Cover = c
	st.DesignEffect = s.design.effect(r.cover, t, v)
}

// kg fills in the standing stock.
func (e *estimator) kg(st *Stock, s *fieldwork, w weight) {
	st.Conversion, st.Domain = w.conversion, w.domain
	st.Candidates, st.BedRatios = w.candidates, w.between
	st.Warnings = append(st.Warnings, w.notes...)
	b := w.total.total
	if w.kg == nil || math.IsNaN(b) {
		return
	}
	variance := satterthwaite(append([]part{w.own}, w.shared...)...)
	area := s.design.areaVariance(w.summed, w.total, variance.v)
	all := satterthwaite(append([]part{w.own, {area, math.Inf(1)}}, w.shared...)...)
	st.Kg.OK, st.Kg.Value = true, b
	if !math.IsNaN(all.v) {
		st.Kg.SE, st.Kg.DF = math.Sqrt(all.v), all.df
	}
	st.Kg = st.Kg.IntervalOf(e.opt)
	st.DesignEffect = s.design.effect(w.summed, w.total, w.sampled)
	if b <= 0 {
		return
	}
	st.OwnCV = math.Sqrt(w.own.v) / b
	for _, e := range w.errors {
		if e.CV > 0 {
			st.Shared = append(st.Shared, e)
		}
	}
	if area > 0 {
		st.Shared = append(st.Shared, SharedError{s.areaID(), math.Sqrt(area) / b})
	}
}

// areaID names the error of the bed's area: another one from the day the bed was measured again.
func (s *fieldwork) areaID() string {
	if s.areaFrom == NoDay {
		return "area|" + s.bedID
	}
	return "area|" + s.bedID + "|" + s.areaFrom.String()
}

// occupied is the share of the surveyed area on which a quadrat would hold the species.
func (s *fieldwork) occupied(r readings) float64 {
	held := make([]float64, len(r.cover))
	for i := range held {
		if r.holds(i) {
			held[i] = 1
		}
	}
	return s.design.total(held).total / s.design.area
}

// describe counts the sampling units that hold the species and their mean density.
func (s *fieldwork) describe(st *Stock, r readings, w weight) {
	d := s.design
	holds := make([]bool, d.units)
	for i := range r.cover {
		holds[d.unit[i]] = holds[d.unit[i]] || r.holds(i)
	}
	kg, m2 := make([]float64, d.units), make([]float64, d.units)
	for i, y := range w.kg {
		kg[d.unit[i]] += y * d.m2[i]
		m2[d.unit[i]] += d.m2[i]
	}
	sum := 0.0
	for c, h := range holds {
		if h {
			st.PSUWith++
			sum += kg[c] / m2[c]
		}
	}
	if st.Kg.OK && st.PSUWith > 0 {
		st.DensityWith = sum / float64(st.PSUWith)
	}
}

// conclude sets status and reason, and adds the warnings that all species of the survey share.
func (s *fieldwork) conclude(st *Stock, w weight, lonely string) {
	st.Warnings = append(st.Warnings, s.notes...)
	var reasons []string
	one := s.design.lonelyStrata()
	switch {
	case lonely == "fail" && len(one) > 0:
		nan := math.NaN()
		for _, e := range []*Estimate{&st.Cover, &st.Kg} {
			e.OK, e.SE, e.DF, e.Lo, e.Hi = false, nan, nan, nan, nan
		}
		st.OwnCV, st.Shared = nan, nil
		reasons = append(reasons, "one sampling unit in stratum "+strings.Join(one, ", "))
	case w.reason != "":
		reasons = append(reasons, w.reason)
	case s.noArea:
		st.Kg, st.Area, st.BedArea = missing(), 0, 0
		st.OwnCV, st.Shared = math.NaN(), nil
		reasons = append(reasons, "area of the bed not known")
	case !st.Kg.OK:
		reasons = append(reasons, "neither cover nor weight could be used")
	}
	if len(reasons) > 0 {
		st.Status = NotEstimable
	}
	if len(s.unvisited) > 0 {
		if st.Status == OK {
			st.Status = SurveyedPart
		}
		reasons = append(reasons, "not visited: stratum "+strings.Join(s.unvisited, ", "))
	}
	st.Reason = strings.Join(reasons, "; ")
}

// counted is a number with its noun, in the plural but for 1.
func counted(n int, noun string) string {
	if n == 1 {
		return "1 " + noun
	}
	return fmt.Sprintf("%d %ss", n, noun)
}
