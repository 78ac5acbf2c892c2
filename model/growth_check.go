package model

import (
	"bedstock/model/growth"
	"bedstock/survey"
)

// GrowthCheck is how well the growth model of a unit foretells its surveys.
type GrowthCheck struct {
	Pair
	Predictive growth.Predictive // survey by survey, of those in Unit.Times
}

// GrowthChecks checks the growth model of every unit, in their order. An assessment does so once, when it is first asked.
func (a *Assessment) GrowthChecks() []GrowthCheck {
	if a.checks == nil { // not made by Assess
		return a.checkAll()
	}
	return a.checks()
}

func (a *Assessment) checkAll() []GrowthCheck {
	out := make([]GrowthCheck, len(a.Units))
	eachOf(len(out), func(i int) { out[i] = a.checkGrowth(&a.Units[i]) })
	return out
}

func (a *Assessment) checkGrowth(u *Unit) GrowthCheck {
	if u.check != nil {
		return *u.check
	}
	return GrowthCheck{Pair: u.Pair, Predictive: u.Growth.Foresee(growth.BedSeries{Bed: u.Bed, Series: u.Series}, u.Season, a.settings(u.Species, u.reach))}
}

// SurveyedOn is the day of the n-th survey of the unit's series.
func (u *Unit) SurveyedOn(n int) survey.Day { return u.Stocks[u.Times[n]].Date }
