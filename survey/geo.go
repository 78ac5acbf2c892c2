package survey

import (
	"math"
	"slices"
)

// LonLat is a position on WGS 84, in degrees.
type LonLat struct {
	Lon float64 // [-180, 180], east positive
	Lat float64 // [-90, 90], north positive
}

// Ring is a closed line of at least four positions, the first repeated at the end.
type Ring []LonLat

// Polygon is an exterior ring and the holes in it. Seen from above the exterior runs counter-clockwise and the holes
// clockwise, however the file had them.
type Polygon []Ring

// Outline is the shape of a bed as beds.geojson draws it.
type Outline struct {
	Polygons []Polygon
	Area     float64 // m2, geodesic, holes taken off; see [Ring.Area]

	// The smallest box in degrees that holds the outline; West is larger than East where it crosses the antimeridian.
	West, South, East, North float64

	Centroid LonLat // centre of gravity; it may lie outside of a bed that is bent
	Line     int    // line of the feature in beds.geojson
}

// newOutline winds the rings of polygons as [Polygon] has them and measures them. Every polygon has an exterior ring
// that encloses an area.
func newOutline(polygons []Polygon, line int) Outline {
	o := Outline{Polygons: polygons, Line: line}
	for _, p := range polygons {
		for i, r := range p {
			a := r.signedArea()
			if a < 0 == (i == 0) {
				slices.Reverse(r)
				a = -a
			}
			o.Area += a
		}
	}
	o.bound()
	o.Centroid = o.centroid()
	return o
}

// eastward is how far a longitude lies east of another, in degrees, the short way round: [-180, 180]. Of near ones it
// has no rounding error, across the antimeridian neither: an area is the difference of areas down to the equator, and
// would show it.
func eastward(from, to float64) float64 {
	switch d := to - from; {
	case d > 180:
		return -((180 - to) + (180 + from))
	case d < -180:
		return (180 + to) + (180 - from)
	default:
		return d
	}
}

// wrap brings a longitude into [-180, 180].
func wrap(lon float64) float64 {
	if lon >= -180 && lon <= 180 {
		return lon
	}
	return math.Remainder(lon, 360)
}

// bound fills in the box.
func (o *Outline) bound() {
	first := o.Polygons[0][0][0]
	left, right := 0.0, 0.0 // from the first position
	o.South, o.North = first.Lat, first.Lat
	for _, p := range o.Polygons {
		x := eastward(first.Lon, p[0][0].Lon)
		for i, at := range p[0] {
			if i > 0 {
				x += eastward(p[0][i-1].Lon, at.Lon)
			}
			left, right = min(left, x), max(right, x)
			o.South, o.North = min(o.South, at.Lat), max(o.North, at.Lat)
		}
	}
	o.West, o.East = wrap(first.Lon+left), wrap(first.Lon+right)
}

// centroid is the centre of gravity of the outline in the plane of longitude and latitude. For a bed of a few km that
// is the centre on the ground to within metres.
func (o *Outline) centroid() LonLat {
	first := o.Polygons[0][0][0]
	sum, sx, sy := 0.0, 0.0, 0.0
	for _, p := range o.Polygons {
		for _, r := range p {
			x, y := eastward(first.Lon, r[0].Lon), r[0].Lat-first.Lat
			for i := range r[1:] {
				x2, y2 := x+eastward(r[i].Lon, r[i+1].Lon), r[i+1].Lat-first.Lat
				c := x*y2 - x2*y
				sum += c
				sx += (x + x2) * c
				sy += (y + y2) * c
				x, y = x2, y2
			}
		}
	}
	if sum == 0 { // too thin for the sums
		return first
	}
	return LonLat{wrap(first.Lon + sx/(3*sum)), first.Lat + sy/(3*sum)}
}

// Contains says whether a position lies in the outline: in an exterior ring and in none of its holes. Of a position on
// the line itself it may say either.
func (o Outline) Contains(at LonLat) bool {
	for _, p := range o.Polygons {
		if p.contains(at) {
			return true
		}
	}
	return false
}

func (p Polygon) contains(at LonLat) bool {
	return p[0].contains(at) && !slices.ContainsFunc(p[1:], func(hole Ring) bool { return hole.contains(at) })
}

// contains counts how often a line to the east crosses the ring.
func (r Ring) contains(at LonLat) bool {
	in := false
	for i := range r[1:] {
		a, b := r[i], r[i+1]
		if a.Lat > at.Lat == (b.Lat > at.Lat) {
			continue
		}
		xa := eastward(at.Lon, a.Lon)
		xb := xa + eastward(a.Lon, b.Lon)
		if xa+(at.Lat-a.Lat)/(b.Lat-a.Lat)*(xb-xa) > 0 {
			in = !in
		}
	}
	return in
}

// distance is the length of the great circle between two positions on a sphere of the earth's mean radius, in m. It is
// for judging distances, to 0.5 %.
func (a LonLat) distance(b LonLat) float64 {
	const rad = math.Pi / 180
	s := math.Sin((b.Lat - a.Lat) / 2 * rad)
	t := math.Sin(eastward(a.Lon, b.Lon) / 2 * rad)
	return 2 * 6371e3 * math.Asin(math.Sqrt(min(1, s*s+math.Cos(a.Lat*rad)*math.Cos(b.Lat*rad)*t*t)))
}
