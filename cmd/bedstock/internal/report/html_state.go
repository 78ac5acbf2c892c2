package report

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"bedstock/model"
	"bedstock/model/offtake"
	"bedstock/survey"
)

// state is what a manager must know of a stand first. Its order is that of what needs action.
type state int

const (
	stateAbove    state = iota // more was cut than grew back
	stateOver                  // more is cut in a season than is advised
	stateGranted               // more is granted than is advised
	stateLow                   // more likely than not below the trigger, or nothing can be cut for low stock
	stateUnknown               // too little known
	stateWithheld              // there is an advice, which is not told in this edition
	stateClosed
	stateResting
	stateOpen
)

// badge is a state as it is shown: words, a mark that is not colour, and the name of a style.
type badge struct{ Words, Mark, Class string }

var badges = map[state]badge{
	stateAbove:    {"cut above recovery", "▲", "above"},
	stateOver:     {"cut beyond the advice", "■", "over"},
	stateGranted:  {"granted above the advice", "◆", "over"},
	stateLow:      {"low stock", "▼", "low"},
	stateUnknown:  {"too little known", "?", "unknown"},
	stateWithheld: {"advice withheld", "–", "unknown"},
	stateClosed:   {"closed", "✕", "closed"},
	stateResting:  {"resting", "=", "closed"},
	stateOpen:     {"may be cut", "●", "open"},
}

func (s state) badge() badge { return badges[s] }

// statesOf tells all that must be known of a stand, what puts it where it stands in the list first. A stand that is
// closed or rests needs no action for what was cut before, but that is not forgotten.
func statesOf(a *model.Assessment, u *model.Unit) []state {
	var out []state
	above := u.Last != nil && u.Last.Verdict == offtake.AboveRecovery
	shut := u.Status == model.Closed || u.Status == model.Resting
	if above && !shut {
		out = append(out, stateAbove)
	}
	if slices.ContainsFunc(u.Seasons, model.Season.Over) {
		out = append(out, stateOver)
	} else if !shut && slices.ContainsFunc(u.Seasons, model.Season.GrantOver) {
		out = append(out, stateGranted)
	}
	switch {
	case u.Status == model.Closed:
		out = append(out, stateClosed)
	case u.Status == model.Resting:
		out = append(out, stateResting)
	case u.Status != model.Assessed && u.Reason == withheldAdvice || u.Basis == nil && slices.ContainsFunc(u.Seasons, withheldAdviceOf):
		out = append(out, stateWithheld)
	case u.Status == model.NotAssessed || u.Basis == nil || nothingMeasured(u):
		out = append(out, stateUnknown)
	case isLow(a, u):
		out = append(out, stateLow)
	case len(out) == 0:
		out = append(out, stateOpen)
	}
	if above && shut {
		out = append(out, stateAbove)
	}
	return out
}

// stateOf tells what needs action most in a stand.
func stateOf(a *model.Assessment, u *model.Unit) state { return statesOf(a, u)[0] }

// badgesOf shows all that must be known of a stand.
func badgesOf(a *model.Assessment, u *model.Unit) []badge {
	var out []badge
	for _, s := range statesOf(a, u) {
		out = append(out, s.badge())
	}
	return out
}

// nothingMeasured tells whether the survey is too rough to tell that anything may be cut.
func nothingMeasured(u *model.Unit) bool {
	return u.Basis != nil && u.Basis.Stand.SurveyQ > 0 && u.Basis.Stand.Exploitable > 0 && u.Basis.Year.ExploitableQ < gram
}

// gram in kg: less than that is nothing.
const gram = 1e-3

// isLow tells whether the stock is more likely than not below the trigger, or whether there is nothing to give.
func isLow(a *model.Assessment, u *model.Unit) bool {
	return u.Basis.Year.AdvisedKg == 0 || u.Basis.PBelow(a.Rules.Offtake.TriggerOfK) > 0.5
}

// byAction orders the stands by what needs action, most pressing first.
func byAction(a *model.Assessment) []int {
	order, states := make([]int, len(a.Units)), make([]state, len(a.Units))
	for i := range order {
		order[i], states[i] = i, stateOf(a, &a.Units[i])
	}
	slices.SortStableFunc(order, func(x, y int) int {
		return cmp.Or(cmp.Compare(states[x], states[y]), cmp.Compare(pressRank(&a.Units[x]), pressRank(&a.Units[y])), x-y)
	})
	return order
}

