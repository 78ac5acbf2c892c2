package model

import (
	"fmt"
	"slices"

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

// plans are the runs of the growth model for each species of which a unit is asked for, over all its beds: with all that is known,
// and with what was known before the first day of each running or coming season where that is less. They are by species where one
// can be done with before the next.
func (a *assessor) plans() [][]*speciesRun {
	var out [][]*speciesRun
	for _, units := range a.bySpecies() {
		runs := a.plan(units)
		for _, r := range runs {
			r.without = r.unfreed()
		}
		out = append(out, runs)
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
