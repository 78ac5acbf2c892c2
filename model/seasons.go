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
	u.Status, u.Reason = NotAssessed, u.Growth.Reason
	if u.Reason == "" && u.Growth.Status != "ok" {
		u.Reason = u.Growth.Status
	}
	bases := map[int]*Basis{}
	reasons := map[int]string{}
	get := func(n int) (*Basis, string) {
		if _, done := reasons[n]; !done {
			bases[n], reasons[n] = a.basis(u, n)
		}
		return bases[n], reasons[n]
	}
	if u.Growth.Status == "ok" {
		u.Basis, u.Reason = get(len(u.Times) - 1)
	}
	for _, rule := range a.out.Rules.Seasons {
		from, to := current(rule, a.out.Folder.AsOf)
		s := Season{Name: rule.Name, From: from, To: to, AdvisedKg: math.NaN(), LimitedBy: offtake.ByNotAssessed,
			Status: NotAssessed, Reason: u.Reason, Survey: survey.NoDay}
		if u.Growth.Status == "ok" {
			a.season(u, rule, &s, get)
		}
		a.close(u, &s)
		u.Seasons = append(u.Seasons, s)
	}
	slices.SortStableFunc(u.Seasons, func(x, y Season) int { return int(x.From) - int(y.From) })
	u.settle()
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
func (a *assessor) season(u *Unit, rule offtake.Season, s *Season, get func(int) (*Basis, string)) {
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
	if age > 3 {
		s.Reason = fmt.Sprintf("the last survey, %s, is over three years older than the season: survey again", s.Survey)
		return
	}
	b, reason := get(n)
	if b == nil {
		s.Reason = reason
		return
	}
	s.Year = &b.Year
	s.AdvisedKg, s.LimitedBy = a.seasonKg(u, b, rule, s.From, age)
	s.Status, s.Reason = Assessed, ""
	if age > 1 {
		s.Warnings = append(s.Warnings, fmt.Sprintf("the last survey, %s, is over a year older than the season", s.Survey))
	}
	s.Warnings = append(s.Warnings, b.Year.Warnings...)
}

// seasonKg is the season's part of the year: its share of the smaller of the year's offtake and the cap on the stock
// expected at its start, the seasons since the survey having taken what was advised.
func (a *assessor) seasonKg(u *Unit, b *Basis, rule offtake.Season, from survey.Day, age float64) (float64, offtake.Limit) {
	year := b.Year
	stand, at := b.Stand, b.Open
	stand.B = slices.Clone(stand.B)
	for at < from {
		next := from
		var taken float64
		for _, other := range a.out.Rules.Seasons {
			if f, _ := after(other, at-1); f == at {
				taken += other.Share * year.AdvisedKg
			}
			if f, _ := after(other, at); f > at && f < next {
				next = f
			}
		}
		grow := u.Season.Integral(at.Years(), next.Years())
		for i, s := range stand.B {
			stand.B[i] = project(math.Max(s-taken, 0), stand.R[i]*grow, stand.K[i])
		}
		at = next
	}
	if age > 1 { // project on, never above the last advice
		if later := offtake.Advise(stand, a.out.Rules.Offtake); later.AdvisedKg < year.AdvisedKg {
			year = later
		}
	}
	capAt := year.CapFraction * stand.Exploitable * survey.Quantile(stand.B, a.out.Rules.Offtake.StockQuantile)
	kg := offtake.SeasonKg(year, rule.Share, capAt)
	if capAt < year.AdvisedKg {
		return kg, offtake.ByCap
	}
	return kg, year.LimitedBy
}

// close lays closures, the bed's status and rest over a season.
func (a *assessor) close(u *Unit, s *Season) {
	if u.Where.Status == "closed" {
		s.shut(Closed, offtake.ByClosed, orElse(u.Where.Reason, "the bed is closed"))
		return
	}
	start := max(s.From, a.out.Folder.AsOf)
	for _, c := range a.out.Folder.Closures {
		if c.Bed != "*" && c.Bed != u.Bed || c.Species != "" && c.Species != u.Species {
			continue
		}
		to := c.To
		if to == survey.NoDay {
			to = math.MaxInt32
		}
		switch {
		case c.From <= start && to >= s.To:
			s.shut(Closed, offtake.ByClosed, orElse(c.Reason, "closed"))
			return
		case c.From <= s.To && to >= start:
			s.Warnings = append(s.Warnings, fmt.Sprintf("closed from %s to %s: %s", c.From, orElse(c.To.String(), "further notice"), c.Reason))
		}
	}
	a.rest(u, s)
}

func (a *assessor) rest(u *Unit, s *Season) {
	years := a.out.Rules.Offtake.RestYears
	if years == 0 || s.Status != Assessed {
		return
	}
	last := survey.NoDay
	for _, c := range a.out.Folder.Cuts {
		if c.Bed == u.Bed && c.Species == u.Species && !c.Cast && c.Kg > 0 && c.To < s.From && c.To > last {
			last = c.To
		}
	}
	if last == survey.NoDay {
		return
	}
	if until := survey.DayOf(last.Time().AddDate(years, 0, 0)); until > s.From {
		s.shut(Resting, offtake.ByRest, fmt.Sprintf("cut on %s, rests until %s", last, until))
	}
}

func (s *Season) shut(status Status, by offtake.Limit, reason string) {
	s.AdvisedKg, s.LimitedBy, s.Status, s.Reason = 0, by, status, reason
}

// after is the first occurrence of a season that begins after a day.
func after(s offtake.Season, d survey.Day) (from, to survey.Day) {
	for y := d.Year(); ; y++ {
		if from, to = occurrence(s, y); from > d {
			return from, to
		}
	}
}

// current is the occurrence of a season that runs on a day, else the next one.
func current(s offtake.Season, d survey.Day) (from, to survey.Day) {
	for y := d.Year() - 1; ; y++ {
		if from, to = occurrence(s, y); to >= d {
			return from, to
		}
	}
}

// occurrence is the season that begins in a year; it may end in the next.
func occurrence(s offtake.Season, year int) (from, to survey.Day) {
	from, to = survey.DayOf(s.From.In(year)), survey.DayOf(s.To.In(year))
	if to < from {
		to = survey.DayOf(s.To.In(year + 1))
	}
	return from, to
}

func orElse(text, other string) string {
	if text == "" {
		return other
	}
	return text
}
