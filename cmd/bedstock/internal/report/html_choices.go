package report

import (
	"fmt"
	"slices"
	"strings"

	"bedstock/model"
	"bedstock/model/offtake"
)

// choiceRow is one way of cutting and what it leads to.
type choiceRow struct {
	Share, Kg, Risk, Ever, Next, NextRange, Yield string
	Mark                                          string // why the row stands out
	Within                                        bool   // the risk keeps to the rule
	Advised                                       bool
}

// choicesOf is the table from which people choose: 0, 5, ..., 60 % of what is long enough to cut, with the advice
// among them; those that its figure was drawn from are not worked out again.
func choicesOf(a *model.Assessment, u *model.Unit, f *offtake.Futures, drawn []offtake.Choice) ([]choiceRow, string) {
	y := u.Basis.Year
	if nothingMeasured(u) {
		return nil, "By the lower figure of the survey nothing may stand here, so there is nothing to choose from."
	}
	if !(y.ExploitableQ > 0) {
		return nil, "Nothing of the stock is long enough to be cut, so there is nothing to choose from."
	}
	advised := u.AdvisedShare()
	shares := model.Shares(advised)
	choices := choicesAt(shares, drawn)
	if choices == nil {
		choices = choicesBeside(f, shares, slices.Index(shares, advised), y)
	}
	var rows []choiceRow
	for _, c := range choices {
		row := choiceRow{Share: percent(c.Fraction), Kg: kilos(c.Kg), Risk: riskCell(c.Risk, c.RiskSE), Ever: chanceCell(c.RiskEver),
			Next: numberOr(c.NextMedian, kilos), Yield: numberOr(c.YieldPerYear, kilos), Within: c.Risk <= a.Rules.Offtake.Risk}
		if isNumber(c.NextMedian) {
			s := spanOf(c.NextMedian, c.NextLo, c.NextHi)
			row.Next, row.NextRange = s.Value, s.Range
		}
		if c.Fraction == advised { // with the digit that tells it from the one beside it
			row.Share, row.Advised = number(100*c.Fraction, 3)+" %", true
		}
		row.Mark = Remark(u, c, a.Rules.Offtake.Risk)
		rows = append(rows, row)
	}
	note := fmt.Sprintf("Each row: cutting this share of what is long enough to cut, this year and at every later cut. "+
		"The rules allow a chance of %s in any one year.", percent(a.Rules.Offtake.Risk))
	return rows, note
}

// choicesBeside are the choices of some shares, of which that at a place (-1: none) is advised: what it leads to stands in the
// advice.
func choicesBeside(f *offtake.Futures, shares []float64, at int, y offtake.Advice) []offtake.Choice {
	if at < 0 {
		return f.Choices(shares)
	}
	others := f.Choices(slices.Delete(slices.Clone(shares), at, at+1))
	return slices.Insert(others, at, y.Choice())
}

// Remark says of a share that one may choose that it is the one advised, or which limit it exceeds; risk is the highest that
// the rules allow.
func Remark(u *model.Unit, c offtake.Choice, risk float64) string {
	remark := ""
	switch {
	case c.Fraction == u.AdvisedShare():
		remark = "advised"
	case c.Risk > risk:
		remark = "risk too high"
	case c.Kg > u.Basis.Year.CapKg*(1+1e-9):
		remark = "above the cap"
	case c.Kg > u.Basis.Year.ReplacementKg*(1+1e-9):
		remark = "above the replacement"
	}
	if u.CutAlready(c.Kg) {
		remark = strings.TrimPrefix(remark+"; more is cut already", "; ")
	}
	return remark
}
