package report

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"bedstock/model"
	"bedstock/survey"
)

// notice is what can be handed out: what may be cut, when, what is closed, who decides.
type notice struct {
	Title    string
	Invented bool
	AsOf     string
	Closed   string
	Rows     []noticeRow
	None     string // why there is no row
	Closures []string
	Events   []string
	Rules    string // those that are not the defaults; empty: none
}

// noticeRow is a species and season of a notice. Kg says what may be cut and what is cut already; Stop: no more may be.
type noticeRow struct {
	Species, Common, Season, From, To, Kg, How, Granted string
	Today                                               string // what holds on the day of the assessment; empty: nothing
	Not                                                 []string
	Stop                                                bool
}

// noticeOf writes the notice of a bed. An advice of nothing is shown as nothing, no advice as no row.
func (x *byBed) noticeOf(id string, p bedPart, opt Options) notice {
	a := x.a
	n := notice{Title: p.Name, Invented: opt.Invented, AsOf: a.Folder.AsOf.String(), Closed: p.Closed, Rules: a.Rules.ChangedSentence()}
	unknown, gone := 0, 0
	for _, i := range x.units[id] {
		u := &a.Units[i]
		switch {
		case u.Status != model.NotAssessed:
			for _, s := range u.Seasons {
				if s.Status != model.NotAssessed {
					n.Rows = append(n.Rows, x.noticeRowOf(u, s))
				}
			}
		case notFound(u):
			gone++
		default:
			unknown++
		}
	}
	n.shut(x, id)
	if n.Closed == "" {
		n.None = noneWords(len(n.Rows), unknown, gone, x.surveyed[id])
	}
	n.Closures, n.Events = x.closuresOf(id), x.eventsOf(id)
	return n
}

// notFound tells whether the last survey of a stand found none of it.
func notFound(u *model.Unit) bool {
	last := u.Stocks[len(u.Stocks)-1]
	return last.QuadratsWith == 0 && last.Status != survey.SurveyedPart
}

// noneWords says of what no amount is advised on a bed.
func noneWords(rows, unknown, gone int, surveyed bool) string {
	var out []string
	other := ifElse(rows > 0, "other ", "")
	switch {
	case !surveyed:
		return "This bed has not been surveyed: no amount is advised."
	case rows+unknown+gone == 0:
		return "No species of which an amount could be advised was found here."
	case rows+gone == 0:
		return "Too little is known of what grows here: no amount is advised."
	}
	if unknown > 0 {
		out = append(out, plural(unknown, other+"species was", other+"species were")+" found here of which too little is known: no amount is advised.")
	}
	if gone > 0 {
		out = append(out, plural(gone, other+"species that grew here before was", other+"species that grew here before were")+
			" not found in the last survey: no amount is advised.")
	}
	return strings.Join(out, " ")
}

// shut puts one sentence in place of the rows where everything is closed for the same reason.
func (n *notice) shut(x *byBed, id string) {
	reason := ""
	for _, i := range x.units[id] {
		for _, s := range x.a.Units[i].Seasons {
			if s.Status != model.Closed || reason != "" && s.Reason != reason {
				return
			}
			reason = s.Reason
		}
	}
	if reason != "" {
		n.Closed, n.Rows = reason, nil
	}
}

func (x *byBed) noticeRowOf(u *model.Unit, s model.Season) noticeRow {
	r := noticeRow{Species: u.Species, Season: s.Name, From: s.From.String(), To: s.To.String(), Granted: x.granted(s, u)}
	if u.Row != nil {
		r.Common = u.Row.CommonName
	}
	r.Kg = allowed(s)
	r.Stop = s.Over() || s.Status != model.Assessed || s.AdvisedKg == 0 || s.GrantedKg == 0
	if r.Stop {
		return r
	}
	if r.How = howToCut(u.Row); r.How == "" {
		r.How = capital(missingLengths(u.Row))
	}
	for _, c := range s.Closures {
		r.Not = append(r.Not, fmt.Sprintf("not from %s %s: %s", c.From, ifElse(c.To == survey.NoDay, "until further notice", "to "+c.To.String()),
			cmp.Or(c.Reason, "no reason given")))
	}
	if s.ShutOn(x.a.Folder.AsOf) {
		r.Today = "closed today"
	}
	return r
}

