package report

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"bedstock/model"
	"bedstock/model/offtake"
	"bedstock/survey"
)

// summaryOf is the one sentence of a stand on the first screen: the advice with what binds it.
func summaryOf(a *model.Assessment, u *model.Unit) string {
	switch {
	case u.Status == model.Closed || u.Status == model.Resting:
		return joinSentences(plainSentence(u), cutWhileShut(u), pastVerdict(u), u.Next())
	case u.Reason == withheldAdvice:
		return joinSentences(Shortly(u, kilos), u.Next())
	case u.Status == model.NotAssessed || u.Basis == nil:
		return joinSentences(fmt.Sprintf("Not assessed: %s.", plainReason(u.Reason)), model.NextUnknown(u.Reason))
	case nothingMeasured(u):
		return joinSentences(stop(u), "Nothing is advised: by the lower figure of the survey nothing may stand here; more transects would tell.")
	case !(advisedAtAll(u) > 0):
		f := futuresOf(a, u)
		defer f.Free()
		return joinSentences(stop(u), forbidden(a, u), outlook(a, u, f), u.Next())
	}
	return joinSentences(stop(u), given(u), held(a, u), caveat(u), u.Next())
}

func joinSentences(parts ...string) string {
	return strings.Join(slices.DeleteFunc(parts, func(s string) bool { return s == "" }), " ")
}

// advisedAtAll is the advice of all seasons together, kg.
func advisedAtAll(u *model.Unit) (kg float64) {
	for _, s := range u.Seasons {
		if isNumber(s.AdvisedKg) {
			kg += s.AdvisedKg
		}
	}
	return kg
}

// stop says where more is cut than is advised.
func stop(u *model.Unit) string { return stopIn(u, kilos) }

// stopIn is the same; kg writes a weight.
func stopIn(u *model.Unit, kg func(float64) string) string {
	for _, s := range u.Seasons {
		switch {
		case s.Over() && math.IsInf(s.CutKg, 1) && !isNumber(s.AdvisedKg):
			return fmt.Sprintf("Stop: more is cut in %s than is advised.", seasonHead(s))
		case s.Over() && math.IsInf(s.CutKg, 1):
			return fmt.Sprintf("Stop: more is cut in %s than the %s kg that is advised.", seasonHead(s), ifElse(s.AdvisedKg > 0, kg(s.AdvisedKg), "0"))
		case s.Over():
			return fmt.Sprintf("Stop: %s kg is cut in %s, %s kg is advised.", kg(s.CutKg), seasonHead(s), ifElse(s.AdvisedKg > 0, kg(s.AdvisedKg), "0"))
		}
	}
	return ""
}

// cutWhileShut says what is cut though nothing may be cut.
func cutWhileShut(u *model.Unit) string {
	for _, s := range u.Seasons {
		if s.Over() {
			return fmt.Sprintf("%s kg was cut in %s all the same.", kilos(s.ShutKg), seasonHead(s))
		}
	}
	return ""
}

// pastVerdict keeps in mind that a stand which is shut was cut above its recovery.
func pastVerdict(u *model.Unit) string {
	if u.Last == nil || u.Last.Verdict != offtake.AboveRecovery {
		return ""
	}
	return verdictSentence(u)
}

// given is what may be cut, by season; of a season already cut beyond its advice it says nothing more.
func given(u *model.Unit) string {
	var amounts, others []string
	for _, s := range u.Seasons {
		switch {
		case s.Over():
		case s.Status == model.Assessed:
			amounts = append(amounts, fmt.Sprintf("%s kg in %s", kilos(s.AdvisedKg), seasonHead(s)))
		case s.Status == model.NotAssessed:
			others = append(others, fmt.Sprintf("no advice for %s", seasonHead(s)))
		default:
			others = append(others, fmt.Sprintf("nothing in %s (%s)", seasonHead(s), plainReason(s.Reason)))
		}
	}
	if len(amounts) > 0 {
		others = append([]string{"at most " + listed(amounts)}, others...)
	}
	if len(others) == 0 {
		return ""
	}
	return capital(strings.Join(others, "; ")) + "."
}

// forbidden says why nothing should be cut.
func forbidden(a *model.Assessment, u *model.Unit) string {
	y := u.Basis.Year
	switch {
	case u.Basis.Stand.Exploitable == 0:
		return "Nothing should be cut: nothing of the stock is long enough."
	case y.LimitedBy == offtake.ByRisk && y.RiskKg == 0:
		return "Nothing should be cut: " + uncutRisk(a) + lowNow(a, y) + "."
	}
	return "Nothing should be cut: " + model.Words(y.LimitedBy) + " forbids it" + lowNow(a, y) + "."
}

// lowNow says how likely the stand is below the limit already, where that is more than the risk that is allowed.
func lowNow(a *model.Assessment, y offtake.Advice) string {
	if !(y.RiskNow > a.Rules.Offtake.Risk) {
		return ""
	}
	return fmt.Sprintf("; the chance that it stands below %s of one today is %s", percent(a.Rules.Offtake.LimitOfK), percent(y.RiskNow))
}

