package model

import (
	"math"
	"slices"

	"bedstock/model/plan"
	"bedstock/survey"
)

// finish tells what a plan costs and will tell, and lays it out.
func (p *planner) finish(w *bedPlan) {
	if w.out.Status == plan.NotEstimable {
		return
	}
	e, costs := w.effort, w.problem.Costs
	w.out.Quadrats, w.out.Weigh = e.Quadrats, e.Weigh
	w.out.Work = costs.Work(e)
	w.out.Tides, w.out.Minutes = costs.Tides(w.out.Work), costs.Minutes(w.out.Work)
	grounds := p.grounds(w)
	w.out.Strata = plan.LayOut(w.out.Bed, w.problem.Layers, grounds, e, w.loose, p.opt.Seed)
	w.missed(grounds)
	more, _ := w.problem.LeastCV(w.out.Work + 60)
	for _, name := range w.planned {
		w.out.Species = append(w.out.Species, p.expected(w, name, more))
	}
	for _, name := range sortedKeysOf(w.subject) {
		if !slices.Contains(w.planned, name) {
			w.out.Species = append(w.out.Species, p.expected(w, name, plan.Effort{}))
		}
	}
	for _, c := range w.last {
		if c.Groups == nil && c.Reason != "" {
			x := nothingExpected(c.Stock.Species)
			x.Status, x.Reason = plan.NotEstimable, "at the last survey: "+c.Reason
			w.out.Species = append(w.out.Species, x)
		}
	}
	if w.out.Work > 0 && w.loose {
		w.out.Warnings = append(w.out.Warnings, "quadrats stand without transects, as at the last survey: finding each is counted in quadrat_minutes")
	}
}

func nothingExpected(species string) plan.Expected {
	nan := math.NaN()
	return plan.Expected{Species: species, CV: nan, Lo: nan, Hi: nan, SampleCV: nan, LastCV: nan, HourCV: nan, StockKg: nan, CapKg: nan, CapThen: nan}
}

// expected is what the plan will tell of a species; more is the effort of another hour, empty where it was not planned for.
func (p *planner) expected(w *bedPlan, name string, more plan.Effort) plan.Expected {
	s, layers := w.subject[name], w.problem.Layers
	x := nothingExpected(name)
	x.Status, x.Planned = plan.OK, slices.Contains(w.planned, name)
	x.CV, x.SampleCV = s.CV(layers, w.effort), s.SampleCV(layers, w.effort)
	if more.All() > 0 {
		x.HourCV = min(x.CV, s.CV(layers, more))
	}
	x.Lo, x.Hi = s.Interval(layers, w.effort, p.rules.Survey.Confidence, plan.Stream(p.opt.Seed, "spread|"+w.out.Bed+"|"+name))
	for _, v := range s.Spreads {
		if v.Origin.Pretended {
			x.Status, x.Reason = plan.Guess, "rests on values that are guesses in part"
		}
	}
	weighed := w.effort.Weigh * w.effort.All()
	if w.effort.Weigh < w.effort.Quadrats && weighed < s.Need {
		x.Status = plan.Guess
		x.Reason = "too few of the weighed quadrats will hold it for a conversion of its own: it will lean on other surveys, with their error on top"
	}
	i := slices.IndexFunc(w.last, func(c survey.Components) bool { return c.Stock.Species == name })
	if i < 0 {
		x.Reason = w.out.Reason
		return x
	}
	st := w.last[i].Stock
	if st.PSUWith < heldLeast {
		x.Status, x.Reason = plan.Guess, "found on fewer than three transects at the last survey: how it varies is hardly known"
		if w.cut[name] && !x.Planned && len(p.opt.Species) == 0 {
			x.Reason += "; it is cut here and not planned for unless --species names it"
		}
	}
	x.StockKg, x.LastCV = st.Kg.Value, st.Kg.CV()
	x.CapKg, x.CapThen = p.caps(w, st, x.CV)
	return x
}

// caps are the highest cuts by the fraction rule from the last survey alone and from the planned one, should it find the
// same stock: the fraction of the stock_quantile of what is long enough to cut.
func (p *planner) caps(w *bedPlan, st survey.Stock, cv float64) (now, then float64) {
	fraction := p.rules.Offtake.MaxFraction
	for _, row := range p.f.Species {
		if row.Name == st.Species && row.MaxFraction.OK {
			fraction = min(fraction, row.MaxFraction.V)
		}
	}
	next := st.Kg
	next.SE, next.DF = cv*st.Kg.Value, float64(w.effort.All()-len(w.problem.Layers))
	if w.loose {
		next.DF = float64(w.effort.All()*w.effort.Quadrats - len(w.problem.Layers))
	}
	q := p.rules.Offtake.StockQuantile
	return fraction * st.Exploitable * st.Kg.Quantile(q), fraction * st.Exploitable * next.Quantile(q)
}
