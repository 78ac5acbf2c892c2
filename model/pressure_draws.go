package model

import (
	"fmt"

	"bedstock/model/growth"
	"bedstock/model/offtake"
)

// unitDraws are the draws of a unit that are asked for again from one time between surveys to the next.
type unitDraws struct {
	growth.Draws
	best   []float64   // stock of most yield before a cut, kg
	factor []float64   // see cutFactors
	stocks [][]float64 // at each survey, kg; nil: not asked for yet

	cut, recovery []float64 // of the time that is being looked at, kg
}

func (a *assessor) drawsOf(u *Unit) *unitDraws {
	rules, d := a.out.Rules.Offtake, u.Growth.Draws
	best := offtake.BestStocks(d.Col("r"), d.Col("K"), 1, offtake.StormFactor(rules.StormChance, rules.StormSurvival, 1))
	return &unitDraws{Draws: d, best: best, factor: a.out.cutFactors(u.Growth), stocks: make([][]float64, len(u.Times)),
		cut: make([]float64, d.Len()), recovery: make([]float64, d.Len())}
}

// stock is that of survey i; it is not to be changed.
func (d *unitDraws) stock(i int) []float64 {
	if d.stocks[i] == nil {
		d.stocks[i] = d.Col(fmt.Sprintf("B%d", i))
	}
	return d.stocks[i]
}
