package report

import (
	"fmt"
	"math"
	"strings"

	"bedstock/cmd/bedstock/internal/table"
	"bedstock/model"
	"bedstock/model/offtake"
	"bedstock/survey"
)

// Significant digits in the tables for other programs: more than the surveys allow, so that sums and ratios made from
// them do not drift; what people read is rounded to what the standard error allows.
const digits = 6

func columns(names ...string) []table.Column {
	out := make([]table.Column, len(names))
	for i, n := range names {
		out[i].Name = n
	}
	return out
}

func num(v float64) table.Cell { return table.Number(v, digits) }

// if the estimate is OK, its number.
func est(e survey.Estimate, v float64) table.Cell {
	if !e.OK {
		return table.Missing
	}
	return num(v)
}

func day(d survey.Day) table.Cell { return table.Text(d.String()) }

func joined(list []string) table.Cell { return table.Text(strings.Join(list, "; ")) }

// Stock is stock.csv: a row a bed, species and survey.
func Stock(stocks []survey.Stock) table.Table {
	t := stockLayout.empty()
	for _, s := range stocks {
		t.Add(table.Text(s.Bed), table.Text(s.Species), table.Text(s.Survey), day(s.Date),
			est(s.Cover, s.Cover.Value), est(s.Cover, s.Cover.SE), est(s.Kg, s.Kg.Value), est(s.Kg, s.Kg.SE),
			est(s.Kg, s.Kg.Lo), est(s.Kg, s.Kg.Hi), est(s.Kg, s.Kg.DF),
			table.Int(s.Quadrats), table.Int(s.PSU), table.Int(s.Weighed), table.Text(s.Conversion), table.Text(s.Domain),
			est(s.Kg, s.Kg.Value*s.Exploitable), table.Text(string(s.Status)), table.Text(s.Reason), joined(s.Warnings))
	}
	return t
}

// Growth is growth.csv: a row a bed and species.
func Growth(a *model.Assessment) table.Table {
	t := growthLayout.empty()
	checks := a.GrowthChecks()
	for i := range a.Units {
		u := &a.Units[i]
		r, k := u.Growth.R, u.Growth.K
		cells := make([]table.Cell, 8)
		if u.Growth.Status == "ok" {
			for j, v := range []float64{r.Median, r.Lo, r.Hi, k.Median, k.Lo, k.Hi} {
				cells[j] = num(v)
			}
		}
		if u.Growth.ESS > 0 {
			cells[6], cells[7] = table.Number(u.Growth.RHat, 4), table.Number(u.Growth.ESS, 4)
		}
		status := u.Growth.Status
		if u.Growth.Reason != "" {
			status += ": " + u.Growth.Reason
		}
		row := append([]table.Cell{table.Text(u.Bed), table.Text(u.Species)}, cells...)
		row = append(row, table.Int(len(u.Times)), table.Int(a.PlotsUsed(u)), table.Text(status), table.Text(u.Evidence(a)))
		t.Add(append(append(row, before(u)...), speciesCells(a, u, checks[i])...)...)
	}
	return t
}

// before is what was held of r and K before the surveys spoke, and the sd of log r over that of the species table.
func before(u *model.Unit) []table.Cell {
	cells := make([]table.Cell, 7)
	if u.Growth.Status == "ok" {
		r, k := u.Growth.PriorR, u.Growth.PriorK
		for i, v := range []float64{r.Median, r.Lo, r.Hi, k.Median, k.Lo, k.Hi, u.Growth.LogRShrink} {
			cells[i] = num(v)
		}
	}
	return cells
}

// Plots is plots.csv: a row a regrowth plot.
func Plots(a *model.Assessment) table.Table {
	t := plotsLayout.empty()
	for _, p := range a.RankedPlots() {
		t.Add(table.Text(p.Plot), table.Text(p.Species), table.Text(p.Bed), table.Int(p.N), num(p.Years), num(p.R), num(p.RLo), num(p.RHi),
			num(p.K), num(p.KLo), num(p.KHi), num(p.RSD), table.Text(p.Status), table.Text(p.Reason), joined(p.Warnings))
	}
	return t
}

