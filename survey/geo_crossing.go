package survey

import (
	"cmp"
	"math"
	"slices"
)

// touching is how near a corner may come to a line to count as lying on it, in degrees (a millimetre).
const touching = 1e-8

// edge is a side of a ring in degrees from a first position, a left of b.
type edge struct{ ax, ay, bx, by float64 }

// crossing finds two edges of the outline that cross, and where. Rings may touch themselves and one another: then
// inside and outside are still told apart. Where they cross, the area is not what was meant.
func (o Outline) crossing() (LonLat, bool) {
	first := o.Polygons[0][0][0]
	edges := o.edges()
	slices.SortFunc(edges, func(s, t edge) int { return cmp.Compare(s.ax, t.ax) })
	var active []edge // begun and not ended, along the longitude
	for _, s := range edges {
		active = slices.DeleteFunc(active, func(t edge) bool { return t.bx < s.ax })
		for _, t := range active {
			if s.crosses(t) {
				x, y := s.meets(t)
				return LonLat{wrap(first.Lon + x), first.Lat + y}, true
			}
		}
		active = append(active, s)
	}
	return LonLat{}, false
}

// edges lists all sides of all rings.
func (o Outline) edges() []edge {
	first := o.Polygons[0][0][0]
	n := 0
	for _, p := range o.Polygons {
		for _, r := range p {
			n += len(r)
		}
	}
	out := make([]edge, 0, n)
	for _, p := range o.Polygons {
		for _, r := range p {
			x := eastward(first.Lon, r[0].Lon)
			for i := range r[1:] {
				x2 := x + eastward(r[i].Lon, r[i+1].Lon)
				e := edge{x, r[i].Lat - first.Lat, x2, r[i+1].Lat - first.Lat}
				if e.ax > e.bx {
					e = edge{e.bx, e.by, e.ax, e.ay}
				}
				out = append(out, e)
				x = x2
			}
		}
	}
	return out
}

// crosses says whether each edge has its ends on both sides of the other.
func (s edge) crosses(t edge) bool {
	if max(s.ay, s.by) < min(t.ay, t.by) || max(t.ay, t.by) < min(s.ay, s.by) {
		return false
	}
	return s.side(t.ax, t.ay)*s.side(t.bx, t.by) < 0 && t.side(s.ax, s.ay)*t.side(s.bx, s.by) < 0
}

// side is 1 left of the edge's line, -1 right of it, 0 on it.
func (s edge) side(x, y float64) int {
	dx, dy := s.bx-s.ax, s.by-s.ay
	switch d := dx*(y-s.ay) - dy*(x-s.ax); {
	case math.Abs(d) <= touching*math.Hypot(dx, dy):
		return 0
	case d > 0:
		return 1
	}
	return -1
}

// meets is where the lines of two edges that cross meet.
func (s edge) meets(t edge) (x, y float64) {
	dx, dy := s.bx-s.ax, s.by-s.ay
	ex, ey := t.bx-t.ax, t.by-t.ay
	k := ((t.ax-s.ax)*ey - (t.ay-s.ay)*ex) / (dx*ey - dy*ex)
	return s.ax + k*dx, s.ay + k*dy
}

// apart says whether no part of the outline lies in another part and every hole lies in its polygon, as far as the
// first corners tell. Where no lines cross, that is enough.
func (o Outline) apart() bool {
	for i, p := range o.Polygons {
		for _, hole := range p[1:] {
			if !slices.ContainsFunc(hole, p[0].contains) { // a hole may touch its polygon in a few corners
				return false
			}
		}
		for k, q := range o.Polygons {
			if k != i && !slices.ContainsFunc(p[0], func(at LonLat) bool { return !q.contains(at) }) {
				return false
			}
		}
	}
	return true
}

// doubtCrossing notes an outline whose lines cross or whose parts lie in one another: a mistake where the bed or stratum has
// its area from it, else a doubt.
func (r *reading) doubtCrossing(what shapeOf, o Outline, severity Severity) {
	f := finding{file: OutlinesFile, line: o.Line, severity: severity,
		hint: "draw it again: neither its area nor the map can be trusted"}
	if at, ok := o.crossing(); ok {
		r.found.note(f, "%s: lines of the outline cross at [%.7g, %.7g]", what, at.Lon, at.Lat)
	} else if !o.apart() {
		r.found.note(f, "%s: a hole lies outside of its polygon, or a part within another", what)
	}
}
