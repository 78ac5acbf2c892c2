package survey

import "slices"

// Visited is one survey of one bed: the rows of quadrats.csv that belong together in time.
type Visited struct {
	Bed, Survey string
	Declared    bool // surveys.csv has it; else it was recognised by its dates
	From, To    Day
	Date        Day // mean date of its quadrats
	Protocol    string
	Sought      []string // species looked for, sorted
	AllSought   bool     // the survey does not say which: all of the folder
	Rows        []int    // rows visited, by stratum, transect, quadrat, date and species; none where it was not done
}

// Visits are all surveys of a folder by bed and date, as [Stocks] takes them. Of opt it needs the window alone.
func Visits(f *Folder, opt Options) []Visited {
	all := f.NamedSpecies()
	var out []Visited
	for _, r := range rounds(f, opt.WindowDays) {
		v := Visited{Bed: f.Beds[r.bed].ID, Survey: r.label, Declared: r.declared != nil, From: r.from, To: r.to, Date: r.date, Sought: all, AllSought: true}
		if r.declared != nil {
			v.Protocol = r.declared.Protocol
			if r.declared.Sought != nil {
				v.AllSought = false
				v.Sought = slices.Sorted(slices.Values(r.declared.Sought))
			}
		}
		for _, row := range r.rows {
			v.Rows = append(v.Rows, int(row))
		}
		out = append(out, v)
	}
	return out
}