// riskNow is the chance of standing below the limit already, of an advice that may be none.
func riskNow(y *offtake.Advice) table.Cell {
	if y == nil {
		return table.Cell{}
	}
	return num(y.RiskNow)
}

// Quota is quota.csv: a row a bed, species and season; advice and next_step say in words what the row of every season of
// the bed and species comes to. A bed that was never surveyed has a row without species.
func Quota(a *model.Assessment) table.Table {
	t := quotaLayout.empty()
	for i := range a.Units {
		u := &a.Units[i]
		for _, s := range u.Seasons {
			row := []table.Cell{table.Text(u.Bed), table.Text(u.Species), table.Text(s.Name), day(s.From), day(s.To),
				num(s.AdvisedKg), table.Text(string(s.LimitedBy))}
			year := make([]table.Cell, 8)
			if y := s.Year; y != nil {
				for j, v := range []float64{y.CapKg, y.ReplacementKg, y.RiskKg, y.LowStock, y.Risk, y.RiskSE, y.RiskEver, y.Fraction} {
					year[j] = num(v)
				}
				if s.Status != model.Assessed { // the limits hold if it were open; the risk is that of a take that is not allowed
					clear(year[4:])
				}
			}
			row = append(row, year...)
			t.Add(append(row, table.Text(string(s.Status)), table.Text(s.Reason), joined(append(s.Warnings[:len(s.Warnings):len(s.Warnings)], u.Warnings...)),
				num(s.GrantedKg), num(s.CutKg), num(s.LeftKg()), table.Text(plainly(u, kgWords)), table.Text(u.Next()), riskNow(s.Year))...)
		}
	}
	for _, bed := range a.Unsurveyed() {
		row := make([]table.Cell, len(t.Columns))
		row[0], row[6], row[15], row[16] = table.Text(bed), table.Text(string(offtake.ByNotAssessed)), table.Text(string(model.NotAssessed)), table.Text(model.UnsurveyedReason)
		row[21], row[22] = table.Text("Not assessed: "+model.UnsurveyedReason+"."), table.Text(model.NextUnknown(model.UnsurveyedReason))
		t.Add(row...)
	}
	return t
}

// Pressure is pressure.csv: a row a bed, species and time between two surveys.
func Pressure(a *model.Assessment) table.Table {
	t := pressureLayout.empty()
	for i := range a.Units {
		u := &a.Units[i]
		for _, p := range u.Pressure {
			t.Add(table.Text(u.Bed), table.Text(u.Species), day(p.From), day(p.To), num(p.CutKg), num(p.CastKg),
				num(p.Recovery.Median), num(p.Recovery.Lo), num(p.Recovery.Hi), num(p.PAbove),
				num(p.Ratio.Median), num(p.Ratio.Lo), num(p.Ratio.Hi), table.Text(p.VerdictWords()), table.Text(p.Reason))
		}
	}
	return t
}

// kgWords is [model.Kg], and says what the public edition withholds.
func kgWords(v float64) string {
	if math.IsInf(v, 1) {
		return undisclosed
	}
	return model.Kg(v)
}

// significant shows a weight for people with the digits its interval allows.
func significant(v, lo, hi float64) string {
	if math.IsNaN(lo) || math.IsNaN(hi) {
		return model.Kg(v)
	}
	return table.Significant(v, (hi-lo)/4)
}

// Interval writes "median (lo to hi)" with the digits the interval allows.
func Interval(v, lo, hi float64) string {
	if math.IsNaN(v) {
		return "-"
	}
	if math.IsNaN(lo) || math.IsNaN(hi) {
		return significant(v, lo, hi)
	}
	return fmt.Sprintf("%s (%s to %s)", significant(v, lo, hi), significant(lo, lo, hi), significant(hi, lo, hi))
}
