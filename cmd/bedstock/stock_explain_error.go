package main

import (
	"fmt"
	"math"
	"strings"

	"bedstock/cmd/bedstock/internal/table"
	"bedstock/survey"
)

// errors is the variance, part by part, and the interval.
func (e explainer) errors() {
	x := e.x
	if len(x.Parts) == 0 {
		e.line("  one sampling unit: how units differ cannot be told, so there is no standard error")
		return
	}
	e.between()
	e.parts()
	k := x.Stock.Kg
	e.line("  SE = sqrt(v) = %s kg, CV = SE / B = %s", eight(k.SE), eight(k.CV()))
	e.line("  df = v^2 / sum(V^2 / df) = %s", eight(k.DF))
	e.interval()
}

// between are the sampling units and the variance between them.
func (e explainer) between() {
	x := e.x
	strata := len(x.Strata) > 1
	columns := []table.Column{col(x.Unit)}
	if strata {
		columns = append(columns, col("stratum"))
	}
	if x.Unit != "quadrat" {
		columns = append(columns, col("quadrats"))
	}
	columns = append(columns, col("sampled", "m2"), col("y", "kg/m2"), col("Z", "kg"))
	own := e.ownWeighed()
	if own {
		columns = append(columns, col("C", "kg"))
	}
	var rows [][]table.Cell
	for _, u := range folded(x.Units, x.Unit) {
		row := []table.Cell{table.Text(u.Label)}
		if strata {
			row = append(row, table.Text(stratumName(u.Stratum)))
		}
		if x.Unit != "quadrat" {
			row = append(row, table.Int(u.Quadrats))
		}
		if row = append(row, eight(u.M2), eight(u.KgM2), eight(u.Z)); own {
			row = append(row, eight(u.C))
		}
		rows = append(rows, row)
	}
	if x.Unit == "quadrat" {
		e.line("  Z = A m2 / (m2 sampled of the stratum) (y of the quadrat - y of the stratum)")
	} else {
		e.line("  Z = sum of A m2 / (m2 sampled of the stratum) (y of the quadrat - y of the stratum), over the quadrats of a %s", x.Unit)
	}
	if own {
		e.line("  C = %s: what the weighed quadrats of a %s move B by through the conversion", e.conversionPart(), x.Unit)
	}
	e.table(columns, rows)
	var all []string
	for _, g := range x.Groups {
		e.line("  %s", e.group(g))
		all = append(all, eight(g.V).String())
	}
	if len(all) > 1 {
		e.line("  between %ss: %s = %s kg2", x.Unit, strings.Join(all, " + "), eight(x.Parts[0].Between))
	}
}

// folded are the sampling units, single quadrats without the species joined where they are alike.
func folded(units []survey.UnitPart, unit string) []survey.UnitPart {
	if unit != "quadrat" {
		return units
	}
	type kind struct {
		stratum string
		m2, z   float64
	}
	count := map[kind]int{}
	for _, u := range units {
		if u.KgM2 == 0 && u.C == 0 {
			count[kind{u.Stratum, u.M2, u.Z}]++
		}
	}
	var out []survey.UnitPart
	for _, u := range units {
		k := kind{u.Stratum, u.M2, u.Z}
		n := count[k]
		switch {
		case u.KgM2 != 0 || u.C != 0 || n == 1:
			out = append(out, u)
		case n > 1:
			u.Label = fmt.Sprintf("%d without it, each", n)
			count[k] = 0
			out = append(out, u)
		}
	}
	return out
}

// conversionPart is the formula of C.
func (e explainer) conversionPart() string {
	if e.x.Conversion.Model == "ratio" {
		return "X sum w (y - k x) / (sum of w x over all that were weighed)"
	}
	return "sum of psi of the generalised regression"
}

// group is the variance of one group in words.
func (e explainer) group(g survey.GroupPart) string {
	name := "whole bed"
	if g.Strata[0] != "" {
		name = "stratum " + clean(strings.Join(g.Strata, " with "))
		if len(g.Strata) > 1 {
			name = "strata " + clean(strings.Join(g.Strata, ", ")) + " (they share a transect)"
		}
	}
	if g.Units == 1 {
		return fmt.Sprintf("%s: one %s, V = %s kg2", name, e.x.Unit, eight(g.V))
	}
	factor := fmt.Sprintf("%d/%d", g.Units, g.Units-1)
	if g.FPC != 1 {
		factor = eight(g.FPC).String() + " " + factor
	}
	return fmt.Sprintf("%s: V = %s sum (Z - mean Z)^2 = %s kg2", name, factor, eight(g.V))
}

// partWords are the parts of the variance in words.
var partWords = map[string]string{
	survey.PartSampling:    "sampling, between units",
	survey.PartWeighing:    "own conversion",
	survey.PartCurve:       "weight on length",
	survey.PartCalibration: "conversion from outside",
	survey.PartClass:       "cover in classes",
	survey.PartBeds:        "beds that differ",
	survey.PartGiven:       "given conversion",
	survey.PartArea:        "area of the bed",
}

