package survey

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"
)

// minHolding is the number of sampling units holding a species below which intervals are known to be too narrow:
// for patchy species the real cover of a 95 % interval is then 66-88 % by simulation.
const minHolding = 10

// Stocks estimates what stands of every species on every bed at every survey, sorted by bed, species and date.
//
// There is one [Stock] for each species sought, found or not, and for each found without being sought. Cover and kg are
// totals over the surveyed strata,
//
//	B = Σ_h A_h ybar_h,   ybar_h = Σ m2 y / Σ m2
//
// with A_h the area of a stratum (m2) and y cover (percent) or weight (kg/m2) of each quadrat, a visited quadrat
// without a row of the species counting as 0. Variances are linearised, between transects or, without transects,
// between quadrats; there is no finite population correction. Cover is that total over Σ A_h. How cover becomes weight
// where not all was weighed stands in Stock.Conversion and Stock.Domain.
//
// Intervals are those of [Estimate.Interval] at opt.Confidence. SE of Kg holds every error: sampling, conversion and the
// bed's area; OwnCV only what is not in Shared. A species found in no quadrat has Kg 0 with SE 0 and no upper bound; its
// conversion is "none", as where nothing could be converted. Where some quadrats hold the species but their cover is
// blank, Cover is not OK. A survey declared but without a visited quadrat gives no stock.
//
// It panics on an unknown opt.Lonely or opt.Conversion, a window below 0 or a level outside (0, 1).
func Stocks(f *Folder, opt Options) []Stock {
	checkOptions(opt)
	var visits []*fieldwork
	for _, r := range rounds(f, opt.WindowDays) {
		visits = append(visits, newFieldwork(f, r, opt.Lonely))
	}
	e := estimator{f: f, opt: opt, sought: allNamed(f), calibrations: newCalibrations(f, visits), lengths: newLengths(f)}
	var out []Stock
	for _, s := range visits {
		if s.design != nil {
			out = append(out, e.stocks(s)...)
		}
	}
	slices.SortStableFunc(out, func(a, b Stock) int {
		return cmp.Or(cmp.Compare(a.Bed, b.Bed), cmp.Compare(a.Species, b.Species), cmp.Compare(a.Date, b.Date))
	})
	return out
}

// checkOptions panics on options that no reader of rules lets through.
func checkOptions(opt Options) {
	switch {
	case !slices.Contains([]string{"adjust", "average", "certainty", "fail"}, opt.Lonely):
		panic(fmt.Sprintf("survey: unknown lonely %q", opt.Lonely))
	case opt.Conversion != "auto" && opt.Conversion != "ratio":
		panic(fmt.Sprintf("survey: unknown conversion %q", opt.Conversion))
	case opt.WindowDays < 0:
		panic("survey: negative survey window")
	case !(opt.Confidence > 0 && opt.Confidence < 1):
		panic("survey: confidence level outside (0, 1)")
	}
}

// estimator is what all surveys share.
type estimator struct {
	f            *Folder
	opt          Options
	sought       []string // where a survey does not say
	calibrations *calibrations
	lengths      *lengths
}

// allNamed are the species named in quadrats.csv or sought by a survey, sorted.
func allNamed(f *Folder) []string {
	seen := make([]bool, len(f.Names))
	for _, id := range f.Quadrats.Species {
		seen[id] = true
	}
	var out []string
	for id, ok := range seen {
		if ok && id > 0 {
			out = append(out, f.Names[id])
		}
	}
	for _, d := range f.Surveys {
		out = append(out, d.Sought...)
	}
	slices.Sort(out)
	return slices.Compact(out)
}

// stocks estimates all species of a survey.
func (e *estimator) stocks(s *fieldwork) []Stock {
	sought := e.sought
	if s.declared != nil && s.declared.Sought != nil {
		sought = s.declared.Sought
	}
	names := slices.Clone(sought)
	for id := range s.species {
		names = append(names, e.f.Names[id])
	}
	slices.Sort(names)
	lengths := e.lengths.of(e.f, s)
	var out []Stock
	for _, name := range slices.Compact(names) {
		st := e.stock(s, name, lengths)
		if !slices.Contains(sought, name) {
			st.Warnings = append(st.Warnings, "not among the species sought: where it was not written down it need not be absent")
		}
		out = append(out, st)
	}
	return out
}

// stock estimates one species of a survey.
func (e *estimator) stock(s *fieldwork, name string, lengths map[uint32][]frond) Stock {
	id := ^uint32(0)
	if i, ok := slices.BinarySearch(e.f.Names, name); ok {
		id = uint32(i)
	}
	sp := e.species(name)
	r := s.readings(&e.f.Quadrats, s.species[id])
	st := s.blank(name)
	st.QuadratsWith = r.count(r.holds)
	st.Weighed = r.count(r.weighed)
	var w weight
	if st.QuadratsWith == 0 {
		e.noneFound(&st, s)
	} else {
		e.cover(&st, s, r)
		w = s.weigh(r, sp, name, e.calibrations)
		e.kg(&st, s, w)
	}
	s.describe(&st, r, w)
	e.exploitable(&st, s, r, w, sp, lengths[id])
	s.conclude(&st, w, e.opt.Lonely)
	return st
}

// species is the row of the species table, nil for none.
func (e *estimator) species(name string) *Species {
	i := slices.IndexFunc(e.f.Species, func(s Species) bool { return s.Name == name })
	if i < 0 {
		return nil
	}
	return &e.f.Species[i]
}

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

// noneFound fills in a species that was looked for in vain.
func (e *estimator) noneFound(st *Stock, s *fieldwork) {
	none := Estimate{OK: true, DF: s.design.df(), Hi: math.NaN(), Level: e.opt.Confidence}
	st.Cover, st.Kg = none, none
	st.DensityWith = 0
	st.Warnings = append(st.Warnings, "none found")
}

// cover estimates the percent cover of the surveyed part. The areas of strata are taken as known.
func (e *estimator) cover(st *Stock, s *fieldwork, r readings) {
	if n := r.count(func(i int) bool { return math.IsNaN(r.cover[i]) }); n > 0 {
		st.Warnings = append(st.Warnings, fmt.Sprintf("cover blank in %d quadrats holding it: cover not estimated", n))
		return
	}
	t := s.design.total(r.cover)
	v := s.design.cov(t.unit, t.unit)
	c := missing()
	c.OK, c.Value, c.SE, c.DF = true, t.total/s.design.area, math.Sqrt(v)/s.design.area, s.design.df()
	if math.IsNaN(c.SE) {
		c.DF = math.NaN()
	}
	c = c.Interval(e.opt.Confidence)
	c.Hi = min(c.Hi, 100)
	st.Cover = c
	st.DesignEffect = s.design.effect(r.cover, t, v)
}

// kg fills in the standing stock.
func (e *estimator) kg(st *Stock, s *fieldwork, w weight) {
	st.Conversion, st.Domain = w.conversion, w.domain
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
	st.Kg = st.Kg.Interval(e.opt.Confidence)
	st.DesignEffect = s.design.effect(w.summed, w.total, w.sampled)
	if b <= 0 {
		return
	}
	st.OwnCV = math.Sqrt(w.own.v) / b
	if w.error.CV > 0 {
		st.Shared = append(st.Shared, w.error)
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
	if st.PSUWith > 0 && st.PSUWith < minHolding {
		st.Warnings = append(st.Warnings, fmt.Sprintf("interval too narrow: only %d %s hold the species", st.PSUWith, s.unitName))
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