// pressRank puts stands that are still above the best level behind those that are not.
func pressRank(u *model.Unit) int {
	if u.Last != nil && u.Last.AboveBest {
		return 1
	}
	return 0
}

// unsettled stands for a growth model that has not converged, in words for everybody.
const unsettled = "the growth model found no settled answer from these surveys; the methods part has the figures"

// forMethods tells whether a text speaks the language of the methods part.
func forMethods(text string) bool {
	t := strings.ToLower(text)
	for _, w := range []string{"r-hat", "draws", "posterior", "prior", "not converged"} {
		if strings.Contains(t, w) {
			return true
		}
	}
	return false
}

// plainReason is a reason in words for everybody.
func plainReason(reason string) string {
	switch {
	case reason == "":
		return "no reason given"
	case forMethods(reason):
		return unsettled
	case reason == "no ratio" || reason == string(model.NotAssessed):
		return "too little is known"
	}
	return reason
}

// plainSentence is the advice of a stand in words for everybody.
func plainSentence(u *model.Unit) string { return plainly(u, kilos) }

// plainly is the advice of a stand in words for everybody; kg writes a weight.
func plainly(u *model.Unit, kg func(float64) string) string {
	if u.Reason == withheldAdvice {
		return "The advice is withheld, as it would tell what was cut before."
	}
	if s := u.Sentence(kg); !forMethods(s) {
		return s
	}
	return fmt.Sprintf("Not assessed: %s.", unsettled)
}

// Shortly is the advice of a stand, after what is cut beyond it where the advice does not tell that; kg writes a weight.
func Shortly(u *model.Unit, kg func(float64) string) string {
	advice := plainly(u, kg)
	if strings.HasPrefix(advice, "No more in ") {
		return advice
	}
	return joinSentences(stopIn(u, kg), advice)
}

// InWords is the advice of a stand and what to do next, in words for everybody; kg writes a weight.
func InWords(u *model.Unit, kg func(float64) string) string {
	return joinSentences(plainly(u, kg), u.Next())
}

// limiting says what sets the limit of a season, with how much low stock takes off.
func limiting(s model.Season) string {
	switch s.LimitedBy {
	case offtake.ByLowStock:
		if s.Year != nil && !math.IsNaN(s.Year.LowStock) {
			if s.Year.LowStock < 0.005 {
				return "low stock: all taken off"
			}
			return fmt.Sprintf("low stock: %s taken off", percent(1-s.Year.LowStock))
		}
	case offtake.ByCutBefore:
		return fmt.Sprintf("%s kg cut too much before: taken off", kilos(s.OffKg))
	case offtake.ByNotAssessed:
		return ifElse(withheldAdviceOf(s), "withheld", "too little known")
	case offtake.ByRisk:
		return "risk of falling too low"
	case offtake.ByCap:
		return "highest share allowed"
	case offtake.ByReplacement:
		return "no more than regrows"
	case offtake.ByOldSurvey:
		return "old survey: no more than it advised when new"
	}
	return string(s.LimitedBy)
}

// warningsOf lists what stands beside a stand's numbers, each once: those of its last stock, of the stand and of its
// seasons. Those of the methods are left to the methods part.
func warningsOf(u *model.Unit) []string {
	var lists [][]string
	if n := len(u.Stocks); n > 0 {
		lists = append(lists, u.Stocks[n-1].Warnings)
	}
	lists = append(lists, u.Warnings)
	for _, s := range u.Seasons {
		lists = append(lists, s.Warnings)
	}
	var out []string
	for _, list := range lists {
		for _, w := range list {
			if !forMethods(w) && !slices.Contains(out, w) {
				out = append(out, w)
			}
		}
	}
	return out
}

// bedName is the name of a stand's bed, its label where it has none.
func bedName(u *model.Unit) string {
	return cmp.Or(u.Where.Name, u.Bed)
}

// place is the bed of an assessment with what holds for it on the day of the assessment.
func place(a *model.Assessment, b survey.Bed) survey.BedPeriod { return b.At(a.Folder.AsOf) }
