package survey

import (
	"math"
	"strconv"
)

// geometry reads the polygons of a feature.
func (g *outlineReader) geometry(f *jsonNode, what shapeOf) ([]Polygon, bool) {
	const hint = "a bed is drawn as a Polygon, or as a MultiPolygon where it has several parts"
	n := f.find("geometry")
	if n == nil || n.kind != jsonObject {
		g.fault(f.at, hint+"; take the feature out where there is no outline", "%s has no geometry", what)
		return nil, false
	}
	kind, c := n.find("type"), n.find("coordinates")
	multi := kind.is("MultiPolygon")
	if !multi && !kind.is("Polygon") {
		how := "has a geometry without a type"
		if kind != nil && kind.kind == jsonString {
			how = "is drawn as " + strconv.Quote(kind.text())
		}
		g.fault(n.at, hint, "%s %s", what, how)
		return nil, false
	}
	if c == nil || c.kind != jsonArray || len(c.nums()) > 0 || len(c.items()) == 0 {
		g.fault(n.at, hint, "%s has no coordinates", what)
		return nil, false
	}
	parts := []jsonNode{*c}
	if multi {
		parts = c.items()
	}
	corners := 0
	for i := range parts {
		for k := range parts[i].items() {
			corners += len(parts[i].items()[k].items())
		}
	}
	if corners > maxCorners {
		g.fault(n.at, "simplify the outline in the map program: corners a metre apart are enough", "%s: an outline of %d positions: the most that are read are %d",
			what, corners, maxCorners)
		return nil, false
	}
	var out []Polygon
	good := true
	for i := range parts {
		p, ok := g.polygon(&parts[i], what)
		out, good = append(out, p), good && ok
	}
	return out, good
}

// polygon reads the rings of a polygon.
func (g *outlineReader) polygon(n *jsonNode, what shapeOf) (Polygon, bool) {
	if n.kind != jsonArray || len(n.nums()) > 0 || len(n.items()) == 0 {
		g.fault(n.at, "a polygon is a list of rings, and a ring a list of positions", "%s: not a list of rings", what)
		return nil, false
	}
	var out Polygon
	for i := range n.items() {
		r, ok := g.ring(&n.items()[i], what)
		if !ok {
			return nil, false
		}
		out = append(out, r)
	}
	rest := out[0].Area()
	for _, hole := range out[1:] {
		rest -= hole.Area()
	}
	if rest <= 0 {
		g.fault(n.at, "the first ring of a polygon is the outer one, the others are holes; parts of a bed are a MultiPolygon",
			"%s: the holes are not smaller than the polygon", what)
		return nil, false
	}
	return out, true
}

// ring reads a closed line.
func (g *outlineReader) ring(n *jsonNode, what shapeOf) (Ring, bool) {
	if n.kind != jsonArray || len(n.nums()) > 0 {
		g.fault(n.at, "a ring is a list of positions [longitude, latitude]", "%s: not a list of positions", what)
		return nil, false
	}
	out := make(Ring, len(n.items()))
	for i := range n.items() {
		p := &n.items()[i]
		if p.kind != jsonArray || len(p.items()) > 0 || len(p.nums()) < 2 {
			g.fault(p.at, "a position is [longitude, latitude]", "%s: not a position", what)
			return nil, false
		}
		lon, lat := p.nums()[0], p.nums()[1]
		if !(math.Abs(lon) <= 180 && math.Abs(lat) <= 90) {
			g.fault(p.at, rangeHint(lon, lat), "%s: [%.10g, %.10g] is not a longitude and a latitude in degrees", what, lon, lat)
			return nil, false
		}
		out[i] = LonLat{lon, lat}
	}
	switch last := len(out) - 1; {
	case last < 0:
		g.fault(n.at, "a ring has at least three corners, and the first position again at its end", "%s: a ring without a position", what)
	case out[0] != out[last] && !(out[0].Lat == out[last].Lat && math.Abs(out[0].Lon) == 180 && math.Abs(out[last].Lon) == 180):
		g.fault(n.items()[last].at, "repeat the first position at the end", "%s: the ring is open, it begins at [%.10g, %.10g] and ends at [%.10g, %.10g]",
			what, out[0].Lon, out[0].Lat, out[last].Lon, out[last].Lat)
	case last < 3:
		g.fault(n.at, "a ring has at least three corners, and the first position again at its end", "%s: a ring of %d positions", what, last+1)
	case !(out.Area() > 0):
		g.fault(n.at, "draw the ring again", "%s: a ring that encloses no area", what)
	default:
		return out, true
	}
	return nil, false
}

// rangeHint guesses what a position out of range was meant to be.
func rangeHint(lon, lat float64) string {
	switch {
	case math.Abs(lat) <= 180 && math.Abs(lon) <= 90:
		return "write the longitude first, then the latitude"
	case math.Abs(lon) > 400 || math.Abs(lat) > 400:
		return "these look like metres of a map grid: " + geoSaveHint
	}
	return "longitude lies in -180 to 180 and goes on from -180 beyond 180; latitude lies in -90 to 90"
}
