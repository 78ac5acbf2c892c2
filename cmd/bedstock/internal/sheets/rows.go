package sheets

import (
	"bytes"
	"encoding/csv"
	"slices"
	"strconv"
	"strings"
)

// columns are those of quadrats.csv that a planned row needs or is typed into, in the order of the sheet.
var columns = []string{"bed", "date", "stratum", "transect", "quadrat", "quadrat_m2", "visit", "species", "cover_pct",
	"frond_cm", "biomass_g", "weighed_m2", "observer", "notes"}

// surveyColumns are those of surveys.csv.
var surveyColumns = []string{"bed", "survey", "from", "to", "species_sought", "people", "low_water_m", "protocol", "notes"}

// Rows is a quadrats.csv with one row a planned quadrat and species, visit planned, and blank cells for what is found; notes
// says weigh where the quadrat is to be weighed. The date is blank too: a planned one would stand as the true one where the
// weather had another day taken.
// Where header is that of a folder's quadrats.csv its columns come first, in their order, so that the rows can be put
// below those of the folder; columns that it does not have follow.
func Rows(header []string, list []Sheet) []byte {
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
					"quadrat": q.Quadrat, "quadrat_m2": strconv.FormatFloat(s.QuadratM2, 'g', -1, 64), "visit": "planned",
					"species": sp.Name, "notes": notes})
			}
		}
	}
	return under(header, columns, rows)
}

// Surveys is a surveys.csv with one row a bed, for folders that list their surveys: the name of the survey and its first
// and last day are to be typed in. The header is laid out as by [Rows].
func Surveys(header []string, list []Sheet) []byte {
	var rows []map[string]string
	for _, s := range list {
		var sought []string
		for _, sp := range s.Species {
			sought = append(sought, sp.Name)
		}
		rows = append(rows, map[string]string{"bed": s.Bed, "species_sought": strings.Join(sought, "; ")})
	}
	return under(header, surveyColumns, rows)
}

// under writes rows under a header, with the columns that it lacks behind; strata and transects only where there are any.
func under(header, columns []string, rows []map[string]string) []byte {
	names := slices.Clone(header)
	for _, c := range columns {
		used := func(cells map[string]string) bool { return cells[c] != "" }
		if laid := c == "stratum" || c == "transect"; !slices.Contains(names, c) && (!laid || slices.ContainsFunc(rows, used)) {
			names = append(names, c)
		}
	}
	all := [][]string{names}
	for _, cells := range rows {
		record := make([]string, len(names))
		for i, n := range names {
			record[i] = cells[n]
		}
		all = append(all, record)
	}
	var b bytes.Buffer
	if err := csv.NewWriter(&b).WriteAll(all); err != nil {
		panic("sheets: writing to memory: " + err.Error())
	}
	return b.Bytes()
}

// Lacking lists the columns of a table made by [Rows] or [Surveys] that the header it was made for does not have.
func Lacking(text []byte, header []string) []string {
	names, err := csv.NewReader(bytes.NewReader(text)).Read()
	if err != nil {
		return nil
	}
	return names[len(header):]
}
