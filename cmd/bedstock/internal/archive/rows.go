package archive

import (
	"cmp"
	"fmt"
	"math"
	"strconv"
	"strings"

	"bedstock/survey"
)

// sheet is a table of the archive ready to be written: a layout and its rows, made one by one, the first cell the id of
// the event.
type sheet struct {
	layout
	n     int
	cells func(i int) []string
}

// sheets are the tables of the archive, the core first.
func (a *Archive) sheets() []sheet {
	taxa := a.taxa()
	return []sheet{
		{eventLayout, len(a.Events), func(i int) []string { return a.eventCells(a.Events[i]) }},
		{occurrenceLayout, len(a.Occurrences), func(i int) []string { return a.Occurrences[i].cells(taxa[a.Occurrences[i].Species]) }},
		{measurementLayout, len(a.Measurements), func(i int) []string { return a.Measurements[i].cells() }},
	}
}

// eventCells are the cells of an event in the order of eventLayout.
func (a *Archive) eventCells(e Event) []string {
	bed := a.bed(e.Bed, e.From)
	lat, lon, datum, uncertainty, footprint, srs := a.position(e, bed)
	general := ""
	if a.opt.Coarse && lat != "" {
		general = generalised
	}
	size, unit := "", ""
	if e.M2 > 0 {
		size, unit = number(e.M2), squareMetres
	}
	return []string{e.ID, e.ID, e.Parent, "Event", e.Type, interval(e.From, e.To), strconv.Itoa(e.From.Year()), e.Label,
		e.Bed, bed.Shore, cmp.Or(bed.Name, e.Bed), zoneWords[bed.Zone], lat, lon, datum, uncertainty, footprint, srs,
		e.Protocol, e.Effort, size, unit, e.Remarks, general, a.Dataset.Licence.URL, a.Dataset.Title}
}

var zoneWords = map[string]string{"lower": "lower shore", "mid": "mid shore", "upper": "upper shore"}

// interval is a day, or two with a stroke between, as ISO 8601 has it.
func interval(from, to survey.Day) string {
	if to <= from {
		return from.String()
	}
	return from.String() + "/" + to.String()
}

// position is where an event lies as far as the folder knows: the point of the bed, else the centre of its outline; how
// far the outline reaches from there; and for a survey the outline itself. A coarse one is rounded and without outline.
func (a *Archive) position(e Event, bed survey.BedPeriod) (lat, lon, datum, uncertainty, footprint, srs string) {
	outline, drawn := a.folder.Outlines[e.Bed]
	at := survey.LonLat{Lon: bed.Lon.V, Lat: bed.Lat.V}
	if !bed.Lat.OK || !bed.Lon.OK {
		if !drawn {
			return
		}
		at = survey.LonLat{Lon: math.Round(outline.Centroid.Lon*1e5) / 1e5, Lat: math.Round(outline.Centroid.Lat*1e5) / 1e5}
	}
	switch {
	case a.opt.Coarse:
		at = survey.LonLat{Lon: coarse(at.Lon), Lat: coarse(at.Lat)}
		uncertainty = metres(coarseReach(at))
	case drawn:
		uncertainty = metres(reach(outline, at))
		if e.Type == surveyEvent {
			footprint, srs = wkt(outline), "EPSG:4326"
		}
	}
	return number(at.Lat), number(at.Lon), "EPSG:4326", uncertainty, footprint, srs
}

// taxon is what the species table knows of a name.
type taxon struct{ id, rank, vernacular string }

func (a *Archive) taxa() map[string]taxon {
	out := map[string]taxon{}
	for _, s := range a.folder.Species {
		t := taxon{vernacular: s.CommonName, rank: rankOf(s.Name)}
		if s.AphiaID.OK {
			t.id = fmt.Sprintf("urn:lsid:marinespecies.org:taxname:%.0f", s.AphiaID.V)
		}
		out[s.Name] = t
	}
	return out
}

// rankOf tells a species from a genus by the form of the name: one word, or one followed by sp. or spp. Of other forms
// nothing is said.
func rankOf(name string) string {
	words := strings.Fields(name)
	switch {
	case len(words) == 1, len(words) == 2 && (words[1] == "sp." || words[1] == "spp."):
		return "genus"
	case len(words) == 2:
		return "species"
	}
	return ""
}

// accepted is a name without the marks of an open identification, which stay in verbatimIdentification.
func accepted(name string) string {
	if words := strings.Fields(name); len(words) == 2 && (words[1] == "sp." || words[1] == "spp.") {
		return words[0]
	}
	return name
}

// cells are the cells of an occurrence in the order of occurrenceLayout.
func (o Occurrence) cells(t taxon) []string {
	status, quantity, unit := "absent", "", ""
	if o.Present {
		status = "present"
	}
	if o.Frond {
		quantity, unit = "1", frondUnit
	}
	return []string{o.Event, o.Event, o.ID, "HumanObservation", status, accepted(o.Species), t.id, o.Species, t.rank, t.vernacular, quantity, unit, o.Stage,
		o.Observer, o.Remarks}
}

// frondUnit is the organismQuantityType of a single frond.
const frondUnit = "frond"

// cells are the cells of a measurement in the order of measurementLayout.
func (m Measurement) cells() []string {
	accuracy, remarks := "", m.Remarks
	if m.SE != "" {
		accuracy = m.SE
		remarks = strings.TrimPrefix(remarks+"; accuracy: standard error", "; ")
	}
	return []string{m.Event, cmp.Or(m.Occurrence, m.Event) + ":" + m.Key, m.Occurrence, m.Of.name, m.Of.what, m.Value, "", accuracy,
		m.Of.unit, m.Of.unitID, remarks}
}