// allowed says what of a season may be cut and what is cut already.
func allowed(s model.Season) string {
	done := kilos(s.CutKg)
	switch {
	case s.Status == model.Resting:
		return "nothing: " + s.Reason + allTheSame(s)
	case s.Status != model.Assessed:
		return "nothing: closed, " + s.Reason + allTheSame(s)
	case s.AdvisedKg == 0:
		return "nothing" + allTheSame(s)
	case s.Over():
		return fmt.Sprintf("advised %s kg; %s kg is already cut: stop", kilos(s.AdvisedKg), done)
	case s.UnallocatedKg > 0: // landings of which nobody noted the bed or species
		return fmt.Sprintf("%s; %s is already cut and perhaps %s besides: %s may still be cut, or as little as %s", most(s), ifElse(s.CutKg > 0, done, "0"),
			kilos(s.UnallocatedKg), atMost(s.LeftKg()), ifElse(s.LeftKg() > s.UnallocatedKg, atMost(s.LeftKg()-s.UnallocatedKg), "0"))
	case s.CutKg > 0:
		return fmt.Sprintf("%s; %s is already cut, %s may still be cut", most(s), done, atMost(s.LeftKg()))
	}
	return most(s)
}

// most is what may be cut in a season in which something is advised: what is granted where that is less.
func most(s model.Season) string {
	if s.GrantedKg < s.AdvisedKg*(1-1e-9) {
		return fmt.Sprintf("%s, as granted (%s advised)", kilos(s.GrantedKg), kilos(s.AdvisedKg))
	}
	return kilos(s.AdvisedKg)
}

// allTheSame says what is cut though nothing may be, apart from what was cut before a season was shut.
func allTheSame(s model.Season) string {
	shut := s.Status != model.Assessed
	switch {
	case shut && s.ShutKg > 0:
		return fmt.Sprintf("; %s kg was cut all the same", kilos(s.ShutKg))
	case shut && s.CutKg > 0:
		return fmt.Sprintf("; %s kg was cut before", kilos(s.CutKg))
	case s.CutKg > 0:
		return fmt.Sprintf("; %s kg was cut all the same: stop", kilos(s.CutKg))
	}
	return ""
}

// granted is what decisions.csv says was granted for a season, and whether that is above the advice.
func (x *byBed) granted(s model.Season, u *model.Unit) string {
	if withheldSeason(s) {
		return "withheld" + ifElse(s.GrantOver(), ", above the advice", "")
	}
	if !isNumber(s.GrantedKg) {
		return "no decision recorded"
	}
	out := kilos(s.GrantedKg) + " kg"
	var by []string
	for _, d := range x.decisions[u.Pair] {
		if d.From <= s.To && d.To >= s.From && d.DecidedBy != "" && !slices.Contains(by, d.DecidedBy) {
			by = append(by, d.DecidedBy)
		}
	}
	if len(by) > 0 {
		out += " by " + listed(by)
	}
	if s.GrantOver() {
		out += ", above the advice"
	}
	return out
}

// closuresOf lists the closures of a bed that hold on the day of the assessment or later.
func (x *byBed) closuresOf(id string) []string {
	var out []string
	for _, c := range x.closures.Of(id) {
		if c.To != survey.NoDay && c.To < x.a.Folder.AsOf {
			continue
		}
		what := cmp.Or(c.Species, "all species")
		out = append(out, fmt.Sprintf("%s, from %s until %s: %s", capital(what), c.From, cmp.Or(c.To.String(), "lifted"), cmp.Or(c.Reason, "no reason given")))
	}
	return out
}

// eventsOf lists the storms and other events that struck a bed.
func (x *byBed) eventsOf(id string) []string {
	var out []string
	for _, e := range x.events.Of(id) {
		t := fmt.Sprintf("%s: %s", e.Day, e.Kind)
		if e.Left.OK {
			t += ", left " + percent(e.Left.V) + " of the stock"
		} else if e.Kind != "spill" {
			t += ", what it left is not known"
		}
		out = append(out, t)
	}
	return out
}
