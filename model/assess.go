package model

import (
	"cmp"
	"fmt"
	"runtime"
	"runtime/debug"
	"slices"
	"sync"

	"bedstock/model/growth"
	"bedstock/survey"
)

// Assess runs the main job on a checked folder: the stocks, the growth of each species on each bed, the offtake, and
// what was cut against what grew. The same folder, rules, seed and number of draws give the same assessment on any
// number of cores.
func Assess(f *survey.Folder, cfg Config) *Assessment {
	if cfg.Draws < 1 {
		panic("model: no draws asked for")
	}
	a := assessor{out: &Assessment{Config: cfg, Folder: f}, confidence: cfg.Rules.Survey.Confidence}
	opt := cfg.Rules.Survey
	opt.Seed = cfg.Seed
	a.out.Stocks = survey.Stocks(f, opt)
	a.cvs = smoothCVs(a.out.Stocks)
	a.out.Plots = fitPlots(f, cfg.Rules.Survey.Confidence)
	a.split()
	a.each(a.assess)
	a.folderWarnings()
	return a.out
}

type assessor struct {
	out        *Assessment
	cvs        cvTable
	confidence float64
}

// split makes a unit of every bed and species that was ever found there; the others are absent.
func (a *assessor) split() {
	stocks := a.out.Stocks
	for len(stocks) > 0 {
		pair := Pair{stocks[0].Bed, stocks[0].Species}
		n := slices.IndexFunc(stocks, func(s survey.Stock) bool { return (Pair{s.Bed, s.Species}) != pair })
		if n < 0 {
			n = len(stocks)
		}
		switch {
		case a.out.Only != nil && !a.out.Only(pair):
		case slices.ContainsFunc(stocks[:n], func(s survey.Stock) bool { return s.QuadratsWith > 0 }):
			a.out.Units = append(a.out.Units, Unit{Pair: pair, Stocks: stocks[:n:n]})
		default:
			a.out.Absent = append(a.out.Absent, pair)
		}
		stocks = stocks[n:]
	}
	slices.SortFunc(a.out.Units, func(x, y Unit) int {
		return cmp.Or(cmp.Compare(x.Bed, y.Bed), cmp.Compare(x.Species, y.Species))
	})
}

// each calls do for every unit on all cores. A unit's result depends on nothing but the unit.
func (a *assessor) each(do func(*Unit)) {
	next := make(chan *Unit)
	var wg sync.WaitGroup
	var fault sync.Once
	var broken any
	for range min(runtime.GOMAXPROCS(0), max(1, len(a.out.Units))) {
		wg.Go(func() {
			for u := range next {
				if p := guarded(func() { do(u) }); p != nil {
					fault.Do(func() { broken = p })
				}
			}
		})
	}
	for i := range a.out.Units {
		next <- &a.out.Units[i]
	}
	close(next)
	wg.Wait()
	if broken != nil {
		panic(broken)
	}
}

// guarded calls do and gives what it panicked with, so that a fault in a goroutine can be told by the caller's.
func guarded(do func()) (p any) {
	defer func() {
		if p = recover(); p != nil {
			p = fmt.Sprintf("%v\n%s", p, debug.Stack())
		}
	}()
	do()
	return nil
}

// assess fills one unit.
func (a *assessor) assess(u *Unit) {
	f := a.out.Folder
	if i := slices.IndexFunc(f.Beds, func(b survey.Bed) bool { return b.ID == u.Bed }); i >= 0 {
		u.Where, u.periods = f.Beds[i].At(f.AsOf), f.Beds[i].Periods
	}
	if i := slices.IndexFunc(f.Species, func(s survey.Species) bool { return s.Name == u.Species }); i >= 0 {
		u.Row = &f.Species[i]
	}
	u.Occ = occupancy(u.Where, u.Stocks)
	a.series(u)
	a.grow(u)
	a.pressure(u)
	a.advise(u)
}

// grow asks the growth model, where it can be asked.
func (a *assessor) grow(u *Unit) {
	u.Growth.Status = string(NotAssessed)
	switch {
	case len(u.Series.Surveys) == 0:
		u.Growth.Reason = a.whyNoStock(u)
		return
	case u.Row == nil || !u.Row.InTable:
		u.Growth.Reason = "no row in the species table: add one to species.csv with r_per_year, r_cv, k_kg_m2, k_cv"
		return
	case !u.Row.R.OK || !u.Row.RCV.OK || !u.Row.K.OK || !u.Row.KCV.OK:
		u.Growth.Reason = "r_per_year, r_cv, k_kg_m2 or k_cv is missing in species.csv"
		return
	}
	u.Prior = growth.Prior{R: u.Row.R.V, RCV: u.Row.RCV.V, K: u.Row.K.V, KCV: u.Row.KCV.V}
	u.Season = seasonOf(u.Row)
	u.Growth = a.sample(u, u.Series)
	if len(u.Series.Surveys) == 1 {
		u.warn("one survey: r and K are those of the species table, spread around one measured stock")
	}
	if !a.out.Folder.CutsKnown {
		u.warn("cuts not known (no harvest.csv): the surveys tell the stock, not how fast it grows")
	}
	if u.Row.Life == "biennial" {
		u.warn("biennial: what is left this year feeds the next years only in part; watch the share of recruits")
	}
}

func (a *assessor) whyNoStock(u *Unit) string {
	last := u.Stocks[len(u.Stocks)-1]
	if last.Reason != "" {
		return last.Reason
	}
	return "no survey gives a stock with a standard error"
}

// sample draws the posterior of a series of the unit. The stream is the unit's, so that a shorter series of the same
// unit uses the same random numbers.
func (a *assessor) sample(u *Unit, s growth.Series) growth.Posterior {
	r := a.out.Rules
	return growth.Sample(s, u.Prior, u.Season, a.out.plotEvidence(u.Species), growth.Settings{
		Seed: a.out.Seed, Stream: fmt.Sprintf("posterior|%s|%s", u.Species, u.Bed), Draws: a.out.Draws, Chains: 4,
		StormChance: r.Offtake.StormChance, StormSurvival: r.Offtake.StormSurvival,
		SigmaProcess: r.SigmaProcess, SigmaR: r.SigmaR, SigmaK: r.SigmaK, ReportedShare: r.ReportedShare,
		Level: a.confidence,
	})
}

// seasonOf is when the species grows: peak_month counts from 1 at the start of January, 7 is the start of July.
func seasonOf(row *survey.Species) growth.Season {
	if !row.Amplitude.OK || !row.PeakMonth.OK {
		return growth.Season{}
	}
	return growth.Season{Amplitude: row.Amplitude.V, Peak: (row.PeakMonth.V - 1) / 12}
}

func (a *assessor) folderWarnings() {
	f := a.out.Folder
	for _, d := range f.Doubts {
		a.out.Warnings = append(a.out.Warnings, d.String())
	}
	if !f.CutsKnown {
		a.out.Warnings = append(a.out.Warnings, "no harvest.csv: cuts are not known, so there is no verdict on pressure and recovery")
	}
}
