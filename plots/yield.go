package plots

import (
	"fmt"
	"image/color"
	"math"
	"strings"

	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"
)

// YieldInput is what comes of cutting one share of a bed's exploitable stock every time, for many shares. Weights are kg
// wet, shares and probabilities 0-1.
type YieldInput struct {
	Bed, Species string

	Fraction []float64 // shares cut, rising from 0
	Yield    []float64 // kg a year over the horizon, median
	Risk     []float64 // highest yearly probability of being below the limit
	Years    int       // of the horizon
	RiskRule float64   // highest risk that the rules allow

	Advised     float64 // the share that is advised; NaN: none
	Third       float64 // the rule of thumb, a third; NaN: not marked
	Persistence float64 // the share beyond which the stand dies out, median; NaN: not known

	Draws    int // 0: not said
	Note     string
	Invented bool
}

// Yield shows yield against risk over the share that is cut: above, what is cut a year over the horizon, below, the
// highest yearly probability of falling under the limit, with the highest that the rules allow. Upright lines mark the
// advised share, the rule of thumb, and the share beyond which the stand does not persist.
//
// Both axes begin at 0 and reach as far as the shares do; a mark beyond is named in the caption alone. Yield panics
// where the slices differ in length.
func Yield(in YieldInput) Figure {
	same("yield", len(in.Fraction), in.Yield, in.Risk)
	f := Figure{Width: figureWidth, Height: 12 * vg.Centimeter}
	f.Title = strings.TrimSuffix("Yield and risk: "+subject(in.Bed, in.Species), ": ")
	f.Caption, f.Alt = in.caption(), in.alt()
	f.Draw = func(c draw.Canvas) { in.draw(c, f.Title) }
	return f
}

// drawable says whether two points of either curve can be drawn.
func (in YieldInput) drawable() bool {
	n := 0
	for i, h := range in.Fraction {
		if finite(h) && finite(in.Yield[i]) && finite(in.Risk[i]) {
			n++
		}
	}
	return n > 1
}

// shareMark is a share that an upright line marks.
type shareMark struct {
	at    float64
	word  string
	style draw.LineStyle
}

// marks are the shares to be marked that are known, rising.
func (in YieldInput) marks() []shareMark {
	solid := draw.LineStyle{Color: ink, Width: 1.4}
	all := []shareMark{{in.Advised, "advised", solid}, {in.Third, thirdWord, triggerLine},
		{in.Persistence, "dies out beyond", limitLine}}
	var out []shareMark
	for _, m := range all {
		if amount(m.at) {
			out = append(out, m)
		}
	}
	return out
}

// text is a mark with its share.
func (m shareMark) text() string {
	if m.word == thirdWord {
		return m.word
	}
	return m.word + " " + wholePercent(m.at)
}

// thirdWord names the rule of thumb, which is its own number.
const thirdWord = "a third"

// wholePercent writes a share as a percentage of two significant digits or more.
func wholePercent(v float64) string {
	if math.Abs(v) < 0.0995 {
		return short(math.Round(v*1000)/10) + nbsp + "%"
	}
	return short(math.Round(v*100)) + nbsp + "%"
}

// percentAxis is an axis from 0 in percent that reaches up to a share.
func percentAxis(largest float64, n int) axis { return fromZero(100*largest, n) }

