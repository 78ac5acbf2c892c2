package model

import (
	"fmt"
	"slices"
	"strings"

	"bedstock/model/offtake"
	"bedstock/survey"
)

// Next is what to do next for the unit, in one sentence: what opens it, what would make an advice possible or better, and
// when to survey again.
func (u *Unit) Next() string {
	switch u.Status {
	case Closed:
		return u.nextClosed()
	case Resting:
		if len(u.Seasons) > 0 && u.Seasons[0].Turn > 0 {
			return fmt.Sprintf("Leave it until then, and survey it in %d before it is cut.", u.Seasons[0].Turn)
		}
		return "Leave it until then, and survey it before it is cut again."
	case NotAssessed:
		return NextUnknown(u.Reason)
	}
	for _, s := range u.Seasons {
		if s.Over() {
			return "Stop cutting, and survey again before the next season."
		}
	}
	next := u.nextOpen
	if u.nothing() {
		next = u.nextNothing
	}
	return u.lowerGrants() + next()
}

// lowerGrants asks for what is granted beyond the advice to be lowered while it can be.
func (u *Unit) lowerGrants() string {
	var names []string
	for _, s := range u.Seasons {
		if s.Status == Assessed && s.GrantOver() {
			names = append(names, fmt.Sprintf("%s %d", s.Name, s.From.Year()))
		}
	}
	if len(names) == 0 {
		return ""
	}
	return fmt.Sprintf("More is granted for %s than is advised: ask those who decide to lower it before it is cut. ", strings.Join(names, " and "))
}

// nextClosed tells until when the stand is closed.
func (u *Unit) nextClosed() string {
	last := survey.NoDay
	for _, s := range u.Seasons {
		for _, c := range s.Closures {
			if c.To == survey.NoDay {
				return "It stays closed until that is lifted; survey again before then."
			}
			last = max(last, c.To)
		}
	}
	if last == survey.NoDay {
		return "Survey again before it opens."
	}
	return fmt.Sprintf("It is closed until %s; survey again before it opens.", last)
}

// remedies are what makes an advice possible, by a part of the reason why there is none. Empty: the reason says so itself.
var remedies = []struct{ part, next string }{
	{"ask those who decide", "Ask those who decide."}, // withheld in the public edition
	{"survey again", ""},
	{"nothing weighed", "Weigh it in 10 or more quadrats at the next survey, or give its weight per cover in species.csv."},
	{"not visited", "Visit the whole bed at the next survey."},
	{"surveyed part only", "Visit the whole bed at the next survey."},
	{"standard error", "Survey it on two transects or more in each stratum."},
	{"is missing in species.csv", "Fill them in; bedstock rules shows what is there."},
	{"no row in the species table", ""},
	{"found none", "Survey again before any of it is cut."},
	{"never surveyed", "Survey it before anything is cut."},
	{"no survey before the season", "It can be advised on from the next season on; survey before each."},
	{"not converged", "Survey again; until then cut nothing."},
}

// NextUnknown is what would make an advice possible, by the reason why there is none; empty where the reason says it.
func NextUnknown(reason string) string {
	for _, r := range remedies {
		if strings.Contains(reason, r.part) {
			return r.next
		}
	}
	return "Survey again before any of it is cut."
}

// nextNothing is what to do where nothing should be cut though the stand is known.
func (u *Unit) nextNothing() string {
	switch y := u.year(); {
	case y == nil:
		return "Survey again before any of it is cut."
	case y.ExploitableQ == 0:
		return "Wait until more of it is long enough, and measure frond lengths at the next survey."
	case y.LowStock < 0.5:
		return "Rest it, and survey again next year to see whether it comes back."
	}
	return "Rest it, and survey again next year; more transects may show more of it."
}

// nextOpen is what would make the advice of a stand that may be cut better, the most pressing first.
func (u *Unit) nextOpen() string {
	last := u.Stocks[len(u.Stocks)-1]
	when := fmt.Sprintf("Survey again in %d", last.Date.Year()+1)
	if s := u.outlived(); s != nil {
		when = fmt.Sprintf("Survey again before the %s season from %s", s.Name, s.From)
		if s.From <= u.asOf {
			when = "Survey again now"
		}
	}
	switch y := u.year(); {
	case last.Status == survey.SurveyedPart:
		return when + ", the whole bed."
	case last.Kg.OK && last.Weighed < 10 && elsewhere[last.Domain] != "":
		return when + " and weigh 10 or more quadrats of it: its weight per cover is taken from " + elsewhere[last.Domain] + "."
	case slices.ContainsFunc(last.Warnings, func(w string) bool { return strings.HasPrefix(w, "interval too narrow") }):
		return when + " on more transects."
	case y != nil && y.Weak():
		return when + " and record what is cut; regrowth plots would tell how fast it comes back."
	}
	return when + "."
}

// elsewhere says in words where a conversion was weighed that is not the survey's own.
var elsewhere = map[string]string{"shore and year": "other beds of the shore", "species and year": "other beds", "species": "other years"}

// outlived is the first season that begins more than a year after the survey it rests on, one to come before one that
// runs; nil: there is none.
func (u *Unit) outlived() *Season {
	var first *Season
	for i := range u.Seasons {
		s := &u.Seasons[i]
		if s.Status != Assessed || s.Survey == survey.NoDay || float64(s.From-s.Survey) <= survey.DaysPerYear {
			continue
		}
		if first == nil || first.From <= u.asOf {
			first = s
		}
	}
	return first
}

// year is the advice behind the first season that is assessed.
func (u *Unit) year() *offtake.Advice {
	for _, s := range u.Seasons {
		if s.Status == Assessed {
			return s.Year
		}
	}
	return nil
}

// InWords is the advice for a unit and what to do next.
func (u *Unit) InWords(kg func(float64) string) string {
	if next := u.Next(); next != "" {
		return u.Sentence(kg) + " " + next
	}
	return u.Sentence(kg)
}

// UnsurveyedReason is why there is no advice for a bed on which no quadrat was visited.
const UnsurveyedReason = "never surveyed"

// Unsurveyed lists the beds of the folder on which no quadrat was visited up to the day of the assessment, in order.
func (a *Assessment) Unsurveyed() []string {
	q := &a.Folder.Quadrats
	seen := map[string]bool{}
	for i := range q.Len() {
		if q.Visit[i] == survey.Done {
			seen[a.Folder.Names[q.Bed[i]]] = true
		}
	}
	var out []string
	for _, b := range a.Folder.Beds {
		if !seen[b.ID] {
			out = append(out, b.ID)
		}
	}
	return out
}

// UnsurveyedSentence is the advice for such a bed.
func UnsurveyedSentence() string {
	return fmt.Sprintf("Not assessed: %s. %s", UnsurveyedReason, NextUnknown(UnsurveyedReason))
}
