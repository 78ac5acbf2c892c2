package plots

import (
	"image/color"

	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"
)

// panel is a rectangle of a figure with a scale in either direction.
type panel struct {
	c    draw.Canvas
	area vg.Rectangle
	x, y axis
}

func (p panel) px(v float64) vg.Length {
	return p.area.Min.X + vg.Length((v-p.x.lo)/(p.x.hi-p.x.lo))*(p.area.Max.X-p.area.Min.X)
}

func (p panel) py(v float64) vg.Length {
	return p.area.Min.Y + vg.Length((v-p.y.lo)/(p.y.hi-p.y.lo))*(p.area.Max.Y-p.area.Min.Y)
}

func (p panel) pt(x, y float64) vg.Point { return vg.Point{X: p.px(x), Y: p.py(y)} }

// inside is the canvas of the area, against which lines and bands are clipped.
func (p panel) inside() draw.Canvas { return draw.Canvas{Canvas: p.c, Rectangle: p.area} }

// holds says whether a point lies within the ranges of both axes.
func (p panel) holds(x, y float64) bool {
	return finite(x) && finite(y) && x >= p.x.lo && x <= p.x.hi && y >= p.y.lo && y <= p.y.hi
}

// frame draws the grid, the axes, the numbers of y and, with numbers, those of x.
func (p panel) frame(numbers bool) {
	for _, t := range p.y.ticks {
		y := p.py(t.at)
		if t.at > p.y.lo {
			p.c.StrokeLine2(gridLine, p.area.Min.X, y, p.area.Max.X, y)
		}
		write(p.c, plainText, right, p.area.Min.X-5, y-3.5, t.label)
	}
	p.c.StrokeLine2(axisLine, p.area.Min.X, p.area.Min.Y, p.area.Max.X, p.area.Min.Y)
	for _, t := range p.x.ticks {
		x := p.px(t.at)
		if t.label == "" || !p.labelled() {
			p.c.StrokeLine2(axisLine, x, p.area.Min.Y, x, p.area.Min.Y-3)
		}
		if numbers {
			write(p.c, plainText, middle, x, p.area.Min.Y-13, t.label)
		}
	}
}

// labelled says whether labels stand between the marks of x, as those of years do.
func (p panel) labelled() bool {
	for _, t := range p.x.ticks {
		if t.label == "" {
			return true
		}
	}
	return false
}

// numbersWidth is the room that the numbers of an axis need at the left of a panel.
func numbersWidth(as ...axis) vg.Length {
	w := vg.Length(0)
	for _, a := range as {
		for _, t := range a.ticks {
			w = max(w, plainText.width(t.label))
		}
	}
	return w + 5
}

// overhang is the room at the right that the last number of x needs beyond the panel.
func overhang(a axis) vg.Length {
	if len(a.ticks) == 0 {
		return 0
	}
	return plainText.width(a.ticks[len(a.ticks)-1].label) / 2
}

// runs splits the indices 0 to n-1 into stretches where ok holds.
func runs(n int, ok func(int) bool) [][2]int {
	var out [][2]int
	for i := 0; i < n; {
		if !ok(i) {
			i++
			continue
		}
		j := i
		for j < n && ok(j) {
			j++
		}
		out = append(out, [2]int{i, j})
		i = j
	}
	return out
}

// line draws y over x, with gaps where a value is missing, and returns what was drawn.
func (p panel) line(s draw.LineStyle, xs, ys []float64) [][]vg.Point {
	var all [][]vg.Point
	for _, r := range runs(len(xs), func(i int) bool { return finite(xs[i]) && finite(ys[i]) }) {
		var pts []vg.Point
		for i := r[0]; i < r[1]; i++ {
			pts = append(pts, p.pt(xs[i], ys[i]))
		}
		all = append(all, pts)
	}
	in := p.inside()
	all = in.ClipLinesXY(all...)
	p.c.StrokeLines(s, all...)
	return all
}

// band fills between lo and hi over x, with gaps where a value is missing.
func (p panel) band(clr color.Color, xs, lo, hi []float64) {
	in := p.inside()
	ok := func(i int) bool { return finite(xs[i]) && finite(lo[i]) && finite(hi[i]) }
	for _, r := range runs(len(xs), ok) {
		var pts []vg.Point
		for i := r[0]; i < r[1]; i++ {
			pts = append(pts, p.pt(xs[i], lo[i]))
		}
		for i := r[1] - 1; i >= r[0]; i-- {
			pts = append(pts, p.pt(xs[i], hi[i]))
		}
		if pts = in.ClipPolygonXY(pts); len(pts) > 2 {
			p.c.FillPolygon(clr, pts)
		}
	}
}

// combed fills between lo and hi with upright lines some points apart, a hatch that reads in grey.
func (p panel) combed(s draw.LineStyle, apart vg.Length, xs, lo, hi []float64) {
	ok := func(i int) bool { return finite(xs[i]) && finite(lo[i]) && finite(hi[i]) }
	for _, r := range runs(len(xs), ok) {
		for i := r[0]; i+1 < r[1]; i++ {
			a, b := p.px(xs[i]), p.px(xs[i+1])
			if b <= a {
				continue
			}
			// The comb stands at multiples of its distance, so that stretches join without a seam.
			for k := int(a/apart) + 1; vg.Length(k)*apart <= b; k++ {
				x := vg.Length(k) * apart
				f := float64((x - a) / (b - a))
				y0, y1 := p.py(lo[i]+f*(lo[i+1]-lo[i])), p.py(hi[i]+f*(hi[i+1]-hi[i]))
				y0, y1 = max(y0, p.area.Min.Y), min(y1, p.area.Max.Y)
				if x >= p.area.Min.X && x <= p.area.Max.X && y1 > y0 {
					p.c.StrokeLine2(s, x, y0, x, y1)
				}
			}
		}
	}
}
