package plots

import (
	"fmt"
	"image/color"
	"math"
	"slices"
	"strings"

	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"
)

// States of a bed, as the report words them. Any other word is drawn as "too little known".
const (
	bedOpen    = "may be cut"
	bedAction  = "needs action"
	bedUnknown = "too little known"
	bedClosed  = "closed"
	bedResting = "resting"
)

// MapBed is one bed on the map.
type MapBed struct {
	Name     string
	Lon, Lat float64        // degrees; NaN: not known
	Rings    [][][2]float64 // outline, longitude and latitude; holes too; nil: none
	M2       float64        // area
	State    string         // may be cut, needs action, too little known, closed, resting
	Words    string         // what may be cut, or why not
}

// MapInput is the beds of a survey.
type MapInput struct {
	Beds     []MapBed
	On       string // the day, as text
	Invented bool
}

// bedStyle is how a state is drawn: a mark that is told apart without colour, on a ground.
type bedStyle struct {
	m      mark
	ground color.NRGBA
	dashed bool
}

var bedStyles = map[string]bedStyle{
	bedOpen:    {mark{shape: "circle", clr: blue, r: 3.2}, alpha(sky, 110), false},
	bedAction:  {mark{shape: "triangle", clr: vermillion, r: 4.6}, alpha(orange, 110), false},
	bedUnknown: {mark{shape: "diamond", clr: ink, open: true, r: 4.2}, alpha(white, 255), true},
	bedClosed:  {mark{shape: "cross", clr: ink, r: 3.2}, alpha(rule, 255), false},
	bedResting: {mark{shape: "circle", clr: ink, open: true, r: 3.2}, alpha(rule, 120), true},
}

// bedOrder is the order of the states in the key.
var bedOrder = []string{bedOpen, bedAction, bedUnknown, bedResting, bedClosed}

// state is the state of a bed as it is drawn.
func (b MapBed) state() string {
	s := strings.ToLower(clean(b.State))
	if _, ok := bedStyles[s]; ok {
		return s
	}
	return bedUnknown
}

// placed says whether the bed has a place on the map.
func (b MapBed) placed() bool {
	return math.Abs(b.Lat) <= 90 && math.Abs(b.Lon) <= 180
}

// Map shows where the beds are and what holds for each: outlines where they are large enough on the map to be told apart,
// else circles whose area stands in proportion to that of the bed, with a mark for the state.
//
// The projection is equirectangular about the middle latitude, on WGS 84: lengths are true along the parallel and the
// meridians there, and for the few tens of kilometres of a shore everywhere to the width of a line. North is up. Beds
// without a position are named in the caption.
func Map(in MapInput) Figure {
	f := Figure{Width: figureWidth, Title: "The beds"}
	if on := clean(in.On); on != "" {
		f.Title += " on " + on
	}
	l := layMap(in.Beds)
	f.Height = l.height
	for _, b := range in.Beds {
		if !b.placed() {
			f.Warnings = append(f.Warnings, clean(b.Name)+" is not on the map: no lat and lon in beds.csv and no outline")
		}
	}
	f.Caption, f.Alt = in.caption(l), in.alt()
	f.Draw = func(c draw.Canvas) { l.draw(c, f.Title, in.Invented) }
	return f
}

// mapLayout is the beds in metres east and north of the middle of the map.
type mapLayout struct {
	beds       []MapBed
	at         []vec
	rings      [][][]vec
	east, west float64
	north      float64
	south      float64
	largest    float64 // m2
	height     vg.Length
	scale      float64 // points a metre
}

type vec struct{ x, y float64 }

// Heights of what stands above and below the map, and the bounds of its own height.
const (
	mapAbove    = margin + 14 + lineHeight + 8
	mapBelow    = margin + 26
	mapShortest = 6 * vg.Centimeter
	mapTallest  = 14 * vg.Centimeter
	mapRim      = 40 // points about the outermost beds
)

func layMap(beds []MapBed) mapLayout {
	var l mapLayout
	for _, b := range beds {
		if b.placed() {
			l.beds = append(l.beds, b)
			if finite(b.M2) {
				l.largest = max(l.largest, b.M2)
			}
		}
	}
	l.height = mapAbove + mapBelow + mapShortest
	if len(l.beds) == 0 {
		return l
	}
	l.project()
	wide, tall := max(l.east-l.west, 1), max(l.north-l.south, 1)
	room := figureWidth - 2*margin - 2*mapRim
	l.scale = float64(room) / wide
	inner := min(max(vg.Length(l.scale*tall)+2*mapRim, mapShortest), mapTallest)
	l.scale = min(l.scale, float64(inner-2*mapRim)/tall)
	// A bed or two close together are not blown up beyond a centimetre for five metres.
	l.scale = min(l.scale, vg.Centimeter.Points()/5)
	l.height = mapAbove + mapBelow + inner
	return l
}

