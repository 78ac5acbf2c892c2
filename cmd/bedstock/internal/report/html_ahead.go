package report

import (
	"fmt"
	"slices"

	"bedstock/model"
	"bedstock/model/offtake"
)

// aheadPart is the table of the coming years of a stand: a row a way of cutting it.
type aheadPart struct {
	Years []string // those whose stock is shown
	Rows  []aheadRow
	Note  string
}

// aheadRow is one way of cutting.
type aheadRow struct {
	Plan, First, Yearly, Risk string
	Stocks                    []aheadStock
	Advised                   bool
}

type aheadStock struct{ Value, Range string }

// aheadOf is the table of the coming years; nil where there is nothing to tell.
func aheadOf(a *model.Assessment, u *model.Unit, f *offtake.Futures) *aheadPart {
	plans, _ := a.Plans(u)
	if len(plans) == 0 || !(u.Basis.Year.ExploitableQ > gram) {
		return nil
	}
	shown := milestones(a.Rules.Offtake.Horizon)
	p := &aheadPart{Note: fmt.Sprintf("Just before the cut of each year. A third: of what is long enough to cut. The chance is that of being below %s of a full bed in the worst of %d years.",
		percent(a.Rules.Offtake.LimitOfK), a.Rules.Offtake.Horizon)}
	for _, y := range shown {
		p.Years = append(p.Years, fmt.Sprint(u.Basis.Open.Year()+y))
	}
	for i, g := range f.Glimpses(shown, model.Ways(plans)...) {
		plan := plans[i]
		if spared := plan.Spared(); spared != "" {
			p.Note += " " + capital(spared) + "."
		}
		row := aheadRow{Plan: capital(plan.Plan), First: kilos(plan.Kg), Yearly: kilos(g.Yearly), Risk: model.RiskWords(g.Risk),
			Advised: plan.Plan == model.AsAdvised}
		for _, s := range g.Stock {
			row.Stocks = append(row.Stocks, aheadStock(spanOf(s.Median, s.Lo, s.Hi)))
		}
		p.Rows = append(p.Rows, row)
	}
	return p
}

// RiskAsCut is the highest yearly risk of a stand of which more is cut in the year than is advised, in words: with what is cut of
// it, and as advised from the next year on. Empty: no more is cut, it is not known, or the risk stays within the rules.
func RiskAsCut(a *model.Assessment, u *model.Unit) string {
	plans, _ := a.Plans(u)
	plans = slices.DeleteFunc(plans, func(p model.Prospect) bool { return p.Plan != model.AsAdvised || !(p.Kg > u.Basis.Year.AdvisedKg) })
	if len(plans) == 0 {
		return ""
	}
	f := futuresOf(a, u)
	defer f.Free()
	risk := f.Glimpses(milestones(a.Rules.Offtake.Horizon), model.Ways(plans)...)[0].Risk
	if risk <= a.Rules.OfftakeOf(u.Pair).Risk {
		return ""
	}
	return model.RiskWords(risk) + " with what is cut"
}

// milestones are the years ahead that are shown: the next, the middle and the last.
func milestones(horizon int) []int {
	out := []int{1}
	for _, y := range []int{(horizon + 1) / 2, horizon} {
		if y > out[len(out)-1] {
			out = append(out, y)
		}
	}
	return out
}
