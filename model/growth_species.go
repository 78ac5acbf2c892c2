package model

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"bedstock/model/growth"
	"bedstock/survey"
)

// SpeciesGrowth is what the beds of a species say together.
type SpeciesGrowth struct {
	Species string
	Prior   growth.Prior
	Season  growth.Season
	Beds    []growth.BedSeries // in the order of Pool.Beds, those outside Only too
	Pool    growth.Pool
}

// runKey names a run of the growth model: a species with what was known before a day, NoDay: with all that is known.
type runKey struct {
	species string
	before  survey.Day
}

// speciesRun is one run of the growth model over the beds of a species.
type speciesRun struct {
	runKey
	units []*Unit
	beds  []growth.BedSeries
	pool  growth.Pool

	without *speciesRun // the same with nothing of the landings without a bed or species cut there; nil: no other
}

// grow asks the growth model for each species of which a unit is asked for, over all its beds: with all that is known,
// and with what was known before the first day of each running or coming season where that is less.
func (a *assessor) grow() {
	a.runs = map[runKey]*speciesRun{}
	var runs []*speciesRun
	for _, units := range a.bySpecies() {
		runs = append(runs, a.plan(units)...)
	}
	known := runs
	for _, r := range known {
		if r.without = r.unfreed(); r.without != nil {
			runs = append(runs, r.without)
		}
	}
	beds := 0
	for _, r := range runs {
		beds += len(r.beds)
	}
	done := a.out.counting(StageGrowth, beds)
	each(runs, func(r *speciesRun) {
		r.pool = a.sample(r)
		done(len(r.beds))
	})
	for _, r := range known {
		a.runs[r.runKey] = r
		if r.before != survey.NoDay {
			continue
		}
		u := r.units[0]
		out := SpeciesGrowth{Species: r.species, Prior: u.Prior, Season: u.Season, Beds: r.beds, Pool: r.pool}
		for i, u := range r.units {
			u.Growth = r.pool.Beds[i]
			if u.Growth.Status == evidenceOK {
				if reason := a.overCut(u, u.Series, u.Growth); reason != "" {
					u.Growth.Warnings = append(slices.Clip(u.Growth.Warnings), reason)
				}
			}
		}
		a.out.Species = append(a.out.Species, out)
	}
}

// bySpecies groups the units that the growth model can be asked about, by species in order; the others get their reason.
// A species of which no unit is asked for is left out.
func (a *assessor) bySpecies() [][]*Unit {
	groups := map[string][]*Unit{}
	asked := map[string]bool{}
	for _, u := range a.all {
		asked[u.Species] = asked[u.Species] || a.out.keeps(u.Pair) || a.rotates(u.Pair)
		u.Growth.Status = string(NotAssessed)
		if u.Growth.Reason = a.whyNotAsked(u); u.Growth.Reason == "" {
			u.Prior = growth.Prior{R: u.Row.R.V, RCV: u.Row.RCV.V, K: u.Row.K.V, KCV: u.Row.KCV.V}
			u.Season = seasonOf(u.Row)
			a.warnOfGrowth(u)
			groups[u.Species] = append(groups[u.Species], u)
		}
	}
	var names []string
	for name := range groups {
		if asked[name] {
			names = append(names, name)
		}
	}
	slices.Sort(names)
	out := make([][]*Unit, len(names))
	for i, name := range names {
		out[i] = groups[name]
	}
	return out
}

// whyNotAsked tells why the growth model cannot be asked about a unit; empty: it can.
func (a *assessor) whyNotAsked(u *Unit) string {
	switch {
	case len(u.Series.Surveys) == 0:
		if last := u.Stocks[len(u.Stocks)-1]; last.Reason != "" {
			return last.Reason
		}
		return "no survey gives a stock with a standard error"
	case u.Row == nil || !u.Row.InTable:
		return "no row in the species table: add one to species.csv with r_per_year, r_cv, k_kg_m2, k_cv"
	case !u.Row.R.OK || !u.Row.RCV.OK || !u.Row.K.OK || !u.Row.KCV.OK:
		return "r_per_year, r_cv, k_kg_m2 or k_cv is missing in species.csv"
	}
	return ""
}

func (a *assessor) warnOfGrowth(u *Unit) {
	if len(u.Series.Surveys) == 1 {
		u.warn("one survey: r and K are those of the species, spread around one measured stock")
	}
	if !a.out.Folder.CutsKnown {
		u.warn("cuts not known (no rows in harvest.csv): the surveys tell the stock, not how fast it grows")
	}
	if u.Row.Life == "biennial" {
		u.warn("biennial: what is left this year feeds the next years only in part; watch the share of recruits")
	}
}

// plan lays out the runs for the units of one species. Days before which equally much was known share a run.
func (a *assessor) plan(units []*Unit) []*speciesRun {
	all := &speciesRun{runKey: runKey{units[0].Species, survey.NoDay}, units: units}
	for _, u := range units {
		all.beds = append(all.beds, growth.BedSeries{Bed: u.Bed, Series: u.Series})
	}
	runs := []*speciesRun{all}
	for _, rule := range a.out.Rules.SeasonsOf(all.species) {
		from, _ := current(rule, a.out.Folder.AsOf)
		r := &speciesRun{runKey: runKey{all.species, from}}
		if !slices.ContainsFunc(runs, func(o *speciesRun) bool { return o.before == from }) && r.fill(units) {
			runs = append(runs, r)
		}
	}
	return runs
}