// partFormula is how a part is made of numbers above it.
func (e explainer) partFormula(p survey.VariancePart) string {
	c := e.x.Conversion
	switch {
	case p.Kind == survey.PartSampling && p.Covariance != 0:
		how := fmt.Sprintf("%s + 2 cov(Z, C); 2 cov = %s", eight(p.Between), eight(p.Covariance))
		if p.Between+p.Covariance < 0 {
			how += "; not below 0"
		}
		return how
	case p.Kind == survey.PartWeighing && c.Model == "ratio":
		return "X^2 v(k)" + squares(p)
	case p.Kind == survey.PartCalibration && c.Model == "ratio":
		return "X^2 v(k)"
	case p.Kind == survey.PartWeighing:
		return "weighed quadrats about the model, and its parameters" + squares(p)
	case p.Kind == survey.PartBeds && c.Model == "ratio":
		return "X^2 times the variance between beds"
	case p.Kind == survey.PartBeds:
		return "converted kg squared times the variance between beds"
	case p.Kind == survey.PartClass:
		class := strings.Split(p.ID, "|")
		return fmt.Sprintf("class %s of %s: (sum over its quadrats of weight x what the conversion makes of the class's width)^2 / 12", class[2], class[1])
	case p.Kind == survey.PartGiven:
		return "(cover_cv times the converted kg)^2"
	case p.Kind == survey.PartArea:
		return "Goodman: y^2 v(A) - v(A) v(y)"
	}
	return ""
}

// squares is how a conversion's variance comes from the units' C.
func squares(p survey.VariancePart) string {
	if math.IsNaN(p.Factor) {
		return ", between quadrats: weighed in one unit only"
	}
	return " = " + eight(p.Factor).String() + " sum C^2"
}

// parts are the components of the variance.
func (e explainer) parts() {
	var rows [][]table.Cell
	sum := 0.0
	for _, p := range e.x.Parts {
		df := eight(p.DF)
		if math.IsInf(p.DF, 1) {
			df = table.Text("known")
		}
		shared := ""
		if p.ID != "" {
			shared = strings.ReplaceAll(p.ID, "|", ", ")
		}
		rows = append(rows, []table.Cell{table.Text(partWords[p.Kind]), eight(p.V), df, table.Text(e.partFormula(p)), table.Text(shared)})
		sum += p.V
	}
	e.table([]table.Column{col("part of v"), col("V", "kg2"), col("df"), col("is"), col("shared with other stocks as")}, rows)
	e.line("  v = sum of V = %s kg2", eight(sum))
}

// interval is how the interval was made.
func (e explainer) interval() {
	k := e.x.Stock.Kg
	level := fmt.Sprintf("%g %%", 100*k.Level)
	switch {
	case math.IsNaN(k.Lo):
		e.line("  no interval: no more sampling units than strata")
	case k.SE == 0:
		e.line("  nothing varies: the interval is the estimate")
	case k.Kind == "t":
		e.line("  t = %s (%s, df as above)", eight(e.x.T), level)
		e.line("  %s interval = B - t SE (not below 0) to B + t SE = %s to %s kg", level, eight(k.Lo), eight(k.Hi))
	case k.Kind == "log-t":
		e.line("  t = %s (%s, df as above); on the log, as B - t SE would be below 0 or the rules ask for it", eight(e.x.T), level)
		e.line("  %s interval = B exp(-t s) to B exp(t s), s = sqrt(log(1 + v / B^2)) = %s to %s kg", level, eight(k.Lo), eight(k.Hi))
	default:
		e.line("  %s interval by %s = %s to %s kg", level, k.Kind, eight(k.Lo), eight(k.Hi))
	}
}

// exploitable is the share of the stock that may be cut by length.
func (e explainer) exploitable() {
	s := e.x.Stock
	switch {
	case s.Exploitable == 1 && s.ExploitableSE == 0:
		e.line("  species.csv has no length rule for it: all of B")
	case s.Exploitable == 1 && math.IsNaN(s.ExploitableSE):
		e.line("  the lengths cannot tell: all of B is taken (see the warnings)")
	default:
		se := "unknown"
		if !math.IsNaN(s.ExploitableSE) {
			se = eight(s.ExploitableSE).String()
		}
		e.line("  share long enough, above what is left standing = %s (SE %s)", eight(s.Exploitable), se)
	}
	if s.FrondMean.OK {
		e.line("  mean length of what was measured: %s cm", table.Number(s.FrondMean.V, 3))
	}
	e.line("  %s times B = %s kg", eight(s.Exploitable), eight(s.Exploitable*s.Kg.Value))
}
