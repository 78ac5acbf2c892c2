package offtake

import (
	"fmt"
	"math"
	"slices"
)

// Span is a number that differs between the draws: its median and the interval of the rules' level.
type Span struct{ Median, Lo, Hi float64 }

// AheadYear is a stand just before the cut of a coming year, and that cut.
type AheadYear struct {
	Year           int     // 0: today
	Stock          Span    // kg
	Cut            Span    // kg; NaN in the last year, whose cut lies beyond the horizon
	Below, BelowSE float64 // probability of being below the limit, Monte Carlo standard error
}

// Plan is a way of cutting: kg at first, the fraction of the exploitable stock, as the survey before it finds it, at every
// later cut.
type Plan struct{ Kg, Fraction float64 }

// Course is what a plan leads to.
type Course struct {
	Years  []AheadYear // from today to the horizon
	Yearly Span        // kg cut a year over the horizon
}

// Ahead follows the stand over the horizon under each of the plans, all under the same chances. In years of rest the cut
// is 0. An annual, whose next year does not follow from what is left, has none: nil. It panics on a stand or rules that
// cannot be worked with, a negative take or a fraction outside 0-1.
func Ahead(s Stand, rules Rules, plans ...Plan) []Course {
	p := plannedPaths(s, rules, plans)
	if p == nil {
		return nil
	}
	defer p.free()
	courses := make([]Course, len(plans))
	for i, plan := range plans {
		courses[i] = p.course(plan)
	}
	return courses
}

// plannedPaths are those of a stand of which the plans can be told, nil for an annual.
func plannedPaths(s Stand, rules Rules, plans []Plan) *paths {
	mustFit(s, rules)
	mustPlan(plans)
	if s.Annual {
		return nil
	}
	return newPaths(s, rules)
}

func mustPlan(plans []Plan) {
	for _, plan := range plans {
		mustFraction(plan.Fraction)
		if !natural(plan.Kg) {
			panic(fmt.Sprintf("offtake: a take of %g kg", plan.Kg))
		}
	}
}

// course is what a plan leads to.
func (p *paths) course(plan Plan) Course {
	stock, cut, yearly := p.ahead(plan.Kg, plan.Fraction)
	c := Course{Years: make([]AheadYear, p.years+1), Yearly: spanOf(yearly, p.level)}
	for y := range c.Years {
		row := &c.Years[y]
		row.Year, row.Cut = y, Span{math.NaN(), math.NaN(), math.NaN()}
		below := 0
		for i, b := range stock[y] {
			if b < p.floor[i] {
				below++
			}
		}
		row.Below, row.BelowSE = probability(below, p.n)
		row.BelowSE *= p.wider
		row.Stock = spanOf(stock[y], p.level)
		switch {
		case y == p.years:
		case cut[y] == nil:
			row.Cut = Span{}
		default:
			row.Cut = spanOf(cut[y], p.level)
		}
	}
	return c
}

// ahead is the stock of every draw just before the cut of each year, from today to the horizon, each cut, nil where nothing
// is cut of any draw, and what is cut a year, kg.
func (p *paths) ahead(kg, h float64) (stock, cut [][]float64, yearly []float64) {
	yearly = make([]float64, p.n)
	w := p.way(Plan{kg, h})
	stock, cut = make([][]float64, p.years+1), make([][]float64, p.years)
	stock[0] = slices.Clone(p.b[:p.n])
	for y := range p.years {
		stock[y+1] = make([]float64, p.n)
		if y == 0 && kg > 0 || w.meant[y] > 0 {
			cut[y] = make([]float64, p.n)
		}
	}
	for g := range p.groups() {
		p.follow(g, &w)
		for l := range p.inGroup(g) {
			i := g*lanes + l
			first, later := min(kg, p.b[i]), 0.0
			if cut[0] != nil {
				cut[0][i] = first
			}
			for y := range w.v {
				stock[y+1][i] = p.floor[i] / w.v[y][l]
				later += w.cut[y][l]
				if y > 0 && cut[y] != nil {
					cut[y][i] = w.cut[y][l]
				}
			}
			yearly[i] = (later + first) / float64(p.years)
		}
	}
	return stock, cut, yearly
}

// FanYear is the stock just before the cut of a year, kg: median and interval of the rules' level over the draws.
type FanYear struct {
	Year           int // 0: today
	Median, Lo, Hi float64
}

// Fans are the stocks over the horizon under each of the plans, all under the same chances; see [Ahead]. An annual has none:
// nil. It panics as that does.
func Fans(s Stand, rules Rules, plans ...Plan) [][]FanYear {
	p := plannedPaths(s, rules, plans)
	if p == nil {
		return nil
	}
	defer p.free()
	fans := make([][]FanYear, len(plans))
	for i, plan := range plans {
		stock, _, _ := p.ahead(plan.Kg, plan.Fraction)
		for y, x := range stock {
			span := spanOf(x, p.level)
			fans[i] = append(fans[i], FanYear{y, span.Median, span.Lo, span.Hi})
		}
	}
	return fans
}

// Fan is the stock over the horizon when kg are cut at first and the fraction of the exploitable stock at every later
// cut; see [Fans].
func Fan(s Stand, rules Rules, kg, fraction float64) []FanYear {
	fans := Fans(s, rules, Plan{kg, fraction})
	if fans == nil {
		return nil
	}
	return fans[0]
}
