package archive

import (
	"math"
	"strings"

	"bedstock/survey"
)

// folderTable is a table of the survey folder: its columns, those that must be there, and its rows, a cell a column.
type folderTable struct {
	name    string
	columns []string
	must    []string
	rows    func(f *survey.Folder, opt Options) [][]string
}

func columns(list string) []string { return strings.Fields(list) }

// tables are those of a survey folder that can be handed on, in their order. Remarks other than those of surveys are not
// kept when a folder is read, rows set aside are not read at all, second readings compare people, and low waters are
// somebody else's table.
var tables = []folderTable{
	{"beds", columns("bed name shore zone area_m2 area_se_m2 suitable_fraction lat lon status reason from"), columns("bed area_m2"), bedRows},
	{"strata", columns("bed stratum area_m2 area_se_m2"), columns("bed stratum area_m2"), strataRows},
	{"surveys", columns("bed survey from to species_sought people low_water_m protocol notes"), columns("bed survey from to"), surveyRows},
	{"quadrats", columns("bed date stratum transect quadrat quadrat_m2 visit species cover_pct frond_cm biomass_g weighed_m2 observer"),
		columns("bed date quadrat quadrat_m2 species cover_pct"), quadratCells},
	{"fronds", columns("bed date stratum transect quadrat species frond_cm wet_g stage"), columns("bed date quadrat species frond_cm"), frondCells},
	{"regrowth", columns("plot species bed date event biomass_g plot_m2"), columns("plot species date event biomass_g plot_m2"), regrowthRows},
	{"events", columns("bed date kind fraction_left"), columns("bed date kind"), eventRows},
	{"closures", columns("bed species from to reason"), columns("bed from reason"), closureRows},
	{"species", speciesColumns(), columns("species"), speciesRows},
	{"harvest", columns("bed date date_to species wet_kg origin permit estimated"), columns("bed date species wet_kg"), cutRows},
	{"permits", columns("permit bed species share"), columns("permit bed share"), permitRows},
	{"decisions", columns("bed species season from to permit kg decided_by decided_on reference reason"), columns("bed species season from to kg decided_on"), decisionRows},
}

// numeral writes a number that may be missing.
func numeral(n survey.Num) string {
	if !n.OK {
		return ""
	}
	return number(n.V)
}

// cell writes a number that is NaN where it is missing.
func cell(x float64) string {
	if math.IsNaN(x) {
		return ""
	}
	return number(x)
}

// bedRows has the area of an outline only where the outline does not go along.
func bedRows(f *survey.Folder, opt Options) (out [][]string) {
	for _, b := range f.Beds {
		for _, p := range b.Periods {
			area := number(p.Area)
			if p.AreaOutlined && !opt.Coarse {
				area = ""
			}
			lat, lon := p.Lat, p.Lon
			if opt.Coarse {
				lat.V, lon.V = coarse(lat.V), coarse(lon.V)
			}
			out = append(out, []string{b.ID, p.Name, p.Shore, p.Zone, area, numeral(p.AreaSE), numeral(p.Suitable), numeral(lat), numeral(lon),
				p.Status, p.Reason, p.From.String()})
		}
	}
	return out
}

// strataRows too has the area of an outline only where the outline does not go along.
func strataRows(f *survey.Folder, opt Options) (out [][]string) {
	for _, s := range f.Strata {
		area := number(s.Area)
		if s.AreaOutlined && !opt.Coarse {
			area = ""
		}
		out = append(out, []string{s.Bed, s.Stratum, area, numeral(s.AreaSE)})
	}
	return out
}

func surveyRows(f *survey.Folder, _ Options) (out [][]string) {
	for _, s := range f.Surveys {
		out = append(out, []string{s.Bed, s.Survey, s.From.String(), s.To.String(), strings.Join(s.Sought, ";"), s.People, numeral(s.LowWater), s.Protocol, s.Notes})
	}
	return out
}

// visitWords are the words of the column visit.
var visitWords = map[survey.Visit]string{survey.Done: "done", survey.Planned: "planned", survey.NotReached: "not_reached", survey.Unsampleable: "unsampleable"}

func quadratCells(f *survey.Folder, _ Options) (out [][]string) {
	q := &f.Quadrats
	for i := range q.Len() {
		out = append(out, append(quadratPlace(f, i).cells(), cell(q.M2[i]), visitWords[q.Visit[i]], f.Names[q.Species[i]], cell(q.Cover[i]),
			cell(q.Frond[i]), cell(q.Biomass[i]), cell(q.Weighed[i]), f.Names[q.Observer[i]]))
	}
	return out
}

// cells are the first cells of a row of quadrats.csv or fronds.csv.
func (p place) cells() []string {
	return []string{p.bed, p.day.String(), p.stratum, p.transect, p.quadrat}
}

func frondCells(f *survey.Folder, _ Options) (out [][]string) {
	x := &f.Fronds
	for i := range x.Len() {
		out = append(out, append(frondPlace(f, i).cells(), f.Names[x.Species[i]], cell(x.Length[i]), cell(x.Wet[i]), f.Names[x.Stage[i]]))
	}
	return out
}

func regrowthRows(f *survey.Folder, _ Options) (out [][]string) {
	for _, r := range f.Regrowth {
		event := map[bool]string{true: "cut", false: "measure"}[r.Cut]
		out = append(out, []string{r.Plot, r.Species, r.Bed, r.Day.String(), event, number(r.Biomass), number(r.M2)})
	}
	return out
}

func eventRows(f *survey.Folder, _ Options) (out [][]string) {
	for _, e := range f.Events {
		out = append(out, []string{e.Bed, e.Day.String(), e.Kind, numeral(e.Left)})
	}
	return out
}

func closureRows(f *survey.Folder, _ Options) (out [][]string) {
	for _, c := range f.Closures {
		out = append(out, []string{c.Bed, c.Species, c.From.String(), c.To.String(), c.Reason})
	}
	return out
}

func cutRows(f *survey.Folder, _ Options) (out [][]string) {
	for _, c := range f.Landings() {
		to := c.To.String()
		if c.To == c.From {
			to = ""
		}
		out = append(out, []string{c.Bed, c.From.String(), to, c.Species, number(c.Kg), map[bool]string{true: "cast", false: "cut"}[c.Cast],
			c.Permit, map[bool]string{true: "yes"}[c.Estimated]})
	}
	return out
}

func permitRows(f *survey.Folder, _ Options) (out [][]string) {
	for _, p := range f.Permits {
		out = append(out, []string{p.Permit, p.Bed, p.Species, number(p.Share)})
	}
	return out
}

func decisionRows(f *survey.Folder, _ Options) (out [][]string) {
	for _, d := range f.Decisions {
		out = append(out, []string{d.Bed, d.Species, d.Season, d.From.String(), d.To.String(), d.Permit, number(d.Kg), d.DecidedBy,
			d.DecidedOn.String(), d.Reference, d.Reason})
	}
	return out
}
