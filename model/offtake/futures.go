package offtake

import (
	"slices"
	"sync"

	"bedstock/model/internal/quantile"
)

// Futures are the coming years of a stand, of which several things are asked under the same chances: what [Choices] and [Ahead]
// tell one by one. Nothing is followed before something is asked; what was told of a fraction or a plan is remembered. Several may
// ask at once.
type Futures struct {
	mu    sync.Mutex
	s     Stand
	rules Rules
	p     *paths // nil: not followed

	choices  []Choice
	glimpses []Glimpse
}

// NewFutures looks as far ahead as the rules do. It panics on a stand or rules that cannot be worked with.
func NewFutures(s Stand, rules Rules) *Futures {
	mustFit(s, rules)
	return &Futures{s: s, rules: rules}
}

// looks are the outlooks of some plans, nil for an annual, whose next year does not follow from what is left.
func (f *Futures) looks(plans []Plan, ends ...int) []outlook {
	if f.s.Annual || len(plans) == 0 {
		return nil
	}
	if f.p == nil {
		f.p = newPaths(f.s, f.rules)
	}
	return f.p.looks(plans, ends)
}

// Free gives the memory back in which the years are followed. What is asked after it and not remembered follows them anew.
func (f *Futures) Free() {
	f.mu.Lock()
	defer f.mu.Unlock()
	f.p.free()
	f.p = nil
}

// Move has the futures of a stand whose draws were moved in memory follow it where it is now.
func (f *Futures) Move(s Stand) {
	if f == nil {
		return
	}
	f.mu.Lock()
	defer f.mu.Unlock()
	f.s = s
}

// Glimpse is what a plan leads to, with the stocks of a few years.
type Glimpse struct {
	Plan
	Years  []int   // asked for
	Stock  []Span  // kg just before their cuts
	Risk   float64 // highest yearly probability below the limit over the horizon
	Yearly float64 // kg cut a year over the horizon, median
}

// Glimpses tell of each plan what [Ahead] does, of the years asked for only, from 1 to the horizon in rising order. Nil for an
// annual. It panics on a negative take or a fraction outside 0-1.
func (f *Futures) Glimpses(years []int, plans ...Plan) []Glimpse {
	mustPlan(plans)
	f.mu.Lock()
	defer f.mu.Unlock()
	find := func(plan Plan) int {
		return slices.IndexFunc(f.glimpses, func(g Glimpse) bool { return g.Plan == plan && slices.Equal(g.Years, years) })
	}
	news := slices.DeleteFunc(slices.Clone(plans), func(plan Plan) bool { return find(plan) >= 0 })
	ends := make([]int, len(years))
	for i, y := range years {
		ends[i] = y - 1
	}
	for i, o := range f.looks(news, ends...) {
		g := Glimpse{Plan: news[i], Years: years, Risk: o.risk, Yearly: o.yield()}
		for _, x := range o.stock {
			g.Stock = append(g.Stock, spanOf(x, f.rules.Level))
		}
		f.glimpses = append(f.glimpses, g)
	}
	var out []Glimpse
	for _, plan := range plans {
		if i := find(plan); i >= 0 {
			out = append(out, f.glimpses[i])
		}
	}
	return out
}

// Medians are the stocks (kg) just before the cut of each year, from today to the horizon, under a plan: their medians over the
// draws. Nil for an annual. It panics as [Futures.Glimpses] does.
func (f *Futures) Medians(plan Plan) []float64 {
	mustPlan([]Plan{plan})
	f.mu.Lock()
	defer f.mu.Unlock()
	ends := make([]int, f.rules.Horizon)
	for y := range ends {
		ends[y] = y
	}
	var out []float64
	for _, o := range f.looks([]Plan{plan}, ends...) {
		out = append(out, Quantile(f.s.B, 0.5))
		for _, x := range o.stock {
			out = append(out, quantile.Of(x, 0.5))
		}
	}
	return out
}
