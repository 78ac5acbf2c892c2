package model

import (
	"math"

	"bedstock/model/growth"
	"bedstock/survey"
)

// GrowthCheck is how well the growth model of a unit foretells its surveys, and how much of r and K it has from them.
type GrowthCheck struct {
	Pair
	Predictive growth.Predictive // survey by survey, of those in Unit.Times
	// OverlapR and OverlapK are the shares that what was held of r and K before the surveys has in common with what is
	// held after: near 1 the surveys said nothing. NaN where the model has no answer.
	OverlapR, OverlapK float64
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
	indices := make([]int, len(out))
	for i := range indices {
		indices[i] = i
	}
	each(indices, func(i int) { out[i] = a.checkGrowth(&a.Units[i]) })
	return out
}

func (a *Assessment) checkGrowth(u *Unit) GrowthCheck {
	c := GrowthCheck{Pair: u.Pair, OverlapR: math.NaN(), OverlapK: math.NaN()}
	c.Predictive = u.Growth.Foresee(growth.BedSeries{Bed: u.Bed, Series: u.Series}, u.Season, a.settings(u.Species))
	if u.Growth.Status == evidenceOK {
		level := a.Rules.Survey.Confidence
		c.OverlapR = growth.Overlap(u.Growth.PriorR, level, u.Growth.Draws.Col("r"))
		c.OverlapK = growth.Overlap(u.Growth.PriorK, level, u.Growth.Draws.Col("K"))
	}
	return c
}

// SurveyedOn is the day of the n-th survey of the unit's series.
func (u *Unit) SurveyedOn(n int) survey.Day { return u.Stocks[u.Times[n]].Date }
