package archive

import (
	"encoding/json"
	"maps"
	"math"
	"slices"
	"strings"

	"bedstock/survey"
)

// outlines is beds.geojson anew: the shape of each bed and of each stratum, and their names, no other property.
func outlines(f *survey.Folder) []byte {
	type feature struct {
		Type       string            `json:"type"`
		Properties map[string]string `json:"properties"`
		Geometry   geometry          `json:"geometry"`
	}
	var out struct {
		Type     string    `json:"type"`
		Features []feature `json:"features"`
	}
	out.Type = "FeatureCollection"
	for _, b := range f.Beds {
		if o, drawn := f.Outlines[b.ID]; drawn {
			out.Features = append(out.Features, feature{"Feature", map[string]string{"bed": b.ID}, geometryOfOutline(o)})
		}
		strata := f.StratumOutlines[b.ID]
		for _, s := range slices.Sorted(maps.Keys(strata)) {
			out.Features = append(out.Features, feature{"Feature", map[string]string{"bed": b.ID, "stratum": s}, geometryOfOutline(strata[s])})
		}
	}
	text, err := json.MarshalIndent(out, "", " ")
	if err != nil {
		panic("archive: outlines: " + err.Error())
	}
	return append(text, '\n')
}

// geometry is one of GeoJSON.
type geometry struct {
	Type        string `json:"type"`
	Coordinates any    `json:"coordinates"`
}

func geometryOfOutline(o survey.Outline) geometry {
	var polygons [][][][2]float64
	for _, p := range o.Polygons {
		var rings [][][2]float64
		for _, r := range p {
			var ring [][2]float64
			for _, at := range r {
				ring = append(ring, [2]float64{at.Lon, at.Lat})
			}
			rings = append(rings, ring)
		}
		polygons = append(polygons, rings)
	}
	if len(polygons) == 1 {
		return geometry{"Polygon", polygons[0]}
	}
	return geometry{"MultiPolygon", polygons}
}

// wkt is an outline as well-known text, longitude first.
//
// References:
//   - ISO 19125-1:2004, section 7: well-known text representation for geometry
func wkt(o survey.Outline) string {
	var polygons []string
	for _, p := range o.Polygons {
		var rings []string
		for _, r := range p {
			var at []string
			for _, x := range r {
				at = append(at, number(x.Lon)+" "+number(x.Lat))
			}
			rings = append(rings, "("+strings.Join(at, ", ")+")")
		}
		polygons = append(polygons, "("+strings.Join(rings, ", ")+")")
	}
	if len(polygons) == 1 {
		return "POLYGON " + polygons[0]
	}
	return "MULTIPOLYGON (" + strings.Join(polygons, ", ") + ")"
}

// reach is the distance, in m, from a position to the farthest point of an outline, on a sphere of the earth's mean radius.
func reach(o survey.Outline, from survey.LonLat) float64 {
	const rad = math.Pi / 180
	far := 0.0
	for _, p := range o.Polygons {
		for _, at := range p[0] {
			s, t := math.Sin((at.Lat-from.Lat)/2*rad), math.Sin((at.Lon-from.Lon)/2*rad)
			d := 2 * 6371e3 * math.Asin(math.Sqrt(min(1, s*s+math.Cos(at.Lat*rad)*math.Cos(from.Lat*rad)*t*t)))
			far = max(far, d)
		}
	}
	return far
}