func (in YieldInput) draw(c draw.Canvas, title string) {
	y := sheet(c, title, in.Invented)
	if !in.drawable() {
		message(c, c.Rectangle, sentence("Nothing to show: what comes of a cut could not be worked out", in.Note))
		return
	}
	unit, per := massUnit(top(in.Yield))
	x := percentAxis(top(in.Fraction)/1.06, 7)
	x.hi = 100 * top(in.Fraction)
	upper := panel{c: c, x: x, y: fromZero(top(in.Yield)/per, 4)}
	lower := panel{c: c, x: x, y: percentAxis(min(max(top(in.Risk), 1.6*in.RiskRule), 1), 4)}
	lower.y.hi = min(lower.y.hi, 106)
	from := c.Min.X + margin + numbersWidth(upper.y, lower.y)
	to := c.Max.X - margin - overhang(x)
	foot := c.Min.Y + margin + 30
	y -= lineHeight
	middleY := foot + (y-foot)*0.47
	upper.area = vg.Rectangle{Min: vg.Point{X: from, Y: middleY + lineHeight + 12}, Max: vg.Point{X: to, Y: y - 8}}
	lower.area = vg.Rectangle{Min: vg.Point{X: from, Y: foot}, Max: vg.Point{X: to, Y: middleY}}
	write(c, plainText, left, c.Min.X+margin, y, fmt.Sprintf("Cut a year over %s (%s)", in.span(), unit))
	write(c, plainText, left, c.Min.X+margin, middleY+8, "Highest yearly risk of falling under the limit (%)")
	write(c, plainText, left, from, c.Min.Y+margin, "Share of the exploitable stock cut every time (%)")
	in.fill(upper, scaled(in.Yield, per), green, true)
	in.fill(lower, scaled(in.Risk, 0.01), vermillion, false)
}

// span is the horizon in words.
func (in YieldInput) span() string {
	if in.Years == 1 {
		return "1 year"
	}
	return fmt.Sprintf("%d years", in.Years)
}

// fill draws one curve with the marks; the upper one names them, the lower one has the line of the rule.
func (in YieldInput) fill(p panel, ys []float64, clr color.Color, named bool) {
	room := &placer{area: p.area}
	p.frame(!named)
	xs := scaled(in.Fraction, 0.01)
	if !named && in.RiskRule > 0 {
		y := p.py(100 * in.RiskRule)
		p.c.StrokeLine2(limitLine, p.area.Min.X, y, p.area.Max.X, y)
		room.blockLines(overGuide, []vg.Point{{X: p.area.Min.X, Y: y}, {X: p.area.Max.X, Y: y}})
	}
	var gs []guide
	for _, m := range in.marks() {
		if 100*m.at > p.x.hi {
			continue
		}
		x := p.px(100 * m.at)
		p.c.StrokeLine2(m.style, x, p.area.Min.Y, x, p.area.Max.Y)
		room.blockLines(overGuide, []vg.Point{{X: x, Y: p.area.Min.Y}, {X: x, Y: p.area.Max.Y}})
		gs = append(gs, guide{x, m.text()})
	}
	room.blockLines(overLine, p.line(draw.LineStyle{Color: clr, Width: 1.8}, xs, ys)...)
	if y := at(in.Fraction, ys, in.Advised); finite(y) && p.holds(100*in.Advised, y) {
		adviceMark.draw(p.c, p.pt(100*in.Advised, y))
		room.blockPoint(p.pt(100*in.Advised, y), adviceMark.r+1, overMark)
	}
	if named {
		nameUpright(p, gs, room)
		return
	}
	if in.RiskRule > 0 {
		lines := []string{"allowed " + wholePercent(in.RiskRule)}
		w, _ := blockSize(plainText, lines)
		room.put(p.c, plainText, lines, []vg.Point{{X: p.area.Min.X + 4, Y: p.py(100*in.RiskRule) + 2},
			{X: p.area.Max.X - w - 4, Y: p.py(100*in.RiskRule) + 2}}, math.Inf(1))
	}
}

// at is the value of a curve at x, by straight lines; NaN outside it.
func at(xs, ys []float64, x float64) float64 {
	for i := 1; i < len(xs); i++ {
		if x >= xs[i-1] && x <= xs[i] && xs[i] > xs[i-1] {
			return ys[i-1] + (ys[i]-ys[i-1])*(x-xs[i-1])/(xs[i]-xs[i-1])
		}
	}
	return math.NaN()
}
