package model

import (
	"strconv"

	"bedstock/model/offtake"
)

// unitDraws are the draws of a unit that are asked for again from one time between surveys to the next.
type unitDraws struct {
	best   []float64   // stock of most yield before a cut, kg
	factor []float64   // see cutFactors
	stock  [][]float64 // at each survey, kg

	cut, recovery []float64 // of the time that is being looked at, kg
}

// drawsOf are those of a unit whose growth is estimated.
func (a *assessor) drawsOf(u *Unit) *unitDraws {
	rules, n, names := a.out.Rules.Offtake, u.Growth.Draws.Len(), []string{"r", "K"}
	for i := range u.Times {
		names = append(names, "B"+strconv.Itoa(i))
	}
	cols := u.Growth.Draws.Cols(names...)
	best := offtake.BestStocks(cols[0], cols[1], 1, offtake.StormFactor(rules.StormChance, rules.StormSurvival, 1))
	return &unitDraws{best, a.out.cutFactors(u.Growth), cols[2:], make([]float64, n), make([]float64, n)}
}
