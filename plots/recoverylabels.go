package plots

import (
	"math"

	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"
)

// guide is an upright line with its words.
type guide struct {
	x   vg.Length
	txt string
}

// guides draws limit and trigger.
func (in RecoveryInput) guides(p panel, xper float64, room *placer) []guide {
	var out []guide
	for _, g := range []struct {
		at   float64
		word string
		s    draw.LineStyle
	}{{in.Limit, "limit", limitLine}, {in.Trigger, "trigger", triggerLine}} {
		if amount(g.at) {
			x := p.px(g.at / xper)
			p.c.StrokeLine2(g.s, x, p.area.Min.Y, x, p.area.Max.Y)
			room.blockLines(overGuide, []vg.Point{{X: x, Y: p.area.Min.Y}, {X: x, Y: p.area.Max.Y}})
			out = append(out, guide{x, g.word + " " + in.weight(g.at)})
		}
	}
	return out
}

// nameUpright writes the words of upright lines at their upper ends, beside the line.
func nameUpright(p panel, gs []guide, room *placer) {
	for _, g := range gs {
		lines := []string{g.txt}
		w, h := blockSize(plainText, lines)
		var places []vg.Point
		for k := range 6 {
			y := p.area.Max.Y - h - vg.Length(k)*h*1.05
			places = append(places, vg.Point{X: g.x + 2, Y: y}, vg.Point{X: g.x - 2 - w, Y: y})
		}
		room.put(p.c, plainText, lines, places, math.Inf(1))
	}
}

// refuse says in the panel why there is no advice.
func (in RecoveryInput) refuse(p panel, room *placer) {
	lines := wrap(boldText, in.adviceText(), (p.area.Max.X-p.area.Min.X)*0.5, 3)
	room.put(p.c, boldText, lines, gridPlaces(p.area, boldText, lines), math.Inf(1))
}

// gridPlaces lists places all over a rectangle, from the upper right to the lower left.
func gridPlaces(area vg.Rectangle, s textStyle, lines []string) []vg.Point {
	w, h := blockSize(s, lines)
	dx, dy := area.Max.X-area.Min.X-w-8, area.Max.Y-area.Min.Y-h-8
	var out []vg.Point
	for i := range 9 {
		for k := range 9 {
			out = append(out, vg.Point{
				X: area.Max.X - 4 - w - dx*vg.Length(k)/8,
				Y: area.Max.Y - 4 - h - dy*vg.Length(i)/8,
			})
		}
	}
	return out
}

// nameCurve writes, in light words, what the curve and the ground under it mean.
func (in RecoveryInput) nameCurve(p panel, room *placer, xs, mid []float64) {
	const onWords, underWords = "recovery", "within recovery"
	w, h := blockSize(lightText, []string{onWords})
	var on, under []vg.Point
	for _, at := range p.along(xs, mid, 0.75, 0.7, 0.8, 0.65, 0.6, 0.85, 0.55, 0.5, 0.45, 0.4, 0.35, 0.3) {
		for _, gap := range []vg.Length{3, 6} {
			on = append(on, at.Add(vg.Point{X: gap, Y: gap}), at.Add(vg.Point{X: -w - gap, Y: gap}),
				at.Add(vg.Point{X: -w / 2, Y: 2 * gap}))
		}
	}
	w, _ = blockSize(lightText, []string{underWords})
	for _, at := range p.along(xs, mid, 0.5, 0.4, 0.6, 0.3, 0.7) {
		for _, f := range []vg.Length{0.5, 0.35, 0.2, 0.65} {
			y := p.area.Min.Y + (at.Y-p.area.Min.Y)*f - h/2
			if y > p.area.Min.Y+2 && y+h < at.Y-4 {
				under = append(under, vg.Point{X: at.X - w/2, Y: y})
			}
		}
	}
	room.put(p.c, lightText, []string{onWords}, on, 1500)
	room.put(p.c, lightText, []string{underWords}, under, 900)
}

// along lists the points of a curve at some shares of its length that can be drawn.
func (p panel) along(xs, ys []float64, shares ...float64) []vg.Point {
	var out []vg.Point
	for _, f := range shares {
		if i := int(f * float64(len(xs)-1)); p.holds(xs[i], ys[i]) {
			out = append(out, p.pt(xs[i], ys[i]))
		}
	}
	return out
}
