package model

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"bedstock/model/offtake"
	"bedstock/survey"
)

// overTaken warns of a running season in which more was cut than is advised.
func (a *assessor) overTaken(u *Unit, s *Season) {
	if cut := a.cutIn(u, s.From, s.To); cut > s.AdvisedKg && cut > 0 {
		s.Warnings = append(s.Warnings, fmt.Sprintf("%s kg are cut already in the %s season from %s, %s kg are advised: stop, and survey again before the next",
			Kg(cut), s.Name, s.From, Kg(s.AdvisedKg)))
	}
}

// close lays closures, the bed's dated status and rest over a season.
func (a *assessor) close(u *Unit, s *Season) {
	start := max(s.From, a.out.Folder.AsOf)
	all := a.closures(u)
	for _, c := range all {
		if c.From <= s.To && c.To >= start {
			s.Closures = append(s.Closures, c)
			if c.To == always {
				s.Closures[len(s.Closures)-1].To = survey.NoDay
			}
		}
	}
	if open, reasons := opens(all, start); open > s.To {
		s.shut(Closed, offtake.ByClosed, orElse(strings.Join(reasons, "; then "), "closed"))
		a.cutWhileShut(u, s)
		return
	}
	for _, c := range s.Closures {
		until := "further notice"
		if c.To != survey.NoDay {
			until = c.To.String()
		}
		s.Warnings = append(s.Warnings, fmt.Sprintf("closed from %s to %s: %s", c.From, until, orElse(c.Reason, "no reason given")))
	}
	a.turn(u, s)
	a.rest(u, s)
}

// opens is the first day from a day on that no closure holds, and why it is shut until then, each reason once.
func opens(closures []survey.Closure, day survey.Day) (open survey.Day, reasons []string) {
	for {
		longest := -1
		for i, c := range closures {
			if c.From <= day && c.To >= day && (longest < 0 || c.To > closures[longest].To) {
				longest = i
			}
		}
		if longest < 0 {
			return day, reasons
		}
		if r := closures[longest].Reason; r != "" && !slices.Contains(reasons, r) {
			reasons = append(reasons, r)
		}
		if closures[longest].To == always {
			return always, reasons
		}
		day = closures[longest].To + 1
	}
}

// always is the end of a closure that holds until it is lifted.
const always survey.Day = math.MaxInt32

// closures are the closures of a unit's bed and species, those of closures.csv, the closed periods of beds.csv and spills,
// each with an end.
func (a *assessor) closures(u *Unit) []survey.Closure {
	var out []survey.Closure
	for i, p := range u.periods {
		if p.Status != "closed" {
			continue
		}
		c := survey.Closure{From: p.From, To: always, Reason: orElse(p.Reason, "the bed is closed")}
		if i+1 < len(u.periods) {
			c.To = u.periods[i+1].From - 1
		}
		out = append(out, c)
	}
	for _, c := range a.indexed().closures.Of(u.Bed) {
		if c.Species != "" && c.Species != u.Species {
			continue
		}
		if c.To == survey.NoDay {
			c.To = always
		}
		out = append(out, c)
	}
	return append(out, a.spills(u)...)
}

// spills close a bed from their day: until a closure of the whole bed that begins then or later takes over and says when it
// ends, or beds.csv has the bed open from a later day.
func (a *assessor) spills(u *Unit) []survey.Closure {
	var out []survey.Closure
	for _, e := range a.indexed().spills.Of(u.Bed) {
		c := survey.Closure{Bed: u.Bed, From: e.Day, To: always, Reason: fmt.Sprintf("spill of %s", e.Day)}
		for _, other := range a.indexed().closures.Of(u.Bed) {
			if other.Species == "" && other.From >= e.Day {
				c.To = min(c.To, other.From-1)
			}
		}
		for _, p := range u.periods {
			if p.Status != "closed" && p.From > e.Day {
				c.To = min(c.To, p.From-1)
			}
		}
		if c.To >= c.From {
			out = append(out, c)
		}
	}
	return out
}

// cutWhileShut notes what was cut of a season on days on which it was shut, and warns of it.
func (a *assessor) cutWhileShut(u *Unit, s *Season) {
	s.ShutKg = 0
	for day := s.From; day <= min(s.To, a.out.Folder.AsOf); day++ {
		if s.Status == Resting || s.ShutOn(day) {
			s.ShutKg += a.cutIn(u, day, day)
		}
	}
	if s.ShutKg > 0 {
		s.Warnings = append(s.Warnings, fmt.Sprintf("%s kg were cut from %s on all the same", Kg(s.ShutKg), s.From))
	}
}

func (a *assessor) rest(u *Unit, s *Season) {
	years := a.out.Rules.Offtake.RestYears
	if years == 0 || s.Status != Assessed || a.out.Rules.rotation(u.Pair) != nil { // a rotation says which year is whose
		return
	}
	last := survey.NoDay
	for _, c := range a.cutsOf(u.Pair) {
		if !c.Cast && c.Kg > 0 && c.To < s.From && c.To > last {
			last = c.To
		}
	}
	if last == survey.NoDay {
		return
	}
	switch until := survey.DayOf(last.Time().AddDate(years, 0, 0)); {
	case until > s.To:
		s.shut(Resting, offtake.ByRest, fmt.Sprintf("cut on %s, rests until %s", last, until))
		a.cutWhileShut(u, s)
	case until > s.From:
		s.Warnings = append(s.Warnings, fmt.Sprintf("rests until %s: cut on %s", until, last))
	}
}

// restBetween says of a later season that it stands only if nothing is cut in an earlier one, where species rest.
func (a *assessor) restBetween(u *Unit) {
	if a.out.Rules.Offtake.RestYears == 0 || a.out.Rules.rotation(u.Pair) != nil {
		return
	}
	for i := 1; i < len(u.Seasons); i++ {
		if first := u.Seasons[0]; first.AdvisedKg > 0 && u.Seasons[i].AdvisedKg > 0 {
			u.Seasons[i].Warnings = append(u.Seasons[i].Warnings, fmt.Sprintf(
				"only if nothing is cut in the %s season from %s: %s rests after a cut", first.Name, first.From, u.Species))
		}
	}
}

// ShutOn tells whether a closure holds on a day of the season.
func (s Season) ShutOn(day survey.Day) bool {
	for _, c := range s.Closures {
		if c.From <= day && (c.To == survey.NoDay || day <= c.To) && s.From <= day && day <= s.To {
			return true
		}
	}
	return false
}

func (s *Season) shut(status Status, by offtake.Limit, reason string) {
	s.UnshutKg = s.AdvisedKg
	s.AdvisedKg, s.LimitedBy, s.Status, s.Reason = 0, by, status, reason
}
