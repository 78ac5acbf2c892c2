package plots

import (
	"sort"

	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"
)

// PressureRow is the pressure on one bed and species.
type PressureRow struct {
	Label         string  // bed and species
	Period        string  // between which surveys
	Ratio, Lo, Hi float64 // cut over recovery, with interval
	OK            bool    // whether there is a ratio
	Verdict       string  // above recovery, below recovery, cannot tell
	Reason        string  // why there is no ratio
}

// PressureInput is the pressure on all beds and species.
type PressureInput struct {
	Rows     []PressureRow
	Level    float64 // of the intervals, 0-1
	Invented bool
}

// The longest axis of ratios. Beyond it a row shows an arrow, and its number stands at the right.
const longestRatio = 4

// Pressure shows, one row a bed and species, what was cut over what grew back, with its interval and a line at 1, from
// most to least pressure.
//
// The axis is linear from 0: a bed that was not cut has the ratio 0, which a logarithmic axis could not show, and the
// one length that matters is that to 1. It ends at 4 at most; ratios and intervals beyond end in an arrow, while the
// numbers at the right are always whole. Rows that cannot be told come last and show their reason instead of a point.
// The height grows with the number of rows.
func Pressure(in PressureInput) Figure {
	rows := sortRows(in.Rows)
	f := Figure{Width: figureWidth, Title: "Cut over recovery, by bed and species"}
	l := layRows(rows, in.Level)
	f.Height = l.height()
	f.Caption, f.Alt = in.caption(rows), in.alt(rows)
	f.Draw = func(c draw.Canvas) { l.draw(c, f.Title, in.Invented) }
	return f
}

// told says whether a row has a ratio to show.
func (r PressureRow) told() bool { return r.OK && finite(r.Ratio) && r.Ratio >= 0 }

// reason is why a row has no ratio.
func (r PressureRow) reason() string {
	if s := clean(r.Reason); s != "" {
		return "cannot tell: " + s
	}
	return verdictDoubt
}

// value is the ratio of a row in words.
func (r PressureRow) value() string {
	if !finite(r.Lo) || !finite(r.Hi) || r.Lo == r.Hi {
		return ratioText(r.Ratio)
	}
	return ratioText(r.Ratio) + " (" + ratioText(r.Lo) + "–" + ratioText(r.Hi) + ")"
}

// sortRows returns the rows from most to least pressure, those without a ratio last, equal ones by label and period.
func sortRows(rows []PressureRow) []PressureRow {
	out := append([]PressureRow(nil), rows...)
	sort.SliceStable(out, func(i, j int) bool {
		a, b := out[i], out[j]
		switch {
		case a.told() != b.told():
			return a.told()
		case a.told() && a.Ratio != b.Ratio:
			return a.Ratio > b.Ratio
		case a.Label != b.Label:
			return a.Label < b.Label
		}
		return a.Period < b.Period
	})
	return out
}

// rowLayout is where the columns and rows of the figure stand.
type rowLayout struct {
	rows          []PressureRow
	level         float64
	onePeriod     string // the period, where it is the same for all rows
	rowHeight     vg.Length
	labels, value vg.Length // widths of the columns beside the plot
	gap           vg.Length // between the plot and the values, with room for marks beyond the axis
	told          int       // rows with a ratio, which come first
	x             axis
}

func layRows(rows []PressureRow, level float64) rowLayout {
	l := rowLayout{rows: rows, level: level, rowHeight: oneLine, gap: 14}
	if len(rows) > 0 {
		l.onePeriod = clean(rows[0].Period)
	}
	largest := 1.25
	for _, r := range rows {
		if clean(r.Period) != l.onePeriod {
			l.onePeriod, l.rowHeight = "", twoLines
		}
		l.labels = max(l.labels, plainText.width(clean(r.Label)), plainText.width(clean(r.Period)))
		if r.told() {
			l.told++
			l.value = max(l.value, plainText.width(r.value()))
			largest = max(largest, top([]float64{r.Ratio, r.Lo, r.Hi}))
		}
	}
	l.labels = min(l.labels, 0.38*figureWidth)
	l.value = max(l.value, boldText.width("ratio"))
	l.x = fromZero(min(largest, longestRatio), 4)
	for _, r := range rows {
		if r.told() && r.Ratio > l.x.hi {
			l.gap = 32
		}
		if !r.told() && lightText.width(r.reason()) > l.wordsWidth() {
			l.rowHeight = twoLines
		}
	}
	return l
}

// Heights of a row, and of what stands above and below the rows.
const (
	oneLine   = 17
	twoLines  = 27
	rowsAbove = margin + 14 + 3*lineHeight
	rowsBelow = margin + 32
)

func (l rowLayout) height() vg.Length {
	return rowsAbove + rowsBelow + vg.Length(max(len(l.rows), 1))*l.rowHeight
}

// wordsWidth is the room for the reason of a row without a ratio.
func (l rowLayout) wordsWidth() vg.Length { return figureWidth - 2*margin - l.labels - 14 }

