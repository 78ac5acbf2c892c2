package survey

import (
	"math"
	"slices"
)

// areasFromOutlines takes the area of a bed from its outline where the cell is blank, notes blank cells of beds
// without an outline, and compares outlines with what beds.csv says of the same bed.
//
// A bed whose feature was refused, and every bed where features could not be told apart, is left alone: the mistake is
// in the file of outlines.
func (r *reading) areasFromOutlines() {
	g := r.outlines
	lost := g != nil && !g.whole
	for _, b := range r.f.Beds {
		o, drawn := r.f.Outlines[b.ID]
		for i := range b.Periods {
			p := &b.Periods[i]
			switch {
			case !r.noArea[p.Line]:
			case drawn:
				p.Area, p.AreaOutlined = o.Area, true
			case lost || g != nil && g.refused[b.ID]:
			case g != nil:
				r.found.fault("beds.csv", p.Line, "area_m2", "write the area, or draw the bed in "+OutlinesFile,
					"is blank, and %s does not draw bed %s", OutlinesFile, b.ID)
			default:
				r.found.fault("beds.csv", p.Line, "area_m2", "write the area, or draw the bed in "+OutlinesFile, "is blank; every row needs it")
			}
		}
		if drawn {
			r.compareOutline(b, o)
		}
	}
}

const (
	areaMismatch = 0.05 // relative difference of areas that is doubted
	pointMiss    = 1000 // distance of a bed's point from its outline that is doubted, m; judgement, no source
	swapGain     = 20   // how much nearer swapped coordinates must lie to be suspected; judgement, no source
)

// compareOutline doubts an outline that has another area than every row of the bed, lies away from the bed's point, or
// would lie there with longitude and latitude swapped. It also doubts lines that cross.
func (r *reading) compareOutline(b Bed, o Outline) {
	r.doubtCrossing(shapeOf{bed: b.ID}, o, wrongOutline(b))
	if at, ok := r.reference(b); ok && o.swapped(at) {
		r.found.note(finding{file: OutlinesFile, line: o.Line, severity: wrongOutline(b), hint: "a position is [longitude, latitude]"},
			"bed %s: longitude and latitude seem to be swapped: as it is, the outline lies %.0f km from where beds.csv has the bed",
			b.ID, o.Centroid.distance(at)/1000)
		return
	}
	last := b.Periods[len(b.Periods)-1]
	near := func(p BedPeriod) bool { return !p.Lat.OK || !p.Lon.OK || o.away(LonLat{p.Lon.V, p.Lat.V}) <= pointMiss }
	if !slices.ContainsFunc(b.Periods, near) {
		r.found.doubt("beds.csv", last.Line, "lat", "mend lat and lon, or the outline",
			"the point of bed %s lies %.3g km from its outline in %s", b.ID, o.away(LonLat{last.Lon.V, last.Lat.V})/1000, OutlinesFile)
	}
	fits := func(p BedPeriod) bool { return !(math.Abs(p.Area-o.Area) > areaMismatch*p.Area) }
	if !slices.ContainsFunc(b.Periods, fits) {
		r.found.doubt("beds.csv", last.Line, "area_m2", "mend the area or the outline; area_m2 is used where it is given",
			"bed %s has %.6g m2, but its outline in %s has %.6g m2", b.ID, last.Area, OutlinesFile, o.Area)
	}
}

// wrongOutline is how much an outline that cannot be right weighs: a fault where the bed has its area from it.
func wrongOutline(b Bed) Severity {
	if slices.ContainsFunc(b.Periods, func(p BedPeriod) bool { return p.AreaOutlined }) {
		return Fault
	}
	return Doubt
}

// reference is where a bed should lie: its own point of beds.csv, else the middle of the points of other beds.
func (r *reading) reference(b Bed) (LonLat, bool) {
	var lons, lats []float64
	for _, other := range r.f.Beds {
		p := other.Periods[len(other.Periods)-1]
		switch {
		case !p.Lat.OK || !p.Lon.OK:
		case other.ID == b.ID:
			return LonLat{p.Lon.V, p.Lat.V}, true
		default:
			lons, lats = append(lons, p.Lon.V), append(lats, p.Lat.V)
		}
	}
	if len(lons) == 0 {
		return LonLat{}, false
	}
	slices.Sort(lons)
	slices.Sort(lats)
	return LonLat{lons[len(lons)/2], lats[len(lats)/2]}, true
}

// swapped says whether the outline would lie much nearer to a position with longitude and latitude swapped.
func (o Outline) swapped(at LonLat) bool {
	c := o.Centroid
	if math.Abs(c.Lon) > 90 {
		return false
	}
	d := c.distance(at)
	return d > 50*pointMiss && LonLat{c.Lat, c.Lon}.distance(at) < d/swapGain
}

// away is about how far a position lies from the box of the outline, in m; 0 within.
func (o Outline) away(at LonLat) float64 {
	near := LonLat{at.Lon, min(max(at.Lat, o.South), o.North)}
	width := math.Mod(o.East-o.West+360, 360)
	if x := math.Mod(at.Lon-o.West+720, 360); x > width {
		near.Lon = o.East
		if 360-x < x-width {
			near.Lon = o.West
		}
	}
	return at.distance(near)
}
