package report

import (
	"slices"

	"bedstock/cmd/bedstock/internal/table"
	"bedstock/model"
	"bedstock/model/growth"
)

// CurveNames are the growth curves that regrowth plots are fitted by, by the names with which they are asked for.
func CurveNames() []string { return growth.PlotShapes }

// IsCurve tells whether there is a curve of a name.
func IsCurve(name string) bool {
	return slices.Contains(growth.PlotShapes, name)
}

// CurveRows are the curves of every regrowth plot: a row a plot and curve, the best first; name narrows to one curve.
func CurveRows(a *model.Assessment, name string) table.Table {
	t := table.Table{Columns: columns("plot", "species", "bed", "curve", "measures", "r_per_year", "r_lo", "r_hi", "k_kg_m2", "k_lo", "k_hi",
		"theta", "theta_lo", "theta_hi", "recovery_years", "residual_sd", "aicc", "delta_aicc", "weight", "status", "reason")}
	for _, p := range a.RankedPlots() {
		if p.Status == growth.PlotNot {
			if name == "" {
				cells := append([]table.Cell{table.Text(p.Plot), table.Text(p.Species), table.Text(p.Bed), table.Text(""), table.Int(p.N)}, make([]table.Cell, 14)...)
				t.Add(append(cells, table.Text(p.Status), table.Text(p.Reason))...)
			}
			continue
		}
		p.LimitCurves()
		for _, c := range p.Curves {
			if name != "" && c.Shape != name {
				continue
			}
			cells := []table.Cell{table.Text(p.Plot), table.Text(p.Species), table.Text(p.Bed), table.Text(c.Shape), table.Int(c.N)}
			cells = append(append(append(cells, three(c.R)...), three(c.K)...), three(c.Theta)...)
			t.Add(append(cells, num(c.Recovery), num(c.RSD), num(c.AICc), num(c.Delta), num(c.Weight), table.Text(c.Status), table.Text(c.Reason))...)
		}
	}
	return t
}
