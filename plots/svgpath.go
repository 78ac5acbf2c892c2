package plots

import (
	"math"
	"strconv"
	"strings"

	"gonum.org/v1/plot/vg"
)

// tolerance is how far a line may pass from a point that is left out, in points.
const tolerance = 0.05

// pathWriter writes paths as the data of one SVG path, with relative coordinates in tenths of a point and y downwards.
// Rounding does not add up: each step leads from one rounded point to the next.
//
// References:
//   - W3C: Scalable Vector Graphics 2 (2018), chapter 9
type pathWriter struct {
	strings.Builder
	height     vg.Length
	x, y       int // where the pen is, in tenths
	fromX      int // where the subpath begins
	fromY      int
	command    byte
	fractional bool // the number before has a point: another that begins with one needs no blank
}

func (w *pathWriter) tenths(p vg.Point) (x, y int) {
	return int(math.Round(10 * float64(p.X))), int(math.Round(10 * float64(w.height-p.Y)))
}

// write adds a path.
func (w *pathWriter) write(p vg.Path) {
	var last vg.Point // where the path is, unrounded
	for i := 0; i < len(p); i++ {
		switch c := p[i]; c.Type {
		case vg.MoveComp:
			w.move(c.Pos)
			last = c.Pos
		case vg.LineComp:
			j := i
			pts := []vg.Point{last}
			for ; j < len(p) && p[j].Type == vg.LineComp; j++ {
				pts = append(pts, p[j].Pos)
			}
			for _, q := range thinned(pts)[1:] {
				w.line(q)
			}
			last, i = pts[len(pts)-1], j-1
		case vg.ArcComp:
			last = w.arc(c, i == 0)
		case vg.CurveComp:
			w.curve(c)
			last = c.Pos
		case vg.CloseComp:
			w.put('z')
			w.x, w.y = w.fromX, w.fromY
		}
	}
}

func (w *pathWriter) move(p vg.Point) {
	x, y := w.tenths(p)
	w.put('m', x-w.x, y-w.y) // the first from 0,0
	w.x, w.y, w.fromX, w.fromY = x, y, x, y
	w.command = 'l' // what numbers after those of a move mean
}

func (w *pathWriter) line(p vg.Point) {
	x, y := w.tenths(p)
	switch dx, dy := x-w.x, y-w.y; {
	case dx == 0 && dy == 0:
		return
	case dy == 0:
		w.put('h', dx)
	case dx == 0:
		w.put('v', dy)
	default:
		w.put('l', dx, dy)
	}
	w.x, w.y = x, y
}

// arc adds an arc, a full circle as two halves; it returns its end. An arc that begins a path moves to its beginning.
func (w *pathWriter) arc(c vg.PathComp, first bool) vg.Point {
	at := func(angle float64) vg.Point {
		sin, cos := math.Sincos(angle)
		return vg.Point{X: c.Pos.X + c.Radius*vg.Length(cos), Y: c.Pos.Y + c.Radius*vg.Length(sin)}
	}
	if first {
		w.move(at(c.Start))
	} else {
		w.line(at(c.Start))
	}
	steps := 1
	if math.Abs(c.Angle) > math.Pi {
		steps = 2
	}
	for i := 1; i <= steps; i++ {
		x, y := w.tenths(at(c.Start + c.Angle*float64(i)/float64(steps)))
		r := int(math.Round(10 * float64(c.Radius)))
		w.put('a', r, r)
		w.Builder.WriteString(" 0 0 ") // neither half is larger than half a turn
		w.Builder.WriteString(map[bool]string{true: "0", false: "1"}[c.Angle > 0])
		w.fractional = false
		w.number(x-w.x, true)
		w.number(y-w.y, true)
		w.x, w.y = x, y
	}
	return at(c.Start + c.Angle)
}

func (w *pathWriter) curve(c vg.PathComp) {
	var steps []int
	for _, q := range append(append([]vg.Point{}, c.Control...), c.Pos) {
		x, y := w.tenths(q)
		steps = append(steps, x-w.x, y-w.y)
	}
	w.put(map[int]byte{1: 'q', 2: 'c'}[len(c.Control)], steps...)
	w.x, w.y = w.tenths(c.Pos)
}

// put writes a command, unless it is that before, and its numbers.
func (w *pathWriter) put(command byte, tenths ...int) {
	named := command != w.command || command == 'm' || command == 'z'
	if named {
		w.WriteByte(command)
	}
	w.command = command
	for i, n := range tenths {
		w.number(n, i > 0 || !named)
	}
}

// number writes a number of tenths; behind: another number stands before it.
func (w *pathWriter) number(n int, behind bool) {
	s := decimal(vg.Length(n)/10, 10)
	if behind && s[0] != '-' && !(s[0] == '.' && w.fractional) {
		w.WriteByte(' ')
	}
	w.WriteString(s)
	w.fractional = strings.Contains(s, ".")
}

// decimal writes a number rounded to steps of 1/parts, without zeros that say nothing.
func decimal(v vg.Length, parts float64) string {
	s := strconv.FormatFloat(math.Round(float64(v)*parts)/parts, 'f', -1, 64)
	switch {
	case s == "-0":
		return "0"
	case strings.HasPrefix(s, "0."):
		return s[1:]
	case strings.HasPrefix(s, "-0."):
		return "-" + s[2:]
	}
	return s
}

// thinned leaves out the points of a line that it passes within the tolerance without them.
//
// References:
//   - Douglas, D. H. and Peucker, T. K.: Algorithms for the reduction of the number of points required to represent a
//     digitized line or its caricature, Cartographica 10 (1973) 112-122
func thinned(pts []vg.Point) []vg.Point {
	if len(pts) < 3 {
		return pts
	}
	a, b := pts[0], pts[len(pts)-1]
	most, at := vg.Length(0), 0
	for i := 1; i < len(pts)-1; i++ {
		if d := distance(pts[i], a, b); d > most {
			most, at = d, i
		}
	}
	if most <= tolerance {
		return []vg.Point{a, b}
	}
	first := thinned(pts[:at+1])
	return append(first[:len(first)-1:len(first)-1], thinned(pts[at:])...)
}

// distance is that of p from the stretch between a and b.
func distance(p, a, b vg.Point) vg.Length {
	d, e := b.Sub(a), p.Sub(a)
	t := 0.0
	if n := d.Dot(d); n > 0 {
		t = math.Min(math.Max(float64(e.Dot(d)/n), 0), 1)
	}
	r := e.Sub(d.Scale(vg.Length(t)))
	return vg.Length(math.Hypot(float64(r.X), float64(r.Y)))
}

// boxOf is what a path covers at most, drawn with a pen so wide.
func boxOf(p vg.Path, width vg.Length) vg.Rectangle {
	inf := vg.Length(math.Inf(1))
	b := vg.Rectangle{Min: vg.Point{X: inf, Y: inf}, Max: vg.Point{X: -inf, Y: -inf}}
	grow := func(q vg.Point, by vg.Length) {
		b.Min.X, b.Min.Y = min(b.Min.X, q.X-by), min(b.Min.Y, q.Y-by)
		b.Max.X, b.Max.Y = max(b.Max.X, q.X+by), max(b.Max.Y, q.Y+by)
	}
	for _, c := range p {
		switch c.Type {
		case vg.MoveComp, vg.LineComp, vg.CurveComp:
			grow(c.Pos, width)
			for _, q := range c.Control {
				grow(q, width)
			}
		case vg.ArcComp:
			grow(c.Pos, c.Radius+width)
		}
	}
	return b
}
