package model

import (
	"math"
	"slices"
	"strings"
	"sync"

	"bedstock/model/growth"
	"bedstock/model/internal/spill"
	"bedstock/survey"
)

// plan lays out the runs for the units of one species, by reach. Days before which equally much was known share a run.
func (a *assessor) plan(units []*Unit) (out [][]*speciesRun) {
	parts := reaches(units)
	if len(parts) > 1 {
		a.out.wordsOfReaches(parts)
	}
	for _, reach := range parts {
		all := &speciesRun{runKey: reach[0].run(survey.NoDay), units: reach}
		for _, u := range reach {
			all.beds = append(all.beds, growth.BedSeries{Bed: u.Bed, Series: u.Series})
		}
		out = append(out, []*speciesRun{all})
	}
	var days []survey.Day
	for _, rule := range a.out.Rules.SeasonsOf(units[0].Species) {
		from, _ := current(rule, a.out.Folder.AsOf)
		if slices.Contains(days, from) {
			continue
		}
		days = append(days, from)
		cvs := sync.OnceValue(func() cvTable { return cvsBefore(units, from) })
		for i, runs := range out {
			r := &speciesRun{runKey: runs[0].units[0].run(from)}
			if r.fill(runs[0].units, cvs) {
				out[i] = append(runs, r)
			}
		}
	}
	return out
}

// cvsBefore are the smoothed precisions of surveys as they were known of a species before a day.
func cvsBefore(units []*Unit, day survey.Day) cvTable {
	var stocks []survey.Stock
	for _, u := range units {
		stocks = append(stocks, u.stocksBefore(day)...)
	}
	return smoothCVs(stocks)
}

// fill takes into the run what was known of the units before its day; false where that is all that is known, or nothing.
func (r *speciesRun) fill(units []*Unit, known func() cvTable) bool {
	less := slices.ContainsFunc(units, func(u *Unit) bool { return u.surveysBefore(r.before) < len(u.Times) })
	if !less {
		return false
	}
	cvs := known()
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
	r := a.runs[u.run(before)]
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

// runBefore is the run with what was known of a unit's species before a day; nil: there is none.
func (a *assessor) runBefore(u *Unit, day survey.Day) *speciesRun {
	if r := a.runs[u.run(day)]; r != nil {
		return r
	}
	return a.runs[u.run(survey.NoDay)]
}

// forget lets go of the draws of a unit in all runs but that with all that is known: its advice has been made of them, and on a
// long shore they are much of what memory holds.
func (a *assessor) forget(u *Unit) {
	for _, day := range a.days {
		r := a.runs[u.run(day)]
		if r == nil {
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
