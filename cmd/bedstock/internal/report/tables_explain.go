package report

import (
	"strings"

	"bedstock/cmd/bedstock/internal/table"
	"bedstock/survey"
)

// explained gathers the rows of an explanation.
type explained struct {
	t    *table.Table
	name []table.Cell
}

func (x explained) add(step, of, item string, value float64, unit string) {
	if c := table.Number(value, 0); !c.IsMissing() {
		row := append(append([]table.Cell{}, x.name...), table.Text(step), table.Text(of), table.Text(item), c, table.Text(unit))
		x.t.Rows = append(x.t.Rows, row)
	}
}

// Explained is a row a number that a stock is made of, in full.
func Explained(all []survey.Explanation) table.Table {
	t := table.Table{Columns: columns("bed", "species", "survey", "step", "of", "item", "value", "unit")}
	for _, e := range all {
		x := explained{&t, []table.Cell{table.Text(e.Stock.Bed), table.Text(e.Stock.Species), table.Text(e.Stock.Survey)}}
		x.design(e)
		x.conversion(e.Conversion, e.Stock.Candidates)
		for _, p := range e.Parts {
			x.add("variance", p.Kind, "V", p.V, "kg2")
			x.add("variance", p.Kind, "df", p.DF, "")
			if p.Kind == survey.PartSampling {
				x.add("variance", p.Kind, "between", p.Between, "kg2")
				x.add("variance", p.Kind, "covariance", p.Covariance, "kg2")
			}
		}
		k := e.Stock.Kg
		if !k.OK {
			continue
		}
		for _, v := range []struct {
			item  string
			value float64
			unit  string
		}{{"stock", k.Value, "kg"}, {"se", k.SE, "kg"}, {"df", k.DF, ""}, {"t", e.T, ""}, {"lo", k.Lo, "kg"}, {"hi", k.Hi, "kg"},
			{"cv", k.CV(), ""}, {"exploitable share", e.Stock.Exploitable, ""}, {"exploitable se", e.Stock.ExploitableSE, ""},
			{"exploitable", k.Value * e.Stock.Exploitable, "kg"}} {
			x.add("result", k.Kind, v.item, v.value, v.unit)
		}
	}
	return t
}

// design are the strata, groups and sampling units.
func (x explained) design(e survey.Explanation) {
	for _, h := range e.Strata {
		x.add("stratum", h.Label, "area", h.Area, "m2")
		x.add("stratum", h.Label, "area_se", h.AreaSE, "m2")
		x.add("stratum", h.Label, e.Unit+"s", float64(h.Units), "")
		if e.Unit != "quadrat" {
			x.add("stratum", h.Label, "quadrats", float64(h.Quadrats), "")
		}
		x.add("stratum", h.Label, "sampled", h.M2, "m2")
		x.add("stratum", h.Label, "quadrats with", float64(h.With), "")
		x.add("stratum", h.Label, "quadrats weighed", float64(h.Weighed), "")
		x.add("stratum", h.Label, "cover", h.Cover, "%")
		x.add("stratum", h.Label, "y", h.KgM2, "kg/m2")
	}
	for _, u := range e.Units {
		x.add(e.Unit, u.Label, "y", u.KgM2, "kg/m2")
		x.add(e.Unit, u.Label, "sampled", u.M2, "m2")
		x.add(e.Unit, u.Label, "Z", u.Z, "kg")
		x.add(e.Unit, u.Label, "C", u.C, "kg")
	}
	for _, g := range e.Groups {
		name := strings.Join(g.Strata, "+")
		x.add("group", name, "n", float64(g.Units), "")
		x.add("group", name, "fpc", g.FPC, "")
		x.add("group", name, "V", g.V, "kg2")
	}
}

// conversion are the numbers by which what was read became weight.
func (x explained) conversion(c survey.ConversionPart, tried []survey.Candidate) {
	for _, p := range c.Params {
		x.add("conversion", c.Model, p.Name, p.Value, "")
	}
	x.add("conversion", c.Model, "v(k)", c.VK, "")
	x.add("conversion", c.Model, "df of k", c.VKDF, "")
	x.add("conversion", c.Model, "X", c.X, "% m2")
	x.add("conversion", c.Model, "scale", c.Scale, "")
	x.add("conversion", c.Model, "mean residual", c.Rest, "kg/m2")
	x.add("conversion", c.Model, "variance between beds", c.TauSquared, "")
	x.add("conversion", c.Model, "cv", c.CV, "")
	x.add("conversion", c.Model, "converted", c.Converted, "kg")
	for _, k := range tried {
		x.add("tried", k.Model, "n", float64(k.N), "")
		if k.LOO.OK {
			x.add("tried", k.Model, "squared error left out in turn", k.LOO.V, "kg2/m4")
		}
	}
}
