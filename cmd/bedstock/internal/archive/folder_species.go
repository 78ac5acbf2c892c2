package archive

import (
	"strings"

	"bedstock/survey"
)

// speciesCells are the columns of species.csv after the name, with what the table of species says.
var speciesCells = []struct {
	column string
	cell   func(survey.Species) string
}{
	{"common_name", func(s survey.Species) string { return s.CommonName }},
	{"measured", func(s survey.Species) string { return s.Measured }},
	{"life", func(s survey.Species) string { return s.Life }},
	{"r_per_year", func(s survey.Species) string { return numeral(s.R) }},
	{"r_cv", func(s survey.Species) string { return numeral(s.RCV) }},
	{"k_kg_m2", func(s survey.Species) string { return numeral(s.K) }},
	{"k_cv", func(s survey.Species) string { return numeral(s.KCV) }},
	{"peak_month", func(s survey.Species) string { return numeral(s.PeakMonth) }},
	{"amplitude", func(s survey.Species) string { return numeral(s.Amplitude) }},
	{"season_ratio", func(s survey.Species) string { return numeral(s.SeasonRatio) }},
	{"max_frond_cm", func(s survey.Species) string { return numeral(s.MaxFrond) }},
	{"min_length_cm", func(s survey.Species) string { return numeral(s.MinLength) }},
	{"leave_cm", func(s survey.Species) string { return numeral(s.Leave) }},
	{"recruit_cm", func(s survey.Species) string { return numeral(s.RecruitLen) }},
	{"max_fraction", func(s survey.Species) string { return numeral(s.MaxFraction) }},
	{"cover_a_kg_m2", func(s survey.Species) string { return numeral(s.CoverA) }},
	{"cover_b", func(s survey.Species) string { return numeral(s.CoverB) }},
	{"cover_cv", func(s survey.Species) string { return numeral(s.CoverCV) }},
	{"group", func(s survey.Species) string { return s.Group }},
	{"aphia_id", func(s survey.Species) string { return numeral(s.AphiaID) }},
	{"confidence", func(s survey.Species) string { return s.Confidence }},
	{"source", func(s survey.Species) string { return s.Source }},
}

func speciesColumns() []string {
	out := []string{"species"}
	for _, c := range speciesCells {
		out = append(out, c.column)
	}
	return out
}

// speciesRows are the cells that the folder's own species.csv gave, not those of the embedded table.
func speciesRows(f *survey.Folder, _ Options) (out [][]string) {
	for _, s := range f.Species {
		row, own := []string{s.Name}, false
		for _, c := range speciesCells {
			cell := ""
			if from := s.From[c.column]; from != "" && from != "table" {
				cell, own = c.cell(s), true
			}
			row = append(row, cell)
		}
		if own || s.InTable && !tabled(s) {
			out = append(out, row)
		}
	}
	return out
}

// tabled says whether the embedded table has a row of the species.
func tabled(s survey.Species) bool {
	for _, from := range s.From {
		if !strings.HasPrefix(from, "species.csv") {
			return true
		}
	}
	return false
}
