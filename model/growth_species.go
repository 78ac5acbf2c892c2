package model

import (
	"fmt"
	"maps"
	"slices"

	"bedstock/model/growth"
	"bedstock/survey"
)

// SpeciesGrowth is what the beds of a species say together, or of a coast of more than a hundred those of one reach of it.
type SpeciesGrowth struct {
	Species string
	Reach   string // what part of the coast; empty: all of it
	Prior   growth.Prior
	Season  growth.Season
	Beds    []growth.BedSeries // in the order of Pool.Beds, those outside Only too
	Pool    growth.Pool
}

// SpeciesOf is what the beds of a unit's species say together, or those of its reach; nil where the growth model was not asked.
func (a *Assessment) SpeciesOf(u *Unit) *SpeciesGrowth {
	if i, ok := a.placeOfPool(u); ok {
		return &a.Species[i]
	}
	return nil
}

// placeOfPool is where in Species a unit's is.
func (a *Assessment) placeOfPool(u *Unit) (i int, ok bool) {
	places := a.pools
	if places == nil { // not made by Assess
		places = a.placesOfPools
	}
	i, ok = places()[u.run(survey.NoDay)]
	return i, ok
}

func (a *Assessment) placesOfPools() map[runKey]int {
	out := make(map[runKey]int, len(a.Species))
	for i, s := range a.Species {
		out[runKey{s.Species, s.Reach, survey.NoDay}] = i
	}
	return out
}

// Name is that of the species, with the part of the coast.
func (s *SpeciesGrowth) Name() string {
	if s.Reach == "" {
		return s.Species
	}
	return s.Species + ", " + s.Reach
}

// runKey names a run of the growth model: a species on a reach of the coast with what was known before a day, NoDay: with all that is
// known.
type runKey struct {
	species, reach string
	before         survey.Day
}

// run names the run that a unit is in.
func (u *Unit) run(before survey.Day) runKey { return runKey{u.Species, u.reach, before} }

// speciesRun is one run of the growth model over the beds of a species, of a long coast those of one reach.
type speciesRun struct {
	runKey
	units []*Unit
	beds  []growth.BedSeries
	pool  growth.Pool

	without *speciesRun // the same with nothing of the landings without a bed or species cut there; nil: no other
}

// plans are the runs of the growth model for each species and reach of which a unit is asked for, over all its beds: with all that is
// known, and with what was known before the first day of each running or coming season where that is less. They are by species and
// reach where one can be done with before the next.
func (a *assessor) plans() [][]*speciesRun {
	var out [][]*speciesRun
	for _, units := range a.bySpecies() {
		for _, runs := range a.plan(units) {
			if !slices.ContainsFunc(runs[0].units, func(u *Unit) bool { return a.out.keeps(u.Pair) || a.rotates(u.Pair) }) {
				continue
			}
			for _, r := range runs {
				r.without = r.unfreed()
			}
			out = append(out, runs)
		}
	}
	if len(out) == 0 || a.out.Thrift == nil || len(a.out.Rules.Rotations) > 0 {
		return [][]*speciesRun{slices.Concat(out...)}
	}
	return out
}

// grow asks the growth model; done is told how many beds are.
func (a *assessor) grow(known []*speciesRun, done func(int)) {
	runs := slices.Clone(known)
	for _, r := range known {
		if r.without != nil {
			runs = append(runs, r.without)
		}
	}
	a.out.Thrift.Each(len(runs), func(i int) {
		r := runs[i]
		r.pool = a.sample(r)
		done(len(r.beds))
	})
	for _, r := range known {
		a.runs[r.runKey] = r
		if !slices.Contains(a.days, r.before) {
			a.days = append(a.days, r.before)
		}
		if r.before != survey.NoDay {
			continue
		}
		u := r.units[0]
		out := SpeciesGrowth{Species: r.species, Reach: r.reach, Prior: u.Prior, Season: u.Season, Beds: r.beds, Pool: r.pool}
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
func (a *assessor) bySpecies() [][]*Unit {
	groups := map[string][]*Unit{}
	for _, u := range a.all {
		u.Growth.Status = string(NotAssessed)
		if u.Growth.Reason = a.whyNotAsked(u); u.Growth.Reason == "" {
			u.Prior = growth.Prior{R: u.Row.R.V, RCV: u.Row.RCV.V, K: u.Row.K.V, KCV: u.Row.KCV.V}
			u.Season = seasonOf(u.Row)
			a.warnOfGrowth(u)
			groups[u.Species] = append(groups[u.Species], u)
		}
	}
	var out [][]*Unit
	for _, name := range slices.Sorted(maps.Keys(groups)) {
		out = append(out, groups[name])
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

// sample draws the posterior of a species over the beds of a run. The stream is that of the species and reach, so that a run with
// fewer surveys uses the same random numbers.
func (a *assessor) sample(r *speciesRun) growth.Pool {
	u := r.units[0]
	return growth.SampleBeds(r.beds, u.Prior, u.Season, a.out.plotWord(u).evidence, a.out.settings(r.species, r.reach))
}

// settings are those of the growth model of a species on a reach of the coast.
func (a *Assessment) settings(species, reach string) growth.Settings {
	r := a.Rules
	stream := fmt.Sprintf("posterior|%s", species)
	if reach != "" {
		stream += "|" + reach
	}
	return growth.Settings{
		Seed: a.Seed, Stream: stream, Draws: a.Draws, Chains: 4, Brief: reach != "",
		StormChance: r.Offtake.StormChance, StormSurvival: r.Offtake.StormSurvival,
		SigmaProcess: r.SigmaProcess, SigmaR: r.SigmaR, SigmaK: r.SigmaK, ReportedShare: r.ReportedShare, ReportedCV: r.ReportedCV,
		Level: r.Survey.Confidence,
		Spill: a.Thrift.spill(),
	}
}

// seasonOf is when the species grows: peak_month counts from 1 at the start of January, 7 is the start of July.
func seasonOf(row *survey.Species) growth.Season {
	if !row.Amplitude.OK || !row.PeakMonth.OK {
		return growth.Season{}
	}
	return growth.Season{Amplitude: row.Amplitude.V, Peak: (row.PeakMonth.V - 1) / 12}
}
