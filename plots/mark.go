package plots

import (
	"image/color"
	"math"
	"strings"

	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"
)

// mark is a shape with its colour; open shapes are white inside.
type mark struct {
	shape string // circle, triangle, diamond, star, cross
	clr   color.NRGBA
	open  bool
	r     vg.Length
}

// Verdicts on a cut, as the assessment words them. Any other word is drawn as "cannot tell".
const (
	verdictAbove = "above recovery"
	verdictBelow = "below recovery"
	verdictDoubt = "cannot tell"
)

var adviceMark = mark{shape: "star", clr: ink, r: 7}

// kind reduces the words of a verdict to one of the three that have a shape.
func kind(verdict string) string {
	v := strings.ToLower(clean(verdict))
	for _, k := range []string{verdictAbove, verdictBelow} {
		if strings.HasPrefix(v, k) {
			return k
		}
	}
	return verdictDoubt
}

// verdictMark is the shape of a verdict: filled triangle above recovery, filled circle below, open diamond in doubt.
func verdictMark(verdict string) mark {
	switch kind(verdict) {
	case verdictAbove:
		return mark{shape: "triangle", clr: vermillion, r: 4.6}
	case verdictBelow:
		return mark{shape: "circle", clr: blue, r: 3.6}
	}
	return mark{shape: "diamond", clr: ink, open: true, r: 4.4}
}

// draw draws the mark at a point, with a thin white rim that keeps it apart from lines and other marks.
func (m mark) draw(c draw.Canvas, at vg.Point) {
	if m.shape == "cross" {
		s := draw.LineStyle{Color: m.clr, Width: 1.2}
		c.StrokeLine2(s, at.X-m.r, at.Y-m.r, at.X+m.r, at.Y+m.r)
		c.StrokeLine2(s, at.X-m.r, at.Y+m.r, at.X+m.r, at.Y-m.r)
		return
	}
	c.SetColor(white)
	c.Fill(m.path(at, m.r+1))
	if !m.open {
		c.SetColor(m.clr)
		c.Fill(m.path(at, m.r))
		return
	}
	c.SetLineStyle(draw.LineStyle{Color: m.clr, Width: 1.2})
	c.Stroke(m.path(at, m.r-0.5))
}

func (m mark) path(at vg.Point, r vg.Length) vg.Path {
	var p vg.Path
	switch m.shape {
	case "triangle":
		return polygon(at, 3, r, r)
	case "diamond":
		return polygon(at, 4, r, r)
	case "star":
		return polygon(at, 10, r, r*0.45)
	}
	p.Move(vg.Point{X: at.X + r, Y: at.Y})
	p.Arc(at, r, 0, 2*math.Pi)
	p.Close()
	return p
}

// polygon has n corners, the first upwards, at the distances r and inner in turn.
func polygon(at vg.Point, n int, r, inner vg.Length) vg.Path {
	var p vg.Path
	for i := range n {
		d := r
		if i%2 == 1 && n > 4 {
			d = inner
		}
		sin, cos := math.Sincos(math.Pi/2 + 2*math.Pi*float64(i)/float64(n))
		v := vg.Point{X: at.X + d*vg.Length(cos), Y: at.Y + d*vg.Length(sin)}
		if i == 0 {
			p.Move(v)
		} else {
			p.Line(v)
		}
	}
	p.Close()
	return p
}

// keyEntry is one mark with its words.
type keyEntry struct {
	m   mark
	txt string
}

// key writes marks with their words in one line from x on, and returns where it ends.
func key(c draw.Canvas, x, y vg.Length, entries []keyEntry) vg.Length {
	for _, e := range entries {
		e.m.draw(c, vg.Point{X: x + 5, Y: y + 3.5})
		write(c, plainText, left, x+13, y, e.txt)
		x += 13 + plainText.width(e.txt) + 14
	}
	return x
}

// verdictKey lists the marks of the verdicts that occur, in a fixed order.
func verdictKey(verdicts []string) []keyEntry {
	seen := map[string]bool{}
	for _, v := range verdicts {
		seen[kind(v)] = true
	}
	var out []keyEntry
	for _, k := range []string{verdictAbove, verdictBelow, verdictDoubt} {
		if seen[k] {
			out = append(out, keyEntry{verdictMark(k), k})
		}
	}
	return out
}

// hatched draws a rectangle with slanting lines and an outline.
func hatched(c draw.Canvas, box vg.Rectangle, s draw.LineStyle, apart vg.Length) {
	in := draw.Canvas{Canvas: c, Rectangle: box}
	h := box.Max.Y - box.Min.Y
	for k := int((box.Min.X - h) / apart); vg.Length(k)*apart < box.Max.X; k++ {
		x := vg.Length(k) * apart
		c.StrokeLines(s, in.ClipLinesXY([]vg.Point{{X: x, Y: box.Min.Y}, {X: x + h, Y: box.Max.Y}})...)
	}
	outline(c, box, s)
}

func outline(c draw.Canvas, b vg.Rectangle, s draw.LineStyle) {
	c.StrokeLines(s, []vg.Point{b.Min, {X: b.Max.X, Y: b.Min.Y}, b.Max, {X: b.Min.X, Y: b.Max.Y}, b.Min})
}

func filled(c draw.Canvas, b vg.Rectangle, clr color.Color) {
	c.FillPolygon(clr, []vg.Point{b.Min, {X: b.Max.X, Y: b.Min.Y}, b.Max, {X: b.Min.X, Y: b.Max.Y}})
}

// stripes grounds every second of n rows, the first of which stands at the top of the panel.
func stripes(p panel, n int, rowHeight vg.Length) {
	for i := 1; i < n; i += 2 {
		y := p.area.Max.Y - vg.Length(i)*rowHeight
		filled(p.c, vg.Rectangle{
			Min: vg.Point{X: p.c.Min.X + margin - 2, Y: y - rowHeight},
			Max: vg.Point{X: p.c.Max.X - margin + 2, Y: y},
		}, wash)
	}
}
