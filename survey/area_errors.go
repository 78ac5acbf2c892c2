package survey

import "slices"

// largeAreaCV is the standard error over its area from which it is doubted; judgement, no source.
const largeAreaCV = 0.5

// areaErrors notes standard errors of areas that are as large as the areas, and strata without one beside others that
// have one: theirs would count as sure.
func (c *checker) areaErrors() {
	const hint = "a standard error is in m2, as the area"
	for _, b := range c.f.Beds {
		for _, p := range b.Periods {
			if p.AreaSE.OK && p.AreaSE.V > largeAreaCV*p.Area {
				c.found.doubt(bedsTable.file, p.Line, "area_se_m2", hint, "%.6g m2 is much for the area of bed %s, %.6g m2", p.AreaSE.V, b.ID, p.Area)
			}
		}
	}
	given, blank := map[string]bool{}, map[string][]Stratum{}
	var beds []string
	for _, s := range c.f.Strata {
		if s.AreaSE.OK && s.AreaSE.V > largeAreaCV*s.Area {
			c.found.doubt(strataTable.file, s.Line, "area_se_m2", hint, "%.6g m2 is much for the area of stratum %s of bed %s, %.6g m2",
				s.AreaSE.V, s.Stratum, s.Bed, s.Area)
		}
		if !slices.Contains(beds, s.Bed) {
			beds = append(beds, s.Bed)
		}
		if s.AreaSE.OK {
			given[s.Bed] = true
		} else {
			blank[s.Bed] = append(blank[s.Bed], s)
		}
	}
	for _, bed := range beds {
		if !given[bed] || len(blank[bed]) == 0 {
			continue
		}
		var names []string
		for _, s := range blank[bed] {
			names = append(names, s.Stratum)
		}
		c.found.doubt(strataTable.file, blank[bed][0].Line, "area_se_m2", "give every stratum its standard error, 0 where its area is sure",
			"is blank for stratum %s of bed %s and given for others: the blank ones are taken as sure", listed(names, 8), bed)
	}
}
