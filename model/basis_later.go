package model

import (
	"slices"

	"bedstock/model/offtake"
	"bedstock/survey"
)

// later is the basis of the year that begins with a season for which the last survey is too old to be taken as it is: the
// stand that is expected as the season opens, after what was advised, or cut where that is more, and what grew since. Its
// advice is never above that of the survey, which then limits it. What people are shown of the coming years and of other
// takes begins there and not in a year that is over. Nil where the season rests on the survey as it is, or on another one.
func (a *assessor) later(u *Unit, s *Season) *Basis {
	b := s.Basis
	if b == nil || u.Basis == nil || b.Stock.Date != u.Basis.Stock.Date || !a.isOld(s) || !(b.Year.AdvisedKg >= 0) {
		return nil
	}
	stand, _ := a.standAt(u, b, s)
	l := *b // with what the way there found
	l.Stand, l.Futures, l.Open, l.projected = stand, nil, s.From, true
	l.Year = *s.Year
	l.Audit = offtake.Audit(l.Stand, a.out.Rules.Offtake)
	return &l
}

// heldAt is the advice for a stand projected from an old survey: never above what the survey advised when it was new, which then
// limits it.
func heldAt(stand offtake.Stand, rules offtake.Rules, survey offtake.Advice) offtake.Advice {
	y := offtake.Advise(stand, rules)
	if y.AdvisedKg < survey.AdvisedKg {
		return y
	}
	y = offtake.WhatIf(stand, rules, survey.AdvisedKg)
	y.LimitedBy, y.Digits = offtake.ByOldSurvey, survey.Digits
	return y
}

// standAt is the stand of a basis as a season opens, and what was cut in earlier seasons beyond their advice and is to be
// taken off, kg. Of an old survey the stand is projected, which holds what was cut beyond it, and its own lower figure counts
// no more.
func (a *assessor) standAt(u *Unit, b *Basis, s *Season) (stand offtake.Stand, off float64) {
	stand = b.Stand
	stand.B = slices.Clone(stand.B)
	off = a.advance(u, b, &stand, s.From)
	if a.isOld(s) {
		stand.SurveyQ, off = 0, 0
	}
	return stand, off
}

// isOld tells whether the survey that a season rests on is so much older that its stock is projected.
func (a *assessor) isOld(s *Season) bool {
	return s.Survey != survey.NoDay && float64(s.From-s.Survey)/survey.DaysPerYear > a.out.Rules.ProjectAfter
}

// RestsOnCuts tells whether the basis is another for what was cut since its survey: outside the seasons or, where it is
// projected, beyond what they were advised.
func (b *Basis) RestsOnCuts() bool { return b.TakenKg > 0 || b.projected && b.beyond }

// RestsOnLoose tells it of landings without a bed or species.
func (b *Basis) RestsOnLoose() bool { return b.LooseKg > 0 || b.projected && b.beyondLoose }
