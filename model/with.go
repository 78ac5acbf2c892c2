package model

import (
	"math"
	"slices"

	"bedstock/model/growth"
	"bedstock/model/offtake"
	"bedstock/survey"
)

// With is the assessment anew with other values of the species table: change is called with a copy of each row. Stocks
// stay as they are, so that it serves what concerns growth and offtake, not the conversion from cover. Only, if not nil,
// narrows further what is assessed.
func (a *Assessment) With(only func(Pair) bool, change func(*survey.Species)) *Assessment {
	f := *a.Folder
	f.Species = slices.Clone(f.Species)
	for i := range f.Species {
		change(&f.Species[i])
	}
	cfg := a.Config
	cfg.Ask = nil
	cfg.Only = func(p Pair) bool { return a.keeps(p) && (only == nil || only(p)) }
	return assess(&f, cfg, a.Stocks)
}

// Sensitivity is what becomes of one unit under another value of r in the species table.
type Sensitivity struct {
	Pair
	Factor       float64         // on the table's r; 1: as it stands
	TableR       float64         // per year
	R, K         growth.Interval // per year, kg; NaN where Status is not "ok"
	GrowthStatus string
	AdvisedKg    float64 // of the year; NaN: not assessed
	LimitedBy    offtake.Limit
	Reason       string // why there is no number
}

// SensitivityFactors are those that r of the species table is tried with.
var SensitivityFactors = []float64{1, 0.5, 2}

// Sensitivity tells for each unit with an answer of the growth model what r, K and the year's advice would be if the
// species table had half or twice its r, a row a unit and factor, units by bed and species.
func (a *Assessment) Sensitivity() []Sensitivity {
	runs := make([]*Assessment, len(SensitivityFactors))
	for i, factor := range SensitivityFactors {
		if runs[i] = a; factor != 1 {
			runs[i] = a.With(nil, func(row *survey.Species) { row.R.V *= factor })
		}
	}
	var out []Sensitivity
	for i := range a.Units {
		if pool, _ := a.pooled(&a.Units[i]); pool < 0 {
			continue
		}
		for j, factor := range SensitivityFactors {
			out = append(out, sensitivityOf(&runs[j].Units[i], factor))
		}
	}
	return out
}

func sensitivityOf(u *Unit, factor float64) Sensitivity {
	nan := growth.Interval{Median: math.NaN(), Lo: math.NaN(), Hi: math.NaN()}
	s := Sensitivity{Pair: u.Pair, Factor: factor, TableR: u.Prior.R, R: nan, K: nan, GrowthStatus: u.Growth.Status,
		AdvisedKg: math.NaN(), LimitedBy: offtake.ByNotAssessed, Reason: u.Reason}
	if u.Growth.Status == evidenceOK {
		s.R, s.K = u.Growth.R, u.Growth.K
	}
	if u.Basis != nil {
		s.AdvisedKg, s.LimitedBy = u.Basis.Year.AdvisedKg, u.Basis.Year.LimitedBy
	}
	return s
}
