package report

import (
	"fmt"

	"bedstock/model"
)

// Drawn says which figures the report holds.
type Drawn string

// What may be drawn.
const (
	DrawAll     Drawn = "all"     // over all beds, of stands and of regrowth plots
	DrawSummary Drawn = "summary" // over all beds only
	DrawNone    Drawn = "none"    // none
)

// mostUnits is the number of stands from which on only those that need action have figures of their own.
const mostUnits = 60

// drawn lists the stands that get figures of their own, by index.
func drawn(a *model.Assessment) []int {
	var all, pressing []int
	for i := range a.Units {
		u := &a.Units[i]
		if u.Basis == nil && lastKnown(u) == nil {
			continue
		}
		all = append(all, i)
		if s := stateOf(a, u); s == stateAbove || s == stateLow {
			pressing = append(pressing, i)
		}
	}
	if len(all) > mostUnits {
		return pressing
	}
	return all
}

// undrawn says in the page which figures are missing and why; empty: none is.
func undrawn(a *model.Assessment, asked Drawn) string {
	switch asked {
	case DrawNone:
		return "This report was asked for without figures; the tables hold the same numbers."
	case DrawSummary:
		return "This report was asked for with the figures over all beds only; the tables hold the numbers of each stand."
	}
	if n, m := len(drawn(a)), withStock(a); n < m {
		return fmt.Sprintf("Of %d stands with a stock, figures are shown for the %d that need action.", m, n)
	}
	return ""
}

func withStock(a *model.Assessment) (n int) {
	for i := range a.Units {
		if a.Units[i].Basis != nil || lastKnown(&a.Units[i]) != nil {
			n++
		}
	}
	return n
}
