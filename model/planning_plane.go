package model

import (
	"math"

	"bedstock/survey"
)

// plane is a map of a few kilometres around a place, in metres east and north of it: straight lines of longitude and
// latitude stay straight, and areas keep their ratio to 0.05 % over 2 km at 60 degrees.
type plane struct {
	at             survey.LonLat
	perLon, perLat float64 // m a degree
}

// planeAt touches the ellipsoid of WGS 84 at a place, with the radii of curvature there (Snyder 1987, p. 24-25).
func planeAt(at survey.LonLat) plane {
	const a, e2 = 6378137, 0.00669437999014
	sin := math.Sin(at.Lat * math.Pi / 180)
	w := 1 - e2*sin*sin
	return plane{at: at, perLon: math.Pi / 180 * a / math.Sqrt(w) * math.Cos(at.Lat*math.Pi/180),
		perLat: math.Pi / 180 * a * (1 - e2) / (w * math.Sqrt(w))}
}

// metres is how far east and north a position lies.
func (p plane) metres(at survey.LonLat) (x, y float64) {
	return math.Remainder(at.Lon-p.at.Lon, 360) * p.perLon, (at.Lat - p.at.Lat) * p.perLat
}

// position is the inverse of metres, to 1e-8 degrees (1 mm).
func (p plane) position(x, y float64) survey.LonLat {
	round := func(v float64) float64 { return math.Round(v*1e8) / 1e8 }
	lon := math.Remainder(p.at.Lon+x/p.perLon, 360)
	return survey.LonLat{Lon: round(lon), Lat: round(p.at.Lat + y/p.perLat)}
}
