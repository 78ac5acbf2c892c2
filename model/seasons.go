package model

import (
	"fmt"
	"math"
	"slices"

	"bedstock/model/offtake"
	"bedstock/survey"
)

// advise fills Basis and Seasons: for each season of the rules the running or the next one, resting on the last survey
// before its first day.
func (a *assessor) advise(u *Unit) {
	u.asOf = a.out.Folder.AsOf
	u.Status, u.Reason = NotAssessed, u.Growth.Reason
	if u.Reason == "" && u.Growth.Status != "ok" {
		u.Reason = u.Growth.Status
	}
	type known struct {
		n   int
		run *speciesRun
	}
	bases := map[known]*Basis{}
	reasons := map[known]string{}
	get := func(n int, before survey.Day) (*Basis, string) {
		k := known{n, a.runs[u.run(before)]}
		if before == survey.NoDay {
			k.run = nil // the run with all that is known serves days later than all of it too
		}
		if _, done := reasons[k]; !done {
			bases[k], reasons[k] = a.basis(u, n, before)
		}
		return bases[k], reasons[k]
	}
	if u.Growth.Status == "ok" {
		u.Basis, u.Reason = get(len(u.Times)-1, survey.NoDay)
	}
	for _, rule := range a.out.Rules.SeasonsOf(u.Species) {
		from, to := current(rule, a.out.Folder.AsOf)
		s := Season{Name: rule.Name, From: from, To: to, AdvisedKg: math.NaN(), UnshutKg: math.NaN(), GrantedKg: math.NaN(), CutKg: math.NaN(), Share: math.NaN(), CapKg: math.NaN(), LimitedBy: offtake.ByNotAssessed,
			Status: NotAssessed, Reason: u.Reason, Survey: survey.NoDay}
		if u.Growth.Status == "ok" {
			a.season(u, rule, &s, get)
		}
		a.close(u, &s)
		a.offTaken(u, &s)
		u.Seasons = append(u.Seasons, s)
	}
	slices.SortStableFunc(u.Seasons, func(x, y Season) int { return int(x.From) - int(y.From) })
	if len(u.Seasons) > 0 {
		if l := a.later(u, &u.Seasons[0]); l != nil {
			u.Basis = l
		}
	}
	a.use(u)
	a.ofYear(u)
	a.restBetween(u)
	u.settle()
	if ask := a.out.Ask; ask != nil && u.Basis != nil {
		ask(a.out, u)
	}
	for _, b := range bases {
		for ; b != nil; b = b.Other {
			b.Futures.Free()
		}
	}
}

// settle gives the unit the status of its seasons: the first that is assessed, else the first.
func (u *Unit) settle() {
	for _, s := range u.Seasons {
		if s.Status == Assessed {
			u.Status, u.Reason = Assessed, ""
			return
		}
	}
	if len(u.Seasons) > 0 {
		u.Status, u.Reason = u.Seasons[0].Status, u.Seasons[0].Reason
	}
}

// season advises one season from the last survey before its first day.
func (a *assessor) season(u *Unit, rule offtake.Season, s *Season, get func(int, survey.Day) (*Basis, string)) {
	n := -1
	for i, t := range u.Times {
		if u.Stocks[t].Date < s.From {
			n = i
		}
	}
	if n < 0 {
		s.Reason = "no survey before the season"
		return
	}
	s.Survey = u.Stocks[u.Times[n]].Date
	age := float64(s.From-s.Survey) / survey.DaysPerYear
	if most := a.out.Rules.OldestSurvey; age > most {
		s.Reason = fmt.Sprintf("the last whole survey, %s, is over %s older than the season: survey again", s.Survey, years(most))
		return
	}
	b, reason := get(n, s.From)
	if b == nil {
		s.Reason = reason
		return
	}
	s.AdvisedKg, s.LimitedBy, s.Year = a.seasonKg(u, b, rule, s)
	if b.Other != nil {
		other := *s
		other.AdvisedKg, other.LimitedBy, other.Year = a.seasonKg(u, b.Other, rule, &other)
		if other.AdvisedKg < s.AdvisedKg {
			*s, b = other, b.Other
		}
	}
	s.UnshutKg, s.Basis = s.AdvisedKg, b
	s.Status, s.Reason = Assessed, ""
	a.overTaken(u, s)
	a.looseTaken(u, s)
	if a.isOld(s) {
		s.Warnings = append(s.Warnings, fmt.Sprintf("the last whole survey, %s, is over %s older than the season", s.Survey, years(a.out.Rules.ProjectAfter)))
	}
	s.Warnings = append(s.Warnings, s.Year.Warnings...)
}

