package model

import (
	"fmt"
	"math"
	"slices"

	"bedstock/model/growth"
	"bedstock/survey"
)

// Occupancy is the fraction of a bed where a species can grow.
type Occupancy struct {
	Fraction float64 // (0, 1]
	With, N  float64 // effective numbers of quadrats holding the species and of all, over all surveys; 0 where given
	Given    bool    // suitable_fraction of beds.csv
}

// occupancy is suitable_fraction where given, else the posterior mean of Beta(1/2 + x, 1/2 + n - x), x of n quadrats
// over all whole surveys, n the quadrats over the design effect and x the share of the area that holds the species
// times n.
func occupancy(where survey.BedPeriod, stocks []survey.Stock) Occupancy {
	if where.Suitable.OK && where.Suitable.V > 0 {
		return Occupancy{Fraction: where.Suitable.V, Given: true}
	}
	var o Occupancy
	for _, s := range stocks {
		if s.Status == survey.SurveyedPart {
			continue
		}
		deff := s.DesignEffect
		if !(deff > 1) {
			deff = 1
		}
		n := float64(s.Quadrats) / deff
		o.With += s.Occupied * n
		o.N += n
	}
	o.Fraction = (0.5 + o.With) / (1 + o.N)
	return o
}

// cvTable smooths the coefficients of variation of a species' stocks on their number of sampling units: cv^2 = c/n
// with c the mean of cv^2 n over the surveys with a standard error. One survey's own standard error is a poor guide to
// its precision: a low estimate comes with a low standard error.
type cvTable map[string]struct{ c, n float64 }

func smoothCVs(stocks []survey.Stock) cvTable {
	t := cvTable{}
	for _, s := range stocks {
		if s.Kg.OK && s.Kg.Value > 0 && s.PSUWith > 1 && s.OwnCV > 0 && !math.IsInf(s.OwnCV, 0) {
			x := t[s.Species]
			x.c += s.OwnCV * s.OwnCV * float64(s.PSU)
			x.n++
			t[s.Species] = x
		}
	}
	return t
}

// cv is NaN for a species without any standard error.
func (t cvTable) cv(s survey.Stock) float64 {
	x := t[s.Species]
	if x.n == 0 || s.PSU == 0 {
		return math.NaN()
	}
	return math.Sqrt(x.c / x.n / float64(s.PSU))
}

// series fills Series and Times of a unit from its stocks, the cuts and the events, up to the day of the assessment.
func (a *assessor) series(u *Unit) {
	f := a.out.Folder
	s := growth.Series{Area: u.Where.Area, Occ: u.Occ.Fraction, CutsKnown: f.CutsKnown}
	if to := a.out.Rules.ReturnsCompleteTo; to != survey.NoDay {
		s.CutsTo = (to + 1).Years()
	}
	for i, st := range u.Stocks {
		switch {
		case !st.Kg.OK:
			continue
		case st.Status == survey.SurveyedPart:
			u.warn("survey %s left out of the growth model: %s", st.Survey, st.Reason)
			continue
		case st.Kg.Value > 0 && math.IsNaN(a.cvs.cv(st)):
			u.warn("survey %s left out of the growth model: no standard error", st.Survey)
			continue
		}
		s.Surveys = append(s.Surveys, a.observation(u, st))
		u.Times = append(u.Times, i)
	}
	for _, c := range a.cutsOf(u.Pair) {
		if !c.Cast {
			s.Cuts = append(s.Cuts, Pulses(c)...)
		}
	}
	slices.SortStableFunc(s.Cuts, func(x, y growth.Pulse) int { return compareTime(x.T, y.T) })
	for _, e := range u.Losses {
		left := math.NaN()
		if e.Left.OK {
			left = e.Left.V
		}
		s.Events = append(s.Events, growth.Storm{T: e.Day.Years(), Left: left})
	}
	slices.SortStableFunc(s.Events, func(x, y growth.Storm) int { return compareTime(x.T, y.T) })
	a.place(u, &s)
	u.Series = s
	a.warnOfLoose(u)
}

// observation hands a stock to the growth model, on the area that the bed has now.
func (a *assessor) observation(u *Unit, st survey.Stock) growth.Observation {
	scale := 1.0
	if st.BedArea > 0 && st.BedArea != u.Where.Area {
		scale = u.Where.Area / st.BedArea
		u.warn("survey %s was on %.4g m2, the bed has %.4g m2 now: its stock is taken in proportion", st.Survey, st.BedArea, u.Where.Area)
	}
	o := growth.Observation{T: st.Date.Years(), Kg: st.Kg.Value * scale, CV: a.cvs.cv(st), DF: min(st.Kg.DF, math.Max(float64(st.PSUWith-1), 1)),
		PSU: st.PSU, Area: st.Area * scale, Dense: st.DensityWith}
	for _, e := range st.Shared {
		o.Shared = append(o.Shared, growth.Shared{ID: e.ID, CV: e.CV})
	}
	return o
}

// Pulses splits what was cut over several days into equal parts of at most 30 days, each in the middle of its part.
func Pulses(c survey.Cut) []growth.Pulse {
	days := float64(c.To-c.From) + 1
	n := math.Ceil(days / 30)
	out := make([]growth.Pulse, 0, int(n))
	for i := 0.0; i < n; i++ {
		mid := float64(c.From) + (i+0.5)*days/n - 0.5
		out = append(out, growth.Pulse{T: mid / survey.DaysPerYear, Kg: c.Kg / n})
	}
	return out
}

func compareTime(a, b float64) int {
	switch {
	case a < b:
		return -1
	case a > b:
		return 1
	}
	return 0
}

// until is the series with its first n surveys only, and nothing that came after the last of them.
func until(s growth.Series, n int) growth.Series {
	s.Surveys = s.Surveys[:n]
	last := s.Surveys[n-1].T
	s.Cuts = slices.DeleteFunc(slices.Clone(s.Cuts), func(p growth.Pulse) bool { return p.T >= last })
	s.Events = slices.DeleteFunc(slices.Clone(s.Events), func(e growth.Storm) bool { return e.T >= last })
	return s
}

func (u *Unit) warn(format string, args ...any) {
	w := fmt.Sprintf(format, args...)
	if !slices.Contains(u.Warnings, w) {
		u.Warnings = append(u.Warnings, w)
	}
}
