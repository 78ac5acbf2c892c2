package plots

import (
	"math"

	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"
)

func (l mapLayout) draw(c draw.Canvas, title string, invented bool) {
	y := sheet(c, title, invented)
	if len(l.beds) == 0 {
		message(c, c.Rectangle, "No bed has a position: give lat and lon in beds.csv, or outlines in beds.geojson.")
		return
	}
	y -= lineHeight
	var entries []keyEntry
	for _, s := range bedOrder {
		for _, b := range l.beds {
			if b.state() == s {
				entries = append(entries, keyEntry{bedStyles[s].m, s})
				break
			}
		}
	}
	key(c, c.Min.X+margin, y, entries)
	frame := vg.Rectangle{Min: vg.Point{X: c.Min.X + margin, Y: c.Min.Y + mapBelow}, Max: vg.Point{X: c.Max.X - margin, Y: y - 8}}
	outline(c, frame, gridLine)
	room := &placer{area: frame}
	middle := vg.Point{X: (frame.Min.X + frame.Max.X) / 2, Y: (frame.Min.Y + frame.Max.Y) / 2}
	to := func(v vec) vg.Point {
		return middle.Add(vg.Point{X: vg.Length((v.x - (l.west+l.east)/2) * l.scale), Y: vg.Length((v.y - (l.south+l.north)/2) * l.scale)})
	}
	for i := range l.beds {
		l.bed(c, i, to, room)
	}
	for i, b := range l.beds {
		at := to(l.at[i])
		bedStyles[b.state()].m.draw(c, at)
		room.blockPoint(at, bedStyles[b.state()].m.r+1, overMark)
	}
	l.compass(c, frame, room)
	for i, b := range l.beds {
		r := l.radius(i) + 2
		if l.outlined(i) {
			r = 6
		}
		name := fit(plainText, b.Name, 130)
		room.label(c, plainText, name, to(l.at[i]), r)
	}
	l.bar(c, frame)
}

// bed draws the ground of a bed: its outline, or a circle.
func (l mapLayout) bed(c draw.Canvas, i int, to func(vec) vg.Point, room *placer) {
	s := bedStyles[l.beds[i].state()]
	line := draw.LineStyle{Color: ink, Width: 0.8}
	if s.dashed {
		line.Dashes = []vg.Length{2, 2}
	}
	if !l.outlined(i) {
		r := l.radius(i)
		circle := mark{shape: "circle"}.path(to(l.at[i]), r)
		c.SetColor(s.ground)
		c.Fill(circle)
		c.SetLineStyle(line)
		c.Stroke(circle)
		room.blockPoint(to(l.at[i]), r*0.8, overLine)
		return
	}
	var path vg.Path
	for _, ring := range l.rings[i] {
		var pts []vg.Point
		for k, p := range ring {
			at := to(p)
			if pts = append(pts, at); k == 0 {
				path.Move(at)
			} else {
				path.Line(at)
			}
		}
		path.Close()
		room.blockLines(overGuide, pts)
	}
	c.SetColor(s.ground)
	c.Fill(path)
	c.SetLineStyle(line)
	c.Stroke(path)
}

// compass draws an arrow that points north into the upper right corner.
func (l mapLayout) compass(c draw.Canvas, frame vg.Rectangle, room *placer) {
	x, y := frame.Max.X-14, frame.Max.Y-30
	s := draw.LineStyle{Color: ink, Width: 1.1}
	c.StrokeLine2(s, x, y, x, y+16)
	c.StrokeLines(s, []vg.Point{{X: x - 3.5, Y: y + 12}, {X: x, Y: y + 16}, {X: x + 3.5, Y: y + 12}})
	write(c, boldText, 0.5, x, y+18, "N")
	room.block(vg.Rectangle{Min: vg.Point{X: x - 6, Y: y}, Max: vg.Point{X: x + 6, Y: y + 28}}, overText)
}

// bar draws a scale bar of a round length under the map.
func (l mapLayout) bar(c draw.Canvas, frame vg.Rectangle) {
	metres := barLength(float64(frame.Max.X-frame.Min.X) / 4 / l.scale)
	x, y := frame.Min.X, frame.Min.Y-12
	to := x + vg.Length(metres*l.scale)
	s := draw.LineStyle{Color: ink, Width: 1.2}
	c.StrokeLine2(s, x, y, to, y)
	c.StrokeLine2(s, x, y-3, x, y+3)
	c.StrokeLine2(s, to, y-3, to, y+3)
	txt := short(metres) + nbsp + "m"
	if metres >= 1000 {
		txt = short(metres/1000) + nbsp + "km"
	}
	write(c, plainText, left, to+6, y-3.5, txt)
}

// barLength is the largest of 1, 2, 5 times a power of ten that is at most v.
func barLength(v float64) float64 {
	p := math.Pow(10, math.Floor(math.Log10(v)))
	for _, k := range []float64{5, 2} {
		if k*p <= v {
			return k * p
		}
	}
	return p
}
