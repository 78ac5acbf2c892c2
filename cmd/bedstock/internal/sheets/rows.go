package sheets

import "strings"

// columns are those of quadrats.csv that a planned row needs or is typed into, in the order of the sheet.
var columns = []string{"bed", "date", "stratum", "transect", "quadrat", "quadrat_m2", "visit", "species", "cover_pct",
	"frond_cm", "biomass_g", "weighed_m2", "observer", "notes"}

// surveyColumns are those of surveys.csv.
var surveyColumns = []string{"bed", "survey", "from", "to", "species_sought", "people", "low_water_m", "protocol", "notes"}

// Rows is a quadrats.csv with one row a planned quadrat and species, visit planned, and blank cells for what is found; notes
// says weigh where the quadrat is to be weighed. The date is blank too: a planned one would stand as the true one where the
// weather had another day taken.
// Where form is that of a folder's quadrats.csv its columns come first, in their order, and all is written as there, so that
// the rows can be put below those of the folder; columns that it does not have follow, and more names them.
func Rows(form Form, list []Sheet) (text []byte, more []string) {
	var rows []map[string]string
	for _, s := range list {
		species := s.Species
		if len(species) == 0 {
			species = []Species{{}}
		}
		for _, q := range s.Quadrats {
			notes := ""
			if q.Weigh {
				notes = "weigh"
			}
			for _, sp := range species {
				rows = append(rows, map[string]string{"bed": s.Bed, "stratum": q.Stratum, "transect": q.Transect,
					"quadrat": q.Quadrat, "quadrat_m2": form.number(s.QuadratM2), "visit": "planned",
					"species": sp.Name, "notes": notes})
			}
		}
	}
	return form.under(columns, rows)
}

// Surveys is a surveys.csv with one row a bed, for folders that list their surveys: the name of the survey and its first
// and last day are to be typed in. It is laid out as by [Rows].
func Surveys(form Form, list []Sheet) []byte {
	var rows []map[string]string
	for _, s := range list {
		var sought []string
		for _, sp := range s.Species {
			sought = append(sought, sp.Name)
		}
		rows = append(rows, map[string]string{"bed": s.Bed, "species_sought": strings.Join(sought, "; ")})
	}
	text, _ := form.under(surveyColumns, rows)
	return text
}
