package model

import (
	"math"
	"slices"
	"strings"

	"bedstock/model/growth"
	"bedstock/model/internal/spill"
	"bedstock/survey"
)

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
			r.forget(u, a.out.Thrift.spill())
		}
		if r.without != nil {
			r.without.forget(u, a.out.Thrift.spill())
		}
	}
}

func (r *speciesRun) forget(u *Unit, in *spill.File) {
	if i, ok := r.place(u); ok {
		r.pool.Beds[i].Forget(in)
	}
}
