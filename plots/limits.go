package plots

import (
	"math"
	"sort"
	"strings"

	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"
)

// LimitRow is what holds the offtake of one bed and species, kg wet a year; NaN where a limit is not known.
type LimitRow struct {
	Label                  string  // bed and species
	Stock                  float64 // standing stock, median
	Cap, Replacement, Risk float64
	Advised                float64
	LowStock               float64 // factor of the low stock, 0-1
	LimitedBy              string  // cap, replacement, risk, low stock
	Reason                 string  // why there is no advice
}

// LimitInput is what holds the offtake of all beds and species.
type LimitInput struct {
	Rows     []LimitRow
	Draws    int // 0: not said
	Invented bool
}

// limitKinds are the three limits with their marks; the one that binds is drawn filled.
var limitKinds = []struct {
	name string
	m    mark
	of   func(LimitRow) float64
}{
	{"cap", mark{shape: "circle", clr: blue, r: 3.6}, func(r LimitRow) float64 { return r.Cap }},
	{"replacement", mark{shape: "triangle", clr: green, r: 4.6}, func(r LimitRow) float64 { return r.Replacement }},
	{"risk", mark{shape: "diamond", clr: vermillion, r: 4.4}, func(r LimitRow) float64 { return r.Risk }},
}

// The axis of limits reaches at most so many times as far as the largest advised share, so that those remain to be told
// apart; marks beyond it are arrows.
const limitReach = 2.2

// Limits shows, one row a bed and species, the limits as shares of the standing stock and a bar as long as the advised
// offtake, from the largest share to the smallest. Rows without an advice come last and show why.
//
// The limits of one row are compared with each other and with those of other beds, so the axis is one for all, in
// percent of each bed's own stock, from 0; the weights stand at the right. The height grows with the number of rows.
func Limits(in LimitInput) Figure {
	rows := sortLimits(in.Rows)
	l := layLimits(rows)
	f := Figure{Width: figureWidth, Height: l.height(), Title: "What limits the offtake, by bed and species"}
	f.Caption, f.Alt = in.caption(rows), in.alt(rows)
	f.Draw = func(c draw.Canvas) { l.draw(c, f.Title, in.Invented) }
	return f
}

// told says whether a row has an advice to show.
func (r LimitRow) told() bool { return amount(r.Advised) && finite(r.Stock) && r.Stock > 0 }

// share is a weight as a percentage of the stock of the row.
func (r LimitRow) share(kg float64) float64 { return 100 * kg / r.Stock }

// reason is why a row has no advice.
func (r LimitRow) reason() string {
	if s := clean(r.Reason); s != "" {
		return s
	}
	return "no advice"
}

// value is the advice of a row in words.
func (r LimitRow) value() string {
	txt := exactMass(r.Advised) + ", " + clean(r.LimitedBy)
	if finite(r.LowStock) && r.LowStock < 0.995 {
		txt += " ×" + nbsp + plain(r.LowStock, 2)
	}
	return strings.TrimSuffix(txt, ", ")
}

// sortLimits returns the rows from the largest advised share to the smallest, those without an advice last.
func sortLimits(rows []LimitRow) []LimitRow {
	out := append([]LimitRow(nil), rows...)
	sort.SliceStable(out, func(i, j int) bool {
		a, b := out[i], out[j]
		switch {
		case a.told() != b.told():
			return a.told()
		case a.told() && a.share(a.Advised) != b.share(b.Advised):
			return a.share(a.Advised) > b.share(b.Advised)
		}
		return a.Label < b.Label
	})
	return out
}

// limitLayout is where the columns and rows of the figure stand.
type limitLayout struct {
	rows          []LimitRow
	told          int // rows with an advice, which come first
	rowHeight     vg.Length
	labels, value vg.Length // widths of the columns beside the plot
	x             axis
}

func layLimits(rows []LimitRow) limitLayout {
	l := limitLayout{rows: rows, rowHeight: oneLine}
	largest, advised := 0.0, 0.0
	for _, r := range rows {
		l.labels = max(l.labels, plainText.width(clean(r.Label)))
		if !r.told() {
			continue
		}
		l.told++
		l.value = max(l.value, plainText.width(r.value()))
		advised = max(advised, r.share(r.Advised))
		largest = max(largest, advised)
		for _, k := range limitKinds {
			if v := r.share(k.of(r)); finite(v) {
				largest = max(largest, v)
			}
		}
	}
	l.labels = min(l.labels, 0.36*figureWidth)
	l.value = max(l.value, boldText.width("advised"))
	l.x = fromZero(min(max(largest, 5), limitReach*max(advised, 5), 100), 4)
	for _, r := range rows {
		if !r.told() && lightText.width(r.reason()) > figureWidth-2*margin-l.labels-14 {
			l.rowHeight = twoLines
		}
	}
	return l
}

