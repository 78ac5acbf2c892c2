package report

import (
	"bedstock/cmd/bedstock/internal/table"
	"bedstock/model"
	"bedstock/model/growth"
)

// speciesColumns are what the beds of a species have in common, as columns of growth.csv: r (per year) and K (kg wet per
// m2 of rock where it can grow) of the species, the sd of log r and of log K between its beds, the process noise on the
// log per root year; then how many surveys of the bed were foretold, how many of them are not as expected, and the
// probability of surveys together as odd as these.
var speciesColumns = []string{"species_r", "species_r_lo", "species_r_hi", "species_k_kg_m2", "species_k_lo", "species_k_hi", "r_spread",
	"k_spread", "process_sd", "surveys_foretold", "surveys_odd", "p_surveys"}

// speciesCells gives the cells of a unit.
func speciesCells(a *model.Assessment, u *model.Unit, check model.GrowthCheck) []table.Cell {
	cells := make([]table.Cell, len(speciesColumns))
	for _, s := range a.Species {
		if s.Species == u.Species && s.Pool.Status == "ok" {
			for i, v := range []growth.Interval{s.Pool.R, s.Pool.K} {
				if v.Median > 0 {
					cells[3*i], cells[3*i+1], cells[3*i+2] = num(v.Median), num(v.Lo), num(v.Hi)
				}
			}
			for i, v := range []growth.Interval{s.Pool.Phi, s.Pool.Omega, s.Pool.Sigma} {
				if v.Median > 0 {
					cells[6+i] = num(v.Median)
				}
			}
		}
	}
	if p := check.Predictive; p.Checked > 0 {
		cells[9], cells[10], cells[11] = table.Int(p.Checked), table.Int(p.Unexpected), num(p.P)
	}
	return cells
}
