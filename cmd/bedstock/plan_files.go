package main

import (
	"encoding/json"
	"encoding/xml"
	"math"
	"strconv"

	"bedstock/cmd/bedstock/internal/table"
	"bedstock/model"
	"bedstock/model/plan"
)

// planFiles are the files of a plan by name.
func planFiles(p plan.Plan, laid *model.Laid, o *opened, note func(string)) (map[string][]byte, error) {
	files := map[string][]byte{"plan.csv": csvOf(planTable(p)), "places.csv": csvOf(placeTable(p))}
	if laid != nil {
		files["days.csv"] = csvOf(daysCSV(*laid, o.rules))
		if len(laid.Outings) > 0 { // a calendar has an event at least
			files["days.ics"] = calendarFile(*laid, o.folder.AsOf, o.invented)
		}
	}
	if err := addSheets(files, p, laid, o, note); err != nil {
		return nil, err
	}
	if !anyLocated(p) {
		return files, nil
	}
	var err error
	if files["places.geojson"], err = planGeoJSON(p, o.invented); err != nil {
		return nil, err
	}
	files["places.gpx"], err = planGPX(p, o.invented)
	return files, err
}

func csvOf(t table.Table) []byte {
	names := make([]string, len(t.Columns))
	for i, c := range t.Columns {
		names[i] = c.Name
	}
	return table.CSV(names, t.Rows)
}

// planned is one planned quadrat, or the end of a transect, with what it belongs to.
type planned struct {
	bed, stratum, transect, quadrat, kind string
	weigh                                 bool
	at                                    plan.Point
}

// places lists a plan in the order in which it is walked.
func places(p plan.Plan) []planned {
	var out []planned
	for _, b := range p.Beds {
		for _, s := range b.Strata {
			for _, t := range s.Transects {
				if t.Transect != "" {
					out = append(out, planned{b.Bed, s.Stratum, t.Transect, "", "transect begins", false, t.From})
				}
				for _, q := range t.Quadrats {
					out = append(out, planned{b.Bed, q.Stratum, t.Transect, q.Quadrat, "quadrat", q.Weigh, q.At})
				}
				if t.Transect != "" {
					out = append(out, planned{b.Bed, s.Stratum, t.Transect, "", "transect ends", false, t.To})
				}
			}
		}
	}
	return out
}

func anyLocated(p plan.Plan) bool {
	for _, x := range places(p) {
		if x.at.Located() {
			return true
		}
	}
	return false
}

// name is what a place is called on a map and on a receiver.
func (p planned) name() string {
	label := p.quadrat
	switch p.kind {
	case "transect begins":
		label = p.transect + " begin"
	case "transect ends":
		label = p.transect + " end"
	}
	return p.bed + " " + label
}

func placeTable(p plan.Plan) table.Table {
	t := table.Table{Columns: []table.Column{col("bed"), col("stratum"), col("transect"), col("quadrat"), col("kind"), col("weigh"), col("lon"), col("lat"),
		col("along_m"), col("up_m"), col("along_pct"), col("up_pct")}}
	for _, x := range places(p) {
		weigh := table.Missing
		if x.kind == "quadrat" {
			weigh = table.Text(yesNo(x.weigh))
		}
		t.Add(table.Text(x.bed), table.Text(x.stratum), table.Text(x.transect), table.Text(x.quadrat), table.Text(x.kind), weigh,
			table.Number(x.at.Lon, 0), table.Number(x.at.Lat, 0), metresCell(x.at.Along), metresCell(x.at.Up), shareCell(x.at.AlongShare), shareCell(x.at.UpShare))
	}
	return t
}

// metresCell is a distance to the centimetre.
func metresCell(v float64) table.Cell { return table.Number(math.Round(v*100)/100, 0) }

// shareCell is a share in percent, to a hundredth.
func shareCell(v float64) table.Cell { return table.Number(math.Round(v*1e4)/100, 0) }

// planGeoJSON draws transects as lines and quadrats as points, as RFC 7946 has them.
func planGeoJSON(p plan.Plan, invented bool) ([]byte, error) {
	type geometry struct {
		Type        string `json:"type"`
		Coordinates any    `json:"coordinates"`
	}
	type feature struct {
		Type       string         `json:"type"`
		Geometry   geometry       `json:"geometry"`
		Properties map[string]any `json:"properties"`
	}
	features := []feature{}
	add := func(g geometry, properties map[string]any) {
		if invented {
			properties["note"] = "INVENTED DATA"
		}
		features = append(features, feature{"Feature", g, properties})
	}
	for _, b := range p.Beds {
		for _, s := range b.Strata {
			for _, t := range s.Transects {
				if t.From.Located() && t.To.Located() {
					add(geometry{"LineString", [][2]float64{{t.From.Lon, t.From.Lat}, {t.To.Lon, t.To.Lat}}},
						map[string]any{"bed": b.Bed, "stratum": s.Stratum, "transect": t.Transect, "kind": "transect"})
				}
				for _, q := range t.Quadrats {
					if q.At.Located() {
						add(geometry{"Point", [2]float64{q.At.Lon, q.At.Lat}},
							map[string]any{"bed": b.Bed, "stratum": q.Stratum, "transect": t.Transect, "quadrat": q.Quadrat, "weigh": q.Weigh, "kind": "quadrat"})
					}
				}
			}
		}
	}
	text, err := json.MarshalIndent(map[string]any{"type": "FeatureCollection", "features": features}, "", " ")
	return append(text, '\n'), err
}

// gpx is a GPX 1.1 document: waypoints for the ends of transects and the quadrats, a route for each transect.
type gpx struct {
	XMLName xml.Name   `xml:"http://www.topografix.com/GPX/1/1 gpx"`
	Version string     `xml:"version,attr"`
	Creator string     `xml:"creator,attr"`
	Desc    string     `xml:"metadata>desc"`
	Points  []gpxPoint `xml:"wpt"`
	Routes  []gpxRoute `xml:"rte"`
}

type gpxPoint struct {
	Lat  string `xml:"lat,attr"`
	Lon  string `xml:"lon,attr"`
	Name string `xml:"name"`
	Desc string `xml:"desc,omitempty"`
}

type gpxRoute struct {
	Name   string     `xml:"name"`
	Points []gpxPoint `xml:"rtept"`
}

// planGPX writes the places for a receiver, as the schema of GPX 1.1 has them.
func planGPX(p plan.Plan, invented bool) ([]byte, error) {
	doc := gpx{Version: "1.1", Creator: "bedstock " + version, Desc: "Planned transects and quadrats. A receiver is metres off: the place on the ground is where the tape says."}
	if invented {
		doc.Desc = "INVENTED DATA. " + doc.Desc
	}
	var route *gpxRoute
	for _, x := range places(p) {
		if !x.at.Located() {
			continue
		}
		w := gpxPoint{Lat: degrees(x.at.Lat), Lon: degrees(x.at.Lon), Name: x.name()}
		if x.weigh {
			w.Desc = "clip and weigh"
		}
		doc.Points = append(doc.Points, w)
		switch x.kind {
		case "transect begins":
			doc.Routes = append(doc.Routes, gpxRoute{Name: x.bed + " " + x.transect})
			route = &doc.Routes[len(doc.Routes)-1]
			route.Points = append(route.Points, w)
		case "transect ends":
			if route != nil {
				route.Points = append(route.Points, w)
			}
		}
	}
	text, err := xml.MarshalIndent(doc, "", " ")
	return append(append([]byte(xml.Header), text...), '\n'), err
}

func degrees(v float64) string { return strconv.FormatFloat(v, 'f', -1, 64) }