// project turns degrees into metres about the middle of the beds.
func (l *mapLayout) project() {
	first := l.beds[0].Lon
	lon := func(v float64) float64 { return first + math.Remainder(v-first, 360) } // across the antimeridian
	south, north, west, east := math.Inf(1), math.Inf(-1), math.Inf(1), math.Inf(-1)
	l.eachPoint(func(p [2]float64) {
		west, east = min(west, lon(p[0])), max(east, lon(p[0]))
		south, north = min(south, p[1]), max(north, p[1])
	})
	midLon, midLat := (west+east)/2, (south+north)/2
	perLon, perLat := metresPerDegree(midLat)
	flat := func(p [2]float64) vec { return vec{(lon(p[0]) - midLon) * perLon, (p[1] - midLat) * perLat} }
	for _, b := range l.beds {
		l.at = append(l.at, flat([2]float64{b.Lon, b.Lat}))
		var rings [][]vec
		for _, r := range b.Rings {
			var ring []vec
			for _, p := range r {
				ring = append(ring, flat(p))
			}
			rings = append(rings, ring)
		}
		l.rings = append(l.rings, rings)
	}
	l.west, l.east = (west-midLon)*perLon, (east-midLon)*perLon
	l.south, l.north = (south-midLat)*perLat, (north-midLat)*perLat
}

func (l *mapLayout) eachPoint(visit func([2]float64)) {
	for _, b := range l.beds {
		visit([2]float64{b.Lon, b.Lat})
		for _, r := range b.Rings {
			for _, p := range r {
				visit(p)
			}
		}
	}
}

// metresPerDegree are the lengths of a degree of longitude and of latitude on the ellipsoid of WGS 84 at a latitude:
//
//	N cos φ π/180,  M π/180,  N = a/sqrt(1 - e² sin² φ),  M = a (1 - e²)/(1 - e² sin² φ)^(3/2)
func metresPerDegree(lat float64) (lon, latitude float64) {
	const a, e2 = 6378137, 0.00669437999014 // WGS 84
	sin, cos := math.Sincos(lat * math.Pi / 180)
	w := 1 - e2*sin*sin
	return a / math.Sqrt(w) * cos * math.Pi / 180, a * (1 - e2) / (w * math.Sqrt(w)) * math.Pi / 180
}

// span is the longer side of a bed's outline on the map, points.
func (l mapLayout) span(i int) float64 {
	lo, hi := vec{math.Inf(1), math.Inf(1)}, vec{math.Inf(-1), math.Inf(-1)}
	for _, r := range l.rings[i] {
		for _, p := range r {
			lo, hi = vec{min(lo.x, p.x), min(lo.y, p.y)}, vec{max(hi.x, p.x), max(hi.y, p.y)}
		}
	}
	return max(hi.x-lo.x, hi.y-lo.y, 0) * l.scale
}

// outlined tells whether a bed is drawn by its outline.
func (l mapLayout) outlined(i int) bool { return len(l.rings[i]) > 0 && l.span(i) >= 14 }

// radius is that of the circle of a bed, whose area is in proportion.
func (l mapLayout) radius(i int) vg.Length {
	b := l.beds[i]
	if !(b.M2 > 0) || !(l.largest > 0) {
		return 6
	}
	return max(vg.Length(15*math.Sqrt(b.M2/l.largest)), 5)
}

// caption says what the figure shows and which beds it lacks.
func (in MapInput) caption(l mapLayout) string {
	if len(l.beds) == 0 {
		return sentence("No bed has a position: lat and lon in beds.csv, or outlines in beds.geojson", inventedNote(in.Invented))
	}
	parts := []string{fmt.Sprintf("Where the beds are (n = %d) and what holds for each; the mark says the state", len(l.beds))}
	if circles := slices.ContainsFunc(indices(len(l.beds)), func(i int) bool { return !l.outlined(i) }); circles {
		parts = append(parts, "The area of a circle is in proportion to that of the bed, the largest "+area(l.largest))
	}
	var missing []string
	for _, b := range in.Beds {
		if !b.placed() {
			missing = append(missing, clean(b.Name))
		}
	}
	if len(missing) > 0 {
		parts = append(parts, "Not on the map, for want of a position: "+strings.Join(missing, ", "))
	}
	return sentence(append(parts, "North is up; not for navigation", inventedNote(in.Invented))...)
}

func indices(n int) []int {
	out := make([]int, n)
	for i := range out {
		out[i] = i
	}
	return out
}

// area writes square metres, hectares from 10 000 on.
func area(m2 float64) string {
	if m2 >= 1e4 {
		return short(round3(m2/1e4)) + nbsp + "ha"
	}
	return short(round3(m2)) + nbsp + "m²"
}

// alt is the text alternative: every bed.
func (in MapInput) alt() string {
	parts := []string{"Map of the beds"}
	for _, b := range in.Beds {
		txt := clean(b.Name) + ": " + b.state()
		if w := clean(b.Words); w != "" {
			txt += ", " + w
		}
		if b.placed() {
			txt += fmt.Sprintf(", at latitude %.4f, longitude %.4f", b.Lat, b.Lon)
		}
		if b.M2 > 0 {
			txt += ", " + area(b.M2)
		}
		parts = append(parts, txt)
	}
	return sentence(append(parts, inventedNote(in.Invented))...)
}
