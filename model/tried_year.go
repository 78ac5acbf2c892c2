package model

import (
	"fmt"
	"math"

	"bedstock/survey"
)

// ofYear fills what is cut of the year that the basis advises, and what its seasons advise for the rest of it.
func (a *assessor) ofYear(u *Unit) {
	u.YearCutKg, u.YearAheadKg = math.NaN(), math.NaN()
	if u.Basis == nil || !a.out.Folder.CutsKnown {
		return
	}
	asOf, next := a.out.Folder.AsOf, survey.DayOf(u.Basis.Open.Time().AddDate(1, 0, 0))
	u.YearCutKg, u.YearAheadKg = 0, 0
	for _, rule := range a.out.Rules.SeasonsOf(u.Species) {
		if from, to := after(rule, u.Basis.Open-1); from < next && from <= asOf {
			u.YearCutKg += a.cutIn(u, from, to) + u.looseSince(from, to+1)
		}
	}
	for _, s := range u.Seasons {
		if s.Status == Assessed && s.From >= u.Basis.Open && s.From < next {
			u.YearAheadKg += math.Max(s.AdvisedKg-s.CutKg-u.looseSince(s.From, s.To+1), 0)
		}
	}
}

// FirstKg is what following the advice from now on comes to in the year that the basis advises: the year's advice, or, where
// earlier seasons took more than what later ones give up for it, what is cut and what is advised for the rest, kg.
func (u *Unit) FirstKg() float64 {
	if all := u.YearCutKg + u.YearAheadKg; all > u.Basis.Year.AdvisedKg*(1+1e-9) {
		return all
	}
	return u.Basis.Year.AdvisedKg
}

// andCut is a cut of the year of so many kg, or what is cut of it already where that is more.
func (u *Unit) andCut(kg float64) float64 {
	if u.YearCutKg > kg {
		return u.YearCutKg
	}
	return kg
}

// CutAlready tells whether a cut of so many kg of the year is behind what is cut of it so far.
func (u *Unit) CutAlready(kg float64) bool { return kg < u.YearCutKg*(1-1e-9) }

// YearSentence says what of the year's advice is cut and what is advised for the rest of it, without its end; empty where
// nothing is cut. kg writes a weight, as [Kg] does, atMost one that is rounded down, as [KgDown].
func (u *Unit) YearSentence(kg, atMost func(float64) string) string {
	if u.Basis == nil || u.Status != Assessed || !(u.YearCutKg > 0) {
		return ""
	}
	rest := "nothing is advised for the rest of it"
	if u.YearAheadKg > 0 {
		rest = fmt.Sprintf("%s kg is advised for the rest of it", atMost(u.YearAheadKg))
	}
	return fmt.Sprintf("of the %s kg advised for the year from %s, %s kg is cut; %s", atMost(u.Basis.Year.AdvisedKg), u.Basis.Open, kg(u.YearCutKg), rest)
}
