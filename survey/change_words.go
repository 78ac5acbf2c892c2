package survey

import (
	"fmt"
	"math"
	"strings"
)

// net adds what was cut. A row of several days counts by the share of its days between the surveys.
func (c *comparer) net(out *Change, g *ground) {
	kg, cut := 0.0, false
	for _, r := range c.f.Cuts {
		if r.Bed != out.Bed || r.Species != out.Species || r.Cast {
			continue
		}
		days := min(r.To, out.ToDate-1) - max(r.From, out.FromDate) + 1
		if days <= 0 {
			continue
		}
		cut = true
		kg += r.Kg * float64(days) / float64(r.To-r.From+1)
		if days <= r.To-r.From {
			out.Warnings = append(out.Warnings, fmt.Sprintf("cut from %s to %s lies only in part between the surveys: counted by its days", r.From, r.To))
		}
	}
	loose := Touching(c.landings.MayBeOf(out.Bed, out.Species), out.FromDate, out.ToDate)
	tooMuch := SumKg(loose) > negligibleShare*min(out.FromKg, out.ToKg)
	if len(loose) > 0 && !tooMuch && out.Kg.OK {
		out.Warnings = append(out.Warnings, LandingWords(loose)+" may have been cut here: no more than 1 % of the stock, passed over")
	}
	switch {
	case tooMuch:
		out.Cut = Some(kg)
		out.ReasonNoNet = LandingWords(loose) + " may have been cut here: ask the cutter"
	case !c.f.CutsKnown:
		out.ReasonNoNet = "no rows in harvest.csv: what was cut is not known; write every cut down, and 0 where nothing was cut"
	case g.part && cut:
		out.Cut = Some(kg)
		out.ReasonNoNet = "cut on the bed, surveyed only in part: not known how much was cut on that part; visit every stratum"
	case !out.Kg.OK:
		out.Cut = Some(kg)
		out.ReasonNoNet = "the change is not estimable"
	default:
		out.Cut, out.Net = Some(kg), out.Kg
		out.Net.Value += kg
		out.Net.Lo += kg
		out.Net.Hi += kg
	}
}

// notEstimable is why the change in kg cannot be had and what to measure next time, empty where it can.
func (x *comparison) notEstimable() (reason, next string) {
	for _, s := range []*side{&x.a, &x.b} {
		switch {
		case s.kg.OK:
			continue
		case s.st.Kg.OK:
			reason = s.w.reason
			if reason == "" {
				reason = "neither cover nor weight could be used"
			}
		default:
			reason = s.st.Reason
		}
		return s.st.Survey + ": " + reason, nextTime(reason)
	}
	return "", ""
}

// nextTime is what to measure so that a reason does not return.
func nextTime(reason string) string {
	switch {
	case strings.Contains(reason, "weighed"):
		return fmt.Sprintf("weigh at least %d quadrats that hold it, thin and thick ones", soundPairs)
	case strings.Contains(reason, "one sampling unit"):
		return "lay at least two transects in every stratum"
	case strings.Contains(reason, "area"):
		return "measure the area of the bed"
	}
	return "read cover in every quadrat and weigh some that hold it"
}

// remarks adds what makes the comparison doubtful.
func (c *comparer) remarks(out *Change, x comparison, a, b *Stock) {
	add := func(format string, args ...any) { out.Warnings = append(out.Warnings, fmt.Sprintf(format, args...)) }
	out.Warnings = append(out.Warnings, x.g.warnings...)
	if out.Kg.OK {
		x.remarkKg(out, add)
	}
	if days := daysApart(a.Date, b.Date); days > seasonShift {
		add("surveyed %d days apart in the year: season and change cannot be told apart", days)
	}
	for _, e := range c.f.Events {
		if (e.Bed == a.Bed || e.Bed == "*") && e.Kind != "spill" && e.Day >= a.Date && e.Day < b.Date {
			add("%s of %s lies between the surveys", e.Kind, e.Day)
		}
	}
	for _, r := range c.f.Cuts {
		if r.Bed == a.Bed && r.Species == a.Species && !r.Cast && (within(r, a) || within(r, b)) {
			add("cut of %s during a survey: in part before, in part after what was seen", r.From)
			break
		}
	}
}

// within says whether a cut falls inside the dates of a survey of several days.
func within(r Cut, s *Stock) bool { return s.From < s.To && r.From <= s.To && r.To >= s.From }

// remarkKg adds what is doubtful of the change in kg, and why a bound is missing.
func (x *comparison) remarkKg(out *Change, add func(string, ...any)) {
	a, b := &x.a, &x.b
	switch {
	case !a.found && !b.found:
		add("none found in either survey")
		out.Next = fmt.Sprintf("with %d and %d sampling units at most %.2g and %.2g of the bed may hold it unseen: lay more to see less",
			a.units, b.units, mostShare(a.units, x.opt.Confidence), mostShare(b.units, x.opt.Confidence))
		return
	case a.found != b.found:
		add("none found in %s: interval from the most that %s could have missed", x.empty().st.Survey, counted(x.empty().units, x.empty().s.unitName))
	case a.w.conversion != b.w.conversion || a.w.domain != b.w.domain:
		add("weight by other means than before (%s, then %s): part of the change may be the conversion's", a.w.means(), b.w.means())
	}
	if n, m := a.holding(), b.holding(); a.found && b.found && min(n, m) < minHolding {
		add("interval too narrow: only %d, then %s hold the species", n, counted(m, b.s.unitName))
	}
	if math.IsNaN(out.Kg.Lo) {
		out.Reason = "no interval: no more sampling units than strata"
		out.Next = "lay at least two transects in every stratum"
	}
}

// means is how weight was had.
func (w weight) means() string {
	switch {
	case w.conversion == "direct":
		return "all weighed"
	case w.conversion == "given":
		return "a given conversion"
	case w.domain == "survey":
		return w.conversion + " of the survey"
	}
	return w.conversion + " of " + w.domain
}

// daysApart is by how many days two dates differ within the year, at most half a year.
func daysApart(a, b Day) int {
	days := math.Abs(float64(b - a))
	left := math.Mod(days, DaysPerYear)
	return int(math.Round(min(left, DaysPerYear-left)))
}