func (l limitLayout) height() vg.Length {
	return rowsAbove + rowsBelow + vg.Length(max(len(l.rows), 1))*l.rowHeight
}

func (l limitLayout) draw(c draw.Canvas, title string, invented bool) {
	y := sheet(c, title, invented)
	if len(l.rows) == 0 {
		message(c, c.Rectangle, "No bed has an advice.")
		return
	}
	var entries []keyEntry
	for _, k := range limitKinds {
		m := k.m
		m.open = true
		entries = append(entries, keyEntry{m, k.name})
	}
	y -= lineHeight
	x := key(c, c.Min.X+margin, y, entries)
	write(c, lightText, left, x, y, "filled: what limits it; bar: advised")
	p := panel{c: c, x: l.x, y: axis{lo: 0, hi: 1}}
	p.area = vg.Rectangle{
		Min: vg.Point{X: c.Min.X + margin + l.labels + 8, Y: c.Min.Y + rowsBelow},
		Max: vg.Point{X: c.Max.X - margin - l.value - 14, Y: c.Min.Y + rowsBelow + vg.Length(len(l.rows))*l.rowHeight},
	}
	l.ground(p)
	for i, r := range l.rows {
		l.row(p, p.area.Max.Y-(vg.Length(i)+0.5)*l.rowHeight, r)
	}
	write(c, boldText, right, c.Max.X-margin, p.area.Max.Y+7, "advised")
	write(c, plainText, left, c.Min.X+margin, c.Min.Y+margin, "Kilograms a year as a share of the standing stock (%)")
}

// ground draws the stripes, and the grid through the rows that have an advice.
func (l limitLayout) ground(p panel) {
	stripes(p, len(l.rows), l.rowHeight)
	if l.told == 0 {
		return
	}
	foot := p.area.Max.Y - vg.Length(l.told)*l.rowHeight
	for _, t := range l.x.ticks {
		p.c.StrokeLine2(gridLine, p.px(t.at), foot, p.px(t.at), p.area.Max.Y)
	}
	p.frame(true)
}

// row draws one bed and species at the height y.
func (l limitLayout) row(p panel, y vg.Length, r LimitRow) {
	write(p.c, plainText, left, p.c.Min.X+margin, y-3.5, fit(plainText, r.Label, l.labels))
	if !r.told() {
		n := 1 + int(l.rowHeight/twoLines)
		lines := wrap(lightText, r.reason(), p.c.Max.X-margin-p.area.Min.X-6, n)
		for i, s := range lines {
			write(p.c, lightText, left, p.area.Min.X+6, y-3.5+(vg.Length(len(lines)-1)/2-vg.Length(i))*12, s)
		}
		return
	}
	end := p.px(min(r.share(r.Advised), l.x.hi))
	filled(p.c, vg.Rectangle{Min: vg.Point{X: p.area.Min.X, Y: y - 3}, Max: vg.Point{X: end, Y: y + 3}}, alpha(sky, 150))
	binds := strings.ToLower(clean(r.LimitedBy))
	if binds == "low stock" {
		binds = r.smallest()
	}
	for _, k := range limitKinds {
		v := r.share(k.of(r))
		if !finite(v) {
			continue
		}
		m := k.m
		m.open = k.name != binds
		if v > l.x.hi {
			arrow(p.c, draw.LineStyle{Color: m.clr, Width: 1.2}, p.area.Max.X, y)
			continue
		}
		m.draw(p.c, vg.Point{X: p.px(max(v, 0)), Y: y})
	}
	write(p.c, plainText, right, p.c.Max.X-margin, y-3.5, r.value())
}

// smallest names the smallest limit of a row.
func (r LimitRow) smallest() string {
	name, least := "", math.Inf(1)
	for _, k := range limitKinds {
		if v := k.of(r); v < least {
			name, least = k.name, v
		}
	}
	return name
}
