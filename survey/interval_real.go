package survey

import (
	"fmt"
	"math"
)

// minHolding is the number of sampling units holding a species below which the real cover of a 95 % interval is under
// 90 % whether or not there are units without the species; manyHolding the number below which it is so where there are.
const (
	minHolding  = 10
	manyHolding = 15
)

// coverRow is a row of realCover.
type coverRow struct {
	most              int     // transects holding it, at most
	t, log, bootstrap float64 // percent; NaN: hardly ever possible
}

// realCover is the percent of surveys of a patchy species in which a 95 % interval holds the true stock, by the number
// of transects in which the species was found, from the simulations of testdata/interval (holding.csv). The last row is
// of surveys with transects that do not hold it.
var realCover = []coverRow{
	{1, 77, 83, math.NaN()},
	{3, 87, 89, math.NaN()},
	{minHolding - 1, 89, 91, 96},
	{manyHolding - 1, 86, 91, 94},
}

// coverOf is the real cover of a kind of interval where n of all sampling units hold the species; ok is false where it
// is near enough to 95 % not to be told.
func coverOf(kind string, n, all int) (percent float64, ok bool) {
	if n >= manyHolding || n >= minHolding && n == all {
		return 0, false
	}
	for _, row := range realCover {
		if n > row.most {
			continue
		}
		percent = row.t
		switch {
		case kind == "bootstrap" && !math.IsNaN(row.bootstrap):
			percent = row.bootstrap
		case kind != "t":
			percent = row.log
		}
		return percent, percent < 93
	}
	return 0, false
}

// narrow warns where so few sampling units hold the species that its interval is known to be too narrow.
func (e *estimator) narrow(st *Stock, s *fieldwork) {
	kind := e.opt.Interval
	if kind == "bootstrap" && st.Kg.Kind != "bootstrap" {
		kind = "log-t"
	}
	if percent, ok := coverOf(kind, st.PSUWith, st.PSU); ok && st.PSUWith > 0 {
		st.Warnings = append(st.Warnings, narrowWords(st.PSUWith, s.unitName, percent))
	}
}

// tooNarrow says how few sampling units hold the species, fewer than minHolding, and what a t interval then covers.
func tooNarrow(n int, unit string) string {
	percent, _ := coverOf("t", n, n)
	return narrowWords(n, unit, percent)
}

func narrowWords(n int, unit string, percent float64) string {
	holds := "hold"
	if n == 1 {
		holds = "holds"
	}
	return fmt.Sprintf("interval too narrow: only %s %s the species; where it is patchy, a 95 %% interval holds the stock about %.0f %% of the time",
		counted(n, unit), holds, percent)
}