// uncutRisk says that the risk is too high without any cut.
func uncutRisk(a *model.Assessment) string {
	return fmt.Sprintf("even 0 kg does not keep the chance of being below %s of a full bed within %s", percent(a.Rules.Offtake.LimitOfK),
		percent(a.Rules.Offtake.Risk))
}

// held says how low stock holds the offtake down.
func held(a *model.Assessment, u *model.Unit) string {
	if !isLow(a, u) {
		return ""
	}
	return fmt.Sprintf("The stock is probably below %s of a full bed: the offtake is held to %s of what the limits would give.",
		percent(a.Rules.Offtake.TriggerOfK), percent(u.Basis.Year.LowStock))
}

// outlook says where a stand that is probably below its trigger stands, and when it is expected above it if nothing is
// cut. Empty: it is not so low, or its next year does not follow from this one.
func outlook(a *model.Assessment, u *model.Unit, f *offtake.Futures) string {
	r, s := a.Rules.OfftakeOf(u.Pair), u.Basis.Stand
	if !(u.Basis.PBelow(r.TriggerOfK) > 0.5) || s.Annual {
		return ""
	}
	k := rounded(s.K)
	name, share := "trigger", r.TriggerOfK
	if u.Basis.PBelow(r.LimitOfK) > 0.5 {
		name, share = "limit", r.LimitOfK
	}
	out := fmt.Sprintf("Now %s kg, probably below the %s of %s kg.", rounded(s.B)(1), name, k(share))
	trigger := ifElse(name == "trigger", "it", "the trigger of "+k(r.TriggerOfK)+" kg")
	above := r.TriggerOfK * offtake.Quantile(s.K, 0.5)
	for y, kg := range f.Medians(offtake.Plan{}) {
		if kg > above {
			return out + fmt.Sprintf(" If nothing is cut it is expected above %s about %d.", trigger, u.Basis.Open.Year()+y)
		}
	}
	return out + fmt.Sprintf(" If nothing is cut it is not expected above %s within %s.", trigger, plural(r.Horizon, "year", "years"))
}

// rounded writes shares of the median of the draws with the digits that their spread allows.
func rounded(x []float64) func(share float64) string {
	m, lo, hi := offtake.Quantile(x, 0.5), offtake.Quantile(x, 0.025), offtake.Quantile(x, 0.975)
	return func(share float64) string { return spanOf(share*m, share*lo, share*hi).Value }
}

// caveat is what should be borne in mind first with an advice, two things at most: what struck the stand since the survey,
// an old or a partial survey, an unknown regrowth, few transects.
func caveat(u *model.Unit) string {
	b := u.Basis
	var all []string
	for _, e := range u.Losses {
		if e.Day >= b.Stock.Date && e.Left.OK {
			all = append(all, fmt.Sprintf("the %s of %s left %s of what was surveyed", e.Kind, e.Day, percent(e.Left.V)))
		}
	}
	if last := u.Stocks[len(u.Stocks)-1]; last.Date > b.Stock.Date && last.Status == survey.SurveyedPart {
		all = append(all, fmt.Sprintf("the stock is that of %s, as the last survey did not reach the whole bed", b.Stock.Date))
	} else if old := oldest(u); old != survey.NoDay {
		all = append(all, fmt.Sprintf("the survey of %s is over a year older than the season", old))
	}
	if b.Year.Weak() {
		all = append(all, "little is known of how fast it regrows here"+ifElse(b.Year.LimitedBy == offtake.ByCap, ", so a smaller share is advised", ""))
	}
	if few := few(b.Stock); few != "" {
		all = append(all, few)
	}
	if len(all) == 0 {
		return ""
	}
	return "Mind: " + strings.Join(all[:min(len(all), 2)], "; ") + "."
}

// oldest is the day of the survey that an advice rests on more than a year later; NoDay: none does.
func oldest(u *model.Unit) survey.Day {
	for _, s := range u.Seasons {
		if s.Status == model.Assessed && s.Survey != survey.NoDay && float64(s.From-s.Survey) > survey.DaysPerYear {
			return s.Survey
		}
	}
	return survey.NoDay
}

// few says that a stock rests on few transects or quadrats holding the species.
func few(s survey.Stock) string {
	for _, w := range s.Warnings {
		if _, rest, ok := strings.Cut(w, "interval too narrow: "); ok {
			return rest
		}
	}
	return ""
}

// verdictSentence says how the last cut stood against what grew, no weight with more digits than its interval allows.
func verdictSentence(u *model.Unit) string {
	if u.Last == nil {
		return ""
	}
	if withheldTimes(u.Last) {
		return fmt.Sprintf("Cut against recovery between %s and %s: %s; the weights are withheld.", u.Last.From, u.Last.To, u.Last.VerdictWords())
	}
	r := u.Last.Recovery
	s := spanOf(r.Median, r.Lo, r.Hi)
	lo, hi, _ := strings.Cut(strings.TrimPrefix(s.Range, hardly), " to ")
	return u.VerdictSentence(func(v float64) string {
		switch {
		case math.IsNaN(v) || s.Range == "":
			return kilos(v)
		case v == r.Median:
			return s.Value
		case v == r.Lo:
			return lo
		case v == r.Hi:
			return hi
		}
		return kilos(v)
	})
}
