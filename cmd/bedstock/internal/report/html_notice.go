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
}

type noticeRow struct{ Species, Common, Season, From, To, Kg, How, Granted string }

// noticeOf writes the notice of a bed. An advice of nothing is shown as nothing, no advice as no row.
func noticeOf(a *model.Assessment, id string, p bedPart, opt Options) notice {
	n := notice{Title: p.Name, Invented: opt.Invented, AsOf: a.Folder.AsOf.String(), Closed: p.Closed}
	unknown := 0
	for i := range a.Units {
		u := &a.Units[i]
		if u.Bed != id {
			continue
		}
		if u.Status == model.NotAssessed {
			unknown++
			continue
		}
		for _, s := range u.Seasons {
			if s.Status != model.NotAssessed {
				n.Rows = append(n.Rows, noticeRowOf(a, u, s))
			}
		}
	}
	n.shut(a, id)
	switch {
	case n.Closed != "":
	case len(n.Rows) > 0 && unknown > 0:
		n.None = plural(unknown, "other species was", "other species were") + " found here of which too little is known: no amount is advised."
	case unknown > 0:
		n.None = "Too little is known of what grows here: no amount is advised."
	case len(n.Rows) == 0:
		n.None = "No species of which an amount could be advised was found here."
	}
	n.Closures, n.Events = closuresOf(a, id), eventsOf(a, id)
	return n
}

// shut puts one sentence in place of the rows where everything is closed for the same reason.
func (n *notice) shut(a *model.Assessment, id string) {
	reason := ""
	for i := range a.Units {
		u := &a.Units[i]
		if u.Bed != id {
			continue
		}
		for _, s := range u.Seasons {
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

func noticeRowOf(a *model.Assessment, u *model.Unit, s model.Season) noticeRow {
	r := noticeRow{Species: u.Species, Season: s.Name, From: s.From.String(), To: s.To.String(), How: howToCut(u.Row), Granted: granted(a, u, s)}
	if u.Row != nil {
		r.Common = u.Row.CommonName
	}
	switch s.Status {
	case model.Assessed:
		r.Kg = kilos(s.AdvisedKg)
		if s.AdvisedKg == 0 {
			r.Kg = "nothing"
		}
		if done := cutSoFar(a, u, s); done > 0 {
			r.Kg += fmt.Sprintf(", of which %s cut by %s", kilos(done), a.Folder.AsOf)
		}
	case model.Resting:
		r.Kg = "nothing: " + s.Reason
	default:
		r.Kg = "nothing: closed, " + s.Reason
	}
	return r
}

// howToCut is what may be cut by length and what must be left, as far as the species table says so.
func howToCut(row *survey.Species) string {
	if row == nil {
		return ""
	}
	var parts []string
	if row.MinLength.OK {
		parts = append(parts, fmt.Sprintf("only what is %s cm or longer", number(row.MinLength.V, 3)))
	}
	if row.Leave.OK {
		parts = append(parts, fmt.Sprintf("leave %s cm standing", number(row.Leave.V, 3)))
	}
	return strings.Join(parts, "; ")
}

// cutSoFar is what the returns say was cut in a season that has begun.
func cutSoFar(a *model.Assessment, u *model.Unit, s model.Season) (kg float64) {
	for _, c := range a.Folder.Cuts {
		if c.Bed == u.Bed && c.Species == u.Species && !c.Cast && c.From >= s.From && c.From <= min(s.To, a.Folder.AsOf) {
			kg += c.Kg
		}
	}
	return kg
}

// granted is what decisions.csv says was granted for a season.
func granted(a *model.Assessment, u *model.Unit, s model.Season) string {
	kg, n := 0.0, 0
	var by []string
	for _, d := range a.Folder.Decisions {
		if d.Bed != u.Bed || d.Species != u.Species || d.From > s.To || d.To < s.From {
			continue
		}
		kg += d.Kg
		n++
		if d.DecidedBy != "" && !slices.Contains(by, d.DecidedBy) {
			by = append(by, d.DecidedBy)
		}
	}
	if n == 0 {
		return "no decision recorded"
	}
	out := kilos(kg) + " kg"
	if len(by) > 0 {
		out += " by " + listed(by)
	}
	return out
}

// closuresOf lists the closures of a bed that hold on the day of the assessment or later.
func closuresOf(a *model.Assessment, id string) []string {
	var out []string
	for _, c := range a.Folder.Closures {
		if c.Bed != "*" && c.Bed != id || c.To != survey.NoDay && c.To < a.Folder.AsOf {
			continue
		}
		what := cmp.Or(c.Species, "all species")
		out = append(out, fmt.Sprintf("%s, from %s until %s: %s", capital(what), c.From, cmp.Or(c.To.String(), "lifted"), cmp.Or(c.Reason, "no reason given")))
	}
	return out
}

// eventsOf lists the storms and other events that struck a bed.
func eventsOf(a *model.Assessment, id string) []string {
	var out []string
	for _, e := range a.Folder.Events {
		if e.Bed != "*" && e.Bed != id {
			continue
		}
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