// seasonKg is the season's part of the year, what limits it and the year's advice behind it: its share of the smaller of
// the year's offtake and the cap on the stock expected at its start. The seasons since the survey have taken what was
// advised, or what was in fact cut in them where that is more; what was cut beyond the advice is taken off the next.
func (a *assessor) seasonKg(u *Unit, b *Basis, rule offtake.Season, s *Season) (float64, offtake.Limit, *offtake.Advice) {
	year := &b.Year
	stand, off := a.standAt(u, b, s)
	s.OffKg = off
	s.RestsOnCuts, s.RestsOnLoose = b.TakenKg > 0 || b.beyond, b.LooseKg > 0 || b.beyondLoose
	if a.isOld(s) && b.Year.AdvisedKg >= 0 {
		later := heldAt(stand, a.out.Rules.OfftakeOf(u.Pair), b.Year)
		year = &later
	}
	capAt := year.CapFraction * stand.Exploitable * offtake.Quantile(stand.B, a.out.Rules.Offtake.StockQuantile)
	s.Share, s.CapKg = rule.Share, capAt
	s.Year = year
	kg := offtake.SeasonKg(*year, rule.Share, capAt, s.OffKg)
	if kg < offtake.SeasonKg(*year, rule.Share, capAt, 0) {
		return kg, offtake.ByCutBefore, year
	}
	return kg, s.yearLimit(), year
}

// yearLimit is what limits the year's part that a season gets, before anything is taken off it.
func (s Season) yearLimit() offtake.Limit {
	if s.CapKg < s.Year.AdvisedKg {
		return offtake.ByCap
	}
	return s.Year.LimitedBy
}

// offTaken warns of what was cut beyond the advice before a season and is taken off it. Where nothing may be cut for another
// reason, it is of no account.
func (a *assessor) offTaken(u *Unit, s *Season) {
	if !(s.OffKg > 0) || s.Status != Assessed {
		return
	}
	done := "taken off here"
	if !(s.Year.AdvisedKg > 0) {
		done = "nothing is advised here from which to take it off; the next survey shows what it did to the stand"
	}
	were := "were"
	if u.looseSince(s.Survey, s.From) > 0 {
		were = "were or may have been"
	}
	s.Warnings = slices.Insert(s.Warnings, 0, fmt.Sprintf("%s kg %s cut beyond the advice before the %s season, since the survey: %s", Kg(s.OffKg), were, s.Name, done))
}

// advance brings a stand from the opening of its advice to a later season, through the seasons between, and gives what
// was cut in them beyond the advice (kg) and not yet taken off a later one.
func (a *assessor) advance(u *Unit, b *Basis, stand *offtake.Stand, to survey.Day) (over float64) {
	for at := b.Open; at < to; {
		next, taken := to, 0.0
		for _, other := range a.out.Rules.SeasonsOf(u.Species) {
			if from, end := after(other, at-1); from == at {
				share := other.Share * b.Year.AdvisedKg
				if a.shut(u, from, end) {
					share = 0
				}
				part := math.Max(share-over, 0)
				known, loose := a.cutIn(u, from, end), u.looseSince(from, end+1)
				cut := known + loose
				if cut > part {
					b.beyond, b.beyondLoose = b.beyond || known > 0, b.beyondLoose || loose > 0
				}
				over += math.Max(cut, part) - share
				taken += math.Max(cut, part)
			}
			if from, _ := after(other, at); from > at && from < next {
				next = from
			}
		}
		grow := u.Season.Integral(at.Years(), next.Years())
		for i, x := range stand.B {
			stand.B[i] = project(math.Max(x-taken, 0), stand.R[i]*grow, stand.K[i])
		}
		at = next
	}
	return math.Max(over, 0)
}

// shut tells whether nothing may be cut of a unit in a season, or in what is left of a running one.
func (a *assessor) shut(u *Unit, from, to survey.Day) bool {
	if _, _, rests := a.outOfTurn(u, from); rests {
		return true
	}
	if asOf := a.out.Folder.AsOf; from < asOf && asOf <= to {
		from = asOf
	}
	open, _ := opens(a.closures(u), from)
	return open > to
}

// cutIn is what was cut from one day to another, both included, with the unreported share.
func (a *assessor) cutIn(u *Unit, from, to survey.Day) float64 {
	sum := 0.0
	for _, c := range u.Series.Cuts {
		if c.T >= from.Years() && c.T < (to+1).Years() {
			sum += c.Kg
		}
	}
	return sum / a.out.Rules.ReportedShare
}

// years writes a time in words where it is a whole number of years that has a short one.
func years(t float64) string {
	switch t {
	case 1:
		return "a year"
	case 2:
		return "two years"
	case 3:
		return "three years"
	}
	return fmt.Sprintf("%g years", t)
}

// after is the first occurrence of a season that begins after a day.
func after(s offtake.Season, d survey.Day) (from, to survey.Day) {
	return days(offtake.NextSeasons([]offtake.Season{s}, d.Time())[0])
}

// current is the occurrence of a season that runs on a day, else the next one.
func current(s offtake.Season, d survey.Day) (from, to survey.Day) {
	if o, ok := offtake.RunningSeason([]offtake.Season{s}, d.Time()); ok {
		return days(o)
	}
	return after(s, d)
}

func days(o offtake.Occurrence) (from, to survey.Day) {
	return survey.DayOf(o.From), survey.DayOf(o.To)
}

func orElse(text, other string) string {
	if text == "" {
		return other
	}
	return text
}
