package offtake

import (
	"fmt"
	"math"
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

// Ahead follows the stand over the horizon when kg are cut at first and the fraction of the exploitable stock, as the
// survey before it finds it, at every later cut: a row a year from today to the horizon. In years of rest the cut is 0.
// An annual, whose next year does not follow from what is left, has none: nil. It panics on a stand or rules that cannot
// be worked with, a negative take or a fraction outside 0-1.
func Ahead(s Stand, rules Rules, kg, fraction float64) []AheadYear {
	mustFit(s, rules)
	mustFraction(fraction)
	if !natural(kg) {
		panic(fmt.Sprintf("offtake: a take of %g kg", kg))
	}
	if s.Annual {
		return nil
	}
	p := newPaths(s, rules)
	stock, cut := p.ahead(kg, fraction)
	rows := make([]AheadYear, p.years+1)
	for y := range rows {
		rows[y] = AheadYear{Year: y, Cut: Span{math.NaN(), math.NaN(), math.NaN()}}
		below := 0
		for i, b := range stock[y] {
			if b < p.floor[i] {
				below++
			}
		}
		rows[y].Below, rows[y].BelowSE = probability(below, p.n)
		rows[y].BelowSE *= p.wider
		rows[y].Stock = spanOf(stock[y], p.level)
		if y < p.years {
			rows[y].Cut = spanOf(cut[y], p.level)
		}
	}
	return rows
}

// ahead is the stock of every draw just before the cut of each year, from today to the horizon, and each cut, kg.
func (p *paths) ahead(kg, h float64) (stock, cut [][]float64) {
	for range p.years + 1 {
		stock, cut = append(stock, make([]float64, p.n)), append(cut, make([]float64, p.n))
	}
	ever := 0
	for i, b := range p.b {
		stock[0][i] = b
		p.follow(i, kg, h, func(y int, v, taken float64) {
			stock[y+1][i] = p.floor[i] / v
			cut[y][i] = taken
		}, &ever)
		cut[0][i] = min(kg, b)
	}
	return stock, cut
}

// spanOf draws, which it reorders.
func spanOf(x []float64, level float64) Span {
	return Span{quantileOf(x, 0.5), quantileOf(x, (1-level)/2), quantileOf(x, (1+level)/2)}
}

// FanYear is the stock just before the cut of a year, kg: median and interval of the rules' level over the draws.
type FanYear struct {
	Year           int // 0: today
	Median, Lo, Hi float64
}

// Fan is the stock over the horizon when kg are cut at first and the fraction of the exploitable stock at every later
// cut; see [Ahead]. An annual has none: nil.
func Fan(s Stand, rules Rules, kg, fraction float64) []FanYear {
	var years []FanYear
	for _, y := range Ahead(s, rules, kg, fraction) {
		years = append(years, FanYear{y.Year, y.Stock.Median, y.Stock.Lo, y.Stock.Hi})
	}
	return years
}
