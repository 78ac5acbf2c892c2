package report

import (
	"bedstock/cmd/bedstock/internal/table"
	"bedstock/model"
	"bedstock/model/growth"
)

// speciesFields are what the beds of a species have in common, as columns of growth.csv, and how the surveys of the bed
// stand to what the model expected.
var speciesFields = []field{
	numberField("species_r", "1/year", "Rate of regrowth of the species over its beds, or those of its reach of a long coast, median.").from(0),
	numberField("species_r_lo", "1/year", "Lower end of its interval.").from(0),
	numberField("species_r_hi", "1/year", "Upper end of its interval.").from(0),
	numberField("species_k_kg_m2", "kg/m2", "Ceiling of the species per m2 of rock where it can grow, median.").from(0),
	numberField("species_k_lo", "kg/m2", "Lower end of its interval.").from(0),
	numberField("species_k_hi", "kg/m2", "Upper end of its interval.").from(0),
	numberField("r_spread", "", "Standard deviation of log r between the beds, median.").from(0),
	numberField("k_spread", "", "Standard deviation of log K between the beds, median.").from(0),
	numberField("process_sd", "", "Process noise on the log of the stock, per root year, median.").from(0),
	countField("surveys_foretold", "Surveys of the bed that could be foretold from those before."),
	countField("surveys_odd", "How many of them are not as expected."),
	shareField("p_surveys", "Probability of surveys together as odd as these."),
}

// speciesCells gives the cells of a unit.
func speciesCells(a *model.Assessment, u *model.Unit, check model.GrowthCheck) []table.Cell {
	cells := make([]table.Cell, len(speciesFields))
	if s := a.SpeciesOf(u); s != nil && s.Pool.Status == "ok" {
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
	if p := check.Predictive; p.Checked > 0 {
		cells[9], cells[10], cells[11] = table.Int(p.Checked), table.Int(p.Unexpected), num(p.P)
	}
	return cells
}