// fill takes into the run what was known of the units before its day; false where that is all that is known, or nothing.
func (r *speciesRun) fill(units []*Unit) bool {
	var stocks []survey.Stock
	less := false
	for _, u := range units {
		stocks = append(stocks, u.stocksBefore(r.before)...)
		less = less || u.surveysBefore(r.before) < len(u.Times)
	}
	if !less {
		return false
	}
	cvs := smoothCVs(stocks)
	for _, u := range units {
		if n := u.surveysBefore(r.before); n > 0 {
			r.units = append(r.units, u)
			r.beds = append(r.beds, growth.BedSeries{Bed: u.Bed, Series: u.seriesBefore(r.before, n, cvs)})
		}
	}
	return len(r.units) > 0
}

// seriesBefore is the series of the n surveys before a day, with the occupancy and the precision as they were known then.
func (u *Unit) seriesBefore(day survey.Day, n int, cvs cvTable) growth.Series {
	s := until(u.Series, n)
	s.Occ = occupancy(u.Where, u.stocksBefore(day)).Fraction
	s.Surveys = slices.Clone(s.Surveys)
	for i := range s.Surveys {
		if cv := cvs.cv(u.Stocks[u.Times[i]]); !math.IsNaN(cv) {
			s.Surveys[i].CV = cv
		}
	}
	return s
}

func (u *Unit) stocksBefore(day survey.Day) []survey.Stock {
	n := 0
	for n < len(u.Stocks) && u.Stocks[n].Date < day {
		n++
	}
	return u.Stocks[:n]
}

// surveysBefore counts the surveys of the series before a day.
func (u *Unit) surveysBefore(day survey.Day) int {
	n := 0
	for _, t := range u.Times {
		if u.Stocks[t].Date < day {
			n++
		}
	}
	return n
}

// known is the series and the posterior of a unit with what was known before a day; NoDay: with all that is known.
func (a *assessor) known(u *Unit, before survey.Day) (growth.Series, growth.Posterior) {
	r := a.runs[runKey{u.Species, before}]
	if r == nil { // no more was known later
		return u.Series, u.Growth
	}
	return r.of(u)
}

// of is the series and the posterior of a unit.
func (r *speciesRun) of(u *Unit) (growth.Series, growth.Posterior) {
	i, _ := r.place(u)
	return r.beds[i].Series, r.pool.Beds[i]
}

// place is where a unit stands in the run.
func (r *speciesRun) place(u *Unit) (i int, ok bool) {
	return slices.BinarySearchFunc(r.units, u.Bed, func(u *Unit, bed string) int { return strings.Compare(u.Bed, bed) })
}

// runBefore is the run with what was known of a species before a day; nil: there is none.
func (a *assessor) runBefore(species string, day survey.Day) *speciesRun {
	if r := a.runs[runKey{species, day}]; r != nil {
		return r
	}
	return a.runs[runKey{species, survey.NoDay}]
}

// forget lets go of the draws of a unit in all runs but that with all that is known: its advice has been made of them, and on a
// long shore they are much of what memory holds.
func (a *assessor) forget(u *Unit) {
	for _, r := range a.runs {
		if r.species != u.Species {
			continue
		}
		if r.before != survey.NoDay {
			r.forget(u)
		}
		if r.without != nil {
			r.without.forget(u)
		}
	}
}

func (r *speciesRun) forget(u *Unit) {
	if i, ok := r.place(u); ok {
		r.pool.Beds[i].Draws = growth.Draws{}
	}
}

// sample draws the posterior of a species over its beds. The stream is the species', so that a run with fewer surveys
// uses the same random numbers.
func (a *assessor) sample(r *speciesRun) growth.Pool {
	u := r.units[0]
	return growth.SampleBeds(r.beds, u.Prior, u.Season, a.out.plotEvidence(r.species), a.out.settings(r.species))
}

// settings are those of the growth model of a species.
func (a *Assessment) settings(species string) growth.Settings {
	r := a.Rules
	return growth.Settings{
		Seed: a.Seed, Stream: fmt.Sprintf("posterior|%s", species), Draws: a.Draws, Chains: 4,
		StormChance: r.Offtake.StormChance, StormSurvival: r.Offtake.StormSurvival,
		SigmaProcess: r.SigmaProcess, SigmaR: r.SigmaR, SigmaK: r.SigmaK, ReportedShare: r.ReportedShare, ReportedCV: r.ReportedCV,
		Level: r.Survey.Confidence,
	}
}

// seasonOf is when the species grows: peak_month counts from 1 at the start of January, 7 is the start of July.
func seasonOf(row *survey.Species) growth.Season {
	if !row.Amplitude.OK || !row.PeakMonth.OK {
		return growth.Season{}
	}
	return growth.Season{Amplitude: row.Amplitude.V, Peak: (row.PeakMonth.V - 1) / 12}
}