func (l rowLayout) draw(c draw.Canvas, title string, invented bool) {
	y := sheet(c, title, invented)
	if len(l.rows) == 0 {
		message(c, c.Rectangle, "No bed has a cut and a recovery to compare.")
		return
	}
	var verdicts []string
	for _, r := range l.rows {
		if r.told() {
			verdicts = append(verdicts, r.Verdict)
		}
	}
	y -= lineHeight
	key(c, c.Min.X+margin, y, verdictKey(verdicts))
	p := panel{c: c, x: l.x, y: axis{lo: 0, hi: 1}}
	p.area = vg.Rectangle{
		Min: vg.Point{X: c.Min.X + margin + l.labels + 8, Y: c.Min.Y + rowsBelow},
		Max: vg.Point{X: c.Max.X - margin - l.value - l.gap, Y: c.Min.Y + rowsBelow + vg.Length(len(l.rows))*l.rowHeight},
	}
	l.ground(p)
	for i, r := range l.rows {
		l.row(p, p.area.Max.Y-(vg.Length(i)+0.5)*l.rowHeight, r)
	}
	l.heads(p)
}

// ground draws the stripes, and through the rows that have a ratio the grid and the line at 1.
func (l rowLayout) ground(p panel) {
	stripes(p, len(l.rows), l.rowHeight)
	if l.told == 0 {
		return
	}
	foot := p.area.Max.Y - vg.Length(l.told)*l.rowHeight
	for _, t := range l.x.ticks {
		x := p.px(t.at)
		p.c.StrokeLine2(gridLine, x, foot, x, p.area.Max.Y)
	}
	one := p.px(1)
	p.c.StrokeLine2(limitLine, one, foot, one, p.area.Max.Y+4)
	p.frame(true)
}

// heads writes the words above the columns and under the axis.
func (l rowLayout) heads(p panel) {
	if l.told > 0 {
		l.columnHeads(p)
	}
	foot := "Cut over recovery"
	if l.onePeriod != "" {
		foot += ", " + l.onePeriod
	}
	write(p.c, plainText, left, p.c.Min.X+margin, p.c.Min.Y+margin, fit(plainText, foot, p.c.Max.X-p.c.Min.X-2*margin-90))
}

func (l rowLayout) columnHeads(p panel) {
	y, one := p.area.Max.Y+7, p.px(1)
	write(p.c, lightText, right, one-4, y, fit(lightText, "less than grew back", one-4-p.c.Min.X-margin))
	write(p.c, lightText, left, one+4, y, fit(lightText, "more", p.area.Max.X-one))
	write(p.c, boldText, right, p.c.Max.X-margin, y, "ratio")
}

// row draws one bed and species at the height y.
func (l rowLayout) row(p panel, y vg.Length, r PressureRow) {
	x := p.c.Min.X + margin
	if l.onePeriod != "" || clean(r.Period) == "" {
		write(p.c, plainText, left, x, y-3.5, fit(plainText, r.Label, l.labels))
	} else {
		write(p.c, plainText, left, x, y+2, fit(plainText, r.Label, l.labels))
		write(p.c, lightText, left, x, y-10, fit(lightText, r.Period, l.labels))
	}
	if !r.told() {
		l.words(p, y, r.reason())
		return
	}
	s := draw.LineStyle{Color: ink, Width: 1.3}
	if finite(r.Lo) && finite(r.Hi) {
		l.bar(p, s, y, r.Lo, r.Hi)
	}
	if r.Ratio <= l.x.hi {
		verdictMark(r.Verdict).draw(p.c, vg.Point{X: p.px(r.Ratio), Y: y})
	} else {
		verdictMark(r.Verdict).draw(p.c, vg.Point{X: p.area.Max.X + 9, Y: y})
		p.c.StrokeLine2(s, p.area.Max.X+15, y, p.area.Max.X+23, y)
		arrow(p.c, s, p.area.Max.X+23, y)
	}
	write(p.c, plainText, right, p.c.Max.X-margin, y-3.5, r.value())
}

// bar draws an interval, with an arrow where it leaves the axis.
func (l rowLayout) bar(p panel, s draw.LineStyle, y vg.Length, lo, hi float64) {
	if lo > l.x.hi {
		return
	}
	a, b := p.px(max(lo, 0)), p.px(min(max(hi, 0), l.x.hi))
	p.c.StrokeLine2(s, a, y, b, y)
	p.c.StrokeLine2(s, a, y-3, a, y+3)
	if hi > l.x.hi {
		arrow(p.c, s, p.area.Max.X, y)
		return
	}
	p.c.StrokeLine2(s, b, y-3, b, y+3)
}

// arrow draws an arrowhead that points to the right and ends at x.
func arrow(c draw.Canvas, s draw.LineStyle, x, y vg.Length) {
	c.StrokeLines(s, []vg.Point{{X: x - 4, Y: y + 3.5}, {X: x, Y: y}, {X: x - 4, Y: y - 3.5}})
}

// words writes a reason in place of a point, on one line or two.
func (l rowLayout) words(p panel, y vg.Length, txt string) {
	n := 1
	if l.rowHeight == twoLines {
		n = 2
	}
	lines := wrap(lightText, txt, l.wordsWidth(), n)
	for i, s := range lines {
		write(p.c, lightText, left, p.area.Min.X+6, y-3.5+(vg.Length(len(lines)-1)/2-vg.Length(i))*12, s)
	}
}
