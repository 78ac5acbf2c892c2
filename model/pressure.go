package model

import (
	"fmt"
	"math"

	"bedstock/model/growth"
	"bedstock/model/offtake"
	"bedstock/survey"
)

// pressure sets, for each two surveys in a row, what was cut between them against what grew:
//
//	recovery = B[i+1] - B[i] + cut
//
// over the joint draws of the stocks, so that the surveys' errors and the growth model both speak, and of the share of the
// cut that is reported.
func (a *assessor) pressure(u *Unit) {
	var d *unitDraws
	if u.Growth.Status == "ok" && a.out.Folder.CutsKnown {
		d = a.drawsOf(u)
	}
	for i := 0; i+1 < len(u.Times); i++ {
		from, to := u.Stocks[u.Times[i]].Date, u.Stocks[u.Times[i+1]].Date
		p := Pressure{From: from, To: to, CastKg: a.cast(u.Pair, from, to), CutKg: math.NaN()}
		p.unknown("")
		switch {
		case !a.out.Folder.CutsKnown:
			p.Reason = "cuts not known: no rows in harvest.csv"
		case u.Series.CutsTo != 0 && to.Years() > u.Series.CutsTo:
			p.Reason = fmt.Sprintf("returns are in up to %s only (returns_complete_to)", a.out.Rules.ReturnsCompleteTo)
		case u.Growth.Status != "ok":
			p.CutKg = a.cutBetween(u.Series, i)
			p.Reason = u.Growth.Status
		default:
			a.judge(u, i, &p, d)
		}
		u.Pressure = append(u.Pressure, p)
	}
	for i := range u.Pressure {
		if u.Pressure[i].Reason == "" {
			u.Last = &u.Pressure[i]
		}
	}
}

var unknownInterval = growth.Interval{Median: math.NaN(), Lo: math.NaN(), Hi: math.NaN()}

func (p *Pressure) unknown(reason string) {
	p.Recovery, p.Ratio, p.PAbove, p.StockStart = unknownInterval, unknownInterval, math.NaN(), math.NaN()
	p.Verdict, p.Reason = offtake.PressureNotAssessed, reason
}

// judge fills the verdict.
func (a *assessor) judge(u *Unit, i int, p *Pressure, d *unitDraws) {
	p.CutKg = a.cutBetween(u.Series, i)
	a.verdict(u, i, p, 0, d)
	a.bound(u, i, p, d)
}

// verdict judges a time in which so many kg more were cut than p has.
func (a *assessor) verdict(u *Unit, i int, p *Pressure, more float64, d *unitDraws) {
	before, after := d.stock[i], d.stock[i+1]
	reported := (p.CutKg + more) * a.out.Rules.ReportedShare
	for j, f := range d.factor {
		d.cut[j] = f * reported
		d.recovery[j] = after[j] - before[j] + d.cut[j]
	}
	v := offtake.PressureDraws(d.cut, d.recovery, aboveBest(d.best, after))
	p.Recovery = growth.Interval{Median: v.RecoveryKg, Lo: v.RecoveryLo, Hi: v.RecoveryHi}
	p.Ratio = growth.Interval{Median: v.Ratio, Lo: v.RatioLo, Hi: v.RatioHi}
	p.PAbove, p.Verdict, p.AboveBest = v.PAbove, v.Finding, v.Note != ""
	p.StockStart = offtake.Quantile(before, 0.5)
	p.Note, p.Storm = "", stormBetween(u, p.From, p.To)
	edge := 2 * math.Sqrt(p.PAbove*(1-p.PAbove)/u.Growth.ESS)
	switch {
	case p.Verdict == offtake.AboveRecovery && p.Storm != "":
		p.Verdict, p.Note = offtake.CannotTell, "the "+p.Storm+" took its part"
	case p.Verdict == offtake.AboveRecovery && p.PAbove-edge < 0.975, p.Verdict == offtake.BelowRecovery && p.PAbove+edge > 0.025:
		p.Verdict, p.Note = offtake.CannotTell, "at the edge"
	}
}

// stormBetween names the first storm or other loss recorded between two surveys, empty where there is none.
func stormBetween(u *Unit, from, to survey.Day) string {
	for _, e := range u.Losses {
		if e.Day >= from && e.Day < to {
			return fmt.Sprintf("%s of %s", e.Kind, e.Day)
		}
	}
	return ""
}

// aboveBest is the probability that the stock is above the level of most yield.
func aboveBest(best, stock []float64) float64 {
	above := 0
	for d, b := range best {
		if stock[d] > b {
			above++
		}
	}
	return float64(above) / float64(len(stock))
}

// cutBetween is what was cut from the day of survey i until the day before survey i+1, with the unreported share.
func (a *assessor) cutBetween(s growth.Series, i int) float64 {
	sum := 0.0
	for _, c := range s.Cuts {
		if c.T >= s.Surveys[i].T && c.T < s.Surveys[i+1].T {
			sum += c.Kg
		}
	}
	return sum / a.out.Rules.ReportedShare
}

func (a *assessor) cast(p Pair, from, to survey.Day) float64 {
	sum := 0.0
	for _, c := range a.cutsOf(p) {
		if c.Cast && c.From >= from && c.From < to {
			sum += c.Kg
		}
	}
	return sum
}

// VerdictWords is the verdict with what must stand beside it.
func (p Pressure) VerdictWords() string {
	switch {
	case p.Note != "":
		return string(p.Verdict) + ": " + p.Note
	case p.AboveBest && p.Verdict == offtake.AboveRecovery:
		return string(p.Verdict) + ", " + offtake.StillAboveBest
	}
	return string(p.Verdict)
}
