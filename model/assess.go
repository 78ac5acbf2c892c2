package model

import (
	"cmp"
	"fmt"
	"runtime"
	"runtime/debug"
	"slices"
	"sync"

	"bedstock/model/internal/spill"
	"bedstock/survey"
)

// Assess runs the main job on a checked folder: the stocks, the growth of each species on all its beds, the offtake, and
// what was cut against what grew. The same folder, rules, seed and number of draws give the same assessment on any
// number of cores, and Only leaves the numbers of what it keeps as they are.
func Assess(f *survey.Folder, cfg Config) *Assessment {
	opt := cfg.Rules.Survey
	opt.Seed = cfg.Seed
	return assess(f, cfg, survey.Stocks(f, opt))
}

// assess is Assess with the stocks of the folder at hand.
func assess(f *survey.Folder, cfg Config, stocks []survey.Stock) *Assessment {
	if cfg.Draws < 1 {
		panic("model: no draws asked for")
	}
	spill.Columns(cfg.Thrift.spill(), &f.Quadrats)
	a := &assessor{out: &Assessment{Config: cfg, Folder: f, Stocks: stocks}, confidence: cfg.Rules.Survey.Confidence}
	a.cvs = smoothCVs(stocks)
	a.out.Plots = FitPlots(f, cfg.Rules.Survey.Confidence)
	a.out.words = a.out.wordsOfSpecies()
	a.split()
	each(a.all, a.prepare)
	a.keep()
	a.work()
	for _, u := range a.kept {
		a.out.Units = append(a.out.Units, *u)
	}
	a.folderWarnings()
	a.out.evidence, a.out.checks = sync.OnceValue(a.out.gatherEvidence), sync.OnceValue(a.out.checkAll)
	a.out.ranked = sync.OnceValue(a.out.rankPlots)
	a.out.evidenceOf = sync.OnceValue(a.out.evidenceByPair)
	a.out.pools = sync.OnceValue(a.out.placesOfPools)
	return a.out
}

// work samples growth and advises, all species at once or one after the other.
func (a *assessor) work() {
	plans, beds := a.plans(), 0
	for _, r := range slices.Concat(plans...) {
		beds += len(r.beds)
		if r.without != nil {
			beds += len(r.without.beds)
		}
	}
	a.runs = map[runKey]*speciesRun{}
	now, grown := shares(a.kept, plans), a.out.counting(StageGrowth, beds)
	var advised func(int)
	for i, runs := range plans {
		a.grow(runs, grown)
		a.rotate()
		if advised == nil {
			advised = a.out.counting(StageOfftake, len(a.kept))
		}
		each(now[i], func(u *Unit) {
			a.pressure(u)
			a.advise(u)
			a.shelve(u)
			advised(1)
		})
	}
}

// shares are the units that can be advised after each plan: those in its runs, and after the last those in none.
func shares(units []*Unit, plans [][]*speciesRun) [][]*Unit {
	at, out := map[runKey]int{}, make([][]*Unit, len(plans))
	for i, runs := range plans {
		for _, r := range runs {
			at[r.runKey] = i
		}
	}
	for _, u := range units {
		i, ok := at[u.run(survey.NoDay)]
		if !ok {
			i = len(plans) - 1
		}
		out[i] = append(out[i], u)
	}
	return out
}

type assessor struct {
	out        *Assessment
	cvs        cvTable
	confidence float64
	all        []*Unit // by bed and species, those that are left out of the assessment too
	kept       []*Unit // those that are written out
	runs       map[runKey]*speciesRun
	days       []survey.Day // before which less was known in some of them, and NoDay
	index      index
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
		case slices.ContainsFunc(stocks[:n], func(s survey.Stock) bool { return s.QuadratsWith > 0 }):
			a.all = append(a.all, &Unit{Pair: pair, Stocks: stocks[:n:n]})
		case a.out.keeps(pair):
			a.out.Absent = append(a.out.Absent, pair)
		}
		stocks = stocks[n:]
	}
	slices.SortFunc(a.all, func(x, y *Unit) int {
		return cmp.Or(cmp.Compare(x.Bed, y.Bed), cmp.Compare(x.Species, y.Species))
	})
}

// keeps tells whether a bed and species is asked for.
func (a *Assessment) keeps(p Pair) bool { return a.Only == nil || a.Only(p) }

// keep sorts out the units that are asked for.
func (a *assessor) keep() {
	for _, u := range a.all {
		if a.out.keeps(u.Pair) {
			a.kept = append(a.kept, u)
		}
	}
}

// each calls do for every item on all cores. What it does for one must depend on nothing that it does for another.
func each[T any](items []T, do func(T)) {
	next := make(chan T)
	var wg sync.WaitGroup
	var fault sync.Once
	var broken any
	for range min(runtime.GOMAXPROCS(0), max(1, len(items))) {
		wg.Go(func() {
			for u := range next {
				if p := guarded(func() { do(u) }); p != nil {
					fault.Do(func() { broken = p })
				}
			}
		})
	}
	for _, u := range items {
		next <- u
	}
	close(next)
	wg.Wait()
	if broken != nil {
		panic(broken)
	}
}

// eachOf is each of 0 to n-1.
func eachOf(n int, do func(i int)) {
	items := make([]int, n)
	for i := range items {
		items[i] = i
	}
	each(items, do)
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

// prepare fills what a unit brings to the growth model.
func (a *assessor) prepare(u *Unit) {
	f := a.out.Folder
	if i, ok := f.BedAt(u.Bed); ok {
		u.Where, u.periods = f.Beds[i].At(f.AsOf), f.Beds[i].Periods
	}
	if i := slices.IndexFunc(f.Species, func(s survey.Species) bool { return s.Name == u.Species }); i >= 0 {
		u.Row = &f.Species[i]
	}
	u.Losses = a.indexed().losses.Of(u.Bed)
	u.Occ = occupancy(u.Where, u.Stocks)
	a.series(u)
}

func (a *assessor) folderWarnings() {
	f := a.out.Folder
	for _, d := range f.Doubts {
		a.out.Warnings = append(a.out.Warnings, d.String())
	}
	if !f.CutsKnown {
		a.out.Warnings = append(a.out.Warnings, "no rows in harvest.csv: cuts are not known, so there is no verdict on pressure and recovery")
	}
}
