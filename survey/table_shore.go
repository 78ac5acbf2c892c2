package survey

import (
	"cmp"
	"slices"
)

// readBeds reads beds.csv, the rows of one bed together.
func (r *reading) readBeds() {
	type row struct {
		Bed      textCell   `csv:"bed"`
		Name     textCell   `csv:"name"`
		Shore    textCell   `csv:"shore"`
		Zone     textCell   `csv:"zone"`
		Area     numberCell `csv:"area_m2"`
		AreaSE   numberCell `csv:"area_se_m2"`
		Suitable numberCell `csv:"suitable_fraction"`
		Lat      numberCell `csv:"lat"`
		Lon      numberCell `csv:"lon"`
		Status   textCell   `csv:"status"`
		Reason   textCell   `csv:"reason"`
		From     dayCell    `csv:"from"`
	}
	rows, lines := readSmall[row](r, &bedsTable)
	seen := newKeys(&bedsTable, r.found)
	place := map[string]int{}
	for i, w := range rows {
		if w.Bed.s == "" || !seen.once(lines[i], w.Bed.s, w.From.key()) {
			continue
		}
		if w.Bed.s == allBeds {
			r.found.fault("beds.csv", lines[i], "bed", "", "%q stands for all beds and cannot name one", allBeds)
			continue
		}
		r.pair(lines[i], "lat", w.Lat, "lon", w.Lon)
		r.noArea[lines[i]] = w.Area.raw == ""
		k, ok := place[w.Bed.s]
		if !ok {
			k = len(r.f.Beds)
			place[w.Bed.s] = k
			r.f.Beds = append(r.f.Beds, Bed{ID: w.Bed.s})
		}
		r.f.Beds[k].Periods = append(r.f.Beds[k].Periods, BedPeriod{
			Name: w.Name.s, Shore: w.Shore.s, Zone: w.Zone.s,
			Area: w.Area.orNaN(), AreaSE: w.AreaSE.Num, Suitable: w.Suitable.Num, Lat: w.Lat.Num, Lon: w.Lon.Num,
			Status: cmp.Or(w.Status.s, "open"), Reason: w.Reason.s, From: w.From.Day, Line: lines[i],
		})
	}
	for _, b := range r.f.Beds {
		slices.SortStableFunc(b.Periods, func(a, c BedPeriod) int { return cmp.Compare(a.From, c.From) })
	}
	slices.SortFunc(r.f.Beds, func(a, b Bed) int { return cmp.Compare(a.ID, b.ID) })
}

// allBeds stands for every bed in events.csv and closures.csv.
const allBeds = "*"

// pair notes a row of beds.csv that has one of two cells that belong together.
func (r *reading) pair(line int, a string, first numberCell, b string, second numberCell) {
	switch {
	case first.raw != "" && second.raw == "":
		r.found.fault("beds.csv", line, b, "", "is blank, but %s is given", a)
	case first.raw == "" && second.raw != "":
		r.found.fault("beds.csv", line, a, "", "is blank, but %s is given", b)
	}
}

// readStrata reads strata.csv.
func (r *reading) readStrata() {
	type row struct {
		Bed     textCell   `csv:"bed"`
		Stratum textCell   `csv:"stratum"`
		Area    numberCell `csv:"area_m2"`
		AreaSE  numberCell `csv:"area_se_m2"`
	}
	rows, lines := readSmall[row](r, &strataTable)
	seen := newKeys(&strataTable, r.found)
	for i, w := range rows {
		if !seen.once(lines[i], w.Bed.s, w.Stratum.s) {
			continue
		}
		r.noStratumArea[lines[i]] = w.Area.raw == ""
		r.f.Strata = append(r.f.Strata, Stratum{Bed: w.Bed.s, Stratum: w.Stratum.s, Area: w.Area.orNaN(),
			AreaSE: w.AreaSE.Num, Line: lines[i]})
	}
}

// readSurveys reads surveys.csv.
func (r *reading) readSurveys() {
	type row struct {
		Bed      textCell   `csv:"bed"`
		Survey   textCell   `csv:"survey"`
		From     dayCell    `csv:"from"`
		To       dayCell    `csv:"to"`
		Sought   textCell   `csv:"species_sought"`
		People   textCell   `csv:"people"`
		LowWater numberCell `csv:"low_water_m"`
		Protocol textCell   `csv:"protocol"`
		Notes    textCell   `csv:"notes"`
	}
	rows, lines := readSmall[row](r, &surveysTable)
	seen := newKeys(&surveysTable, r.found)
	for i, w := range rows {
		if !seen.once(lines[i], w.Bed.s, w.Survey.s) {
			continue
		}
		r.ordered("surveys.csv", lines[i], "to", w.From.Day, w.To.Day)
		r.f.Surveys = append(r.f.Surveys, Declared{Bed: w.Bed.s, Survey: w.Survey.s, From: w.From.Day, To: w.To.Day,
			Sought: r.soughtSpecies(lines[i], w.Sought), People: w.People.s, LowWater: w.LowWater.Num,
			Protocol: w.Protocol.s, Notes: w.Notes.s, Line: lines[i]})
	}
}

// soughtSpecies reads a list of species; one named twice is noted and kept once.
func (r *reading) soughtSpecies(line int, c textCell) []string {
	var out []string
	for _, s := range c.split() {
		s = r.names.of(s)
		if slices.Contains(out, s) {
			r.found.doubt("surveys.csv", line, "species_sought", "", "%s is named twice", s)
			continue
		}
		out = append(out, s)
	}
	return out
}
