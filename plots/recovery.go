package plots

import (
	"fmt"
	"math"
	"strings"

	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"
)

// CutPoint is what was cut in one year from one bed.
type CutPoint struct {
	Year    string  // label, such as 2023 or 2022-23
	Stock   float64 // kg that was there to grow back from
	Kg      float64 // cut in that year
	Verdict string  // above recovery, below recovery, cannot tell
}

// RecoveryInput is one species on one bed. Weights are kg wet unless Unit says otherwise.
type RecoveryInput struct {
	Bed, Species string
	Unit         string // blank or kg: kg, written in tonnes where large

	Stock          []float64 // standing stock, rising
	Median, Lo, Hi []float64 // recovery within a year from that stock; Lo and Hi may be nil
	Level          float64   // of the interval Lo to Hi, 0-1
	Draws          int       // behind the curve; 0: not said

	Cuts           []CutPoint
	Limit, Trigger float64 // of the stock; NaN none

	AdviceStock, AdviceKg float64 // where AdviceOK
	AdviceOK              bool
	CutsNote              string // what must be known of the cuts; blank: nothing
	Note                  string // with an advice: a remark; without: why there is none

	Invented bool
}

// Recovery shows the pressure on a bed against its recovery: how much grows back within a year over the standing
// stock, with the cuts of the years and this year's advice as points on it. A point under the curve was within what
// grows back; one above it took from the stock.
//
// Limit and trigger are upright lines. Both axes begin at 0. Points that lack a number are left out with a warning; a
// bed without a curve is drawn with its points and a sentence that says so. Recovery panics where the slices differ in
// length.
func Recovery(in RecoveryInput) Figure {
	same("recovery", len(in.Stock), in.Median, in.Lo, in.Hi)
	if in.Median == nil && in.Stock != nil {
		panic("plots: recovery: a stock without a median")
	}
	f := Figure{Width: figureWidth, Height: 10.5 * vg.Centimeter}
	f.Title = strings.TrimSuffix("Cut and recovery: "+subject(in.Bed, in.Species), ": ")
	f.Caption, f.Alt = in.caption(), in.alt()
	for _, p := range in.Cuts {
		if !p.drawable() {
			f.Warnings = append(f.Warnings, fmt.Sprintf("cut of %s not drawn: its stock or weight is not known", clean(p.Year)))
		}
	}
	f.Draw = func(c draw.Canvas) { in.draw(c, f.Title) }
	return f
}

// hasCurve says whether two points of the curve can be drawn.
func (in RecoveryInput) hasCurve() bool {
	n := 0
	for i, b := range in.Stock {
		if finite(b) && finite(in.Median[i]) {
			n++
		}
	}
	return n > 1
}

// adviceDrawn says whether the advice has a place in the figure.
func (in RecoveryInput) adviceDrawn() bool {
	return in.AdviceOK && amount(in.AdviceStock) && amount(in.AdviceKg)
}

// drawable says whether a cut has a place in the figure.
func (p CutPoint) drawable() bool { return amount(p.Stock) && amount(p.Kg) }

// amount says whether v can be drawn and is not below 0.
func amount(v float64) bool { return finite(v) && v >= 0 }

// cutsDrawn are the cuts that have a place in the figure.
func (in RecoveryInput) cutsDrawn() []CutPoint {
	var out []CutPoint
	for _, p := range in.Cuts {
		if p.drawable() {
			out = append(out, p)
		}
	}
	return out
}

// extent is the largest stock and the largest yearly weight of the figure.
func (in RecoveryInput) extent() (x, y float64) {
	xs := []float64{in.Limit, in.Trigger}
	var ys []float64
	for _, p := range in.cutsDrawn() {
		xs, ys = append(xs, p.Stock), append(ys, p.Kg)
	}
	if in.adviceDrawn() {
		xs, ys = append(xs, in.AdviceStock), append(ys, in.AdviceKg)
	}
	return top(in.Stock, xs), top(in.Median, in.Hi, ys)
}

// units are those of the two axes, with what their weights are divided by.
func (in RecoveryInput) units() (xu string, xper float64, yu string, yper float64) {
	if u := clean(in.Unit); u != "" && u != "kg" {
		return u, 1, u, 1
	}
	x, y := in.extent()
	xu, xper = massUnit(x)
	yu, yper = massUnit(y)
	return
}

// weight writes a weight with its unit.
func (in RecoveryInput) weight(v float64) string {
	if u := clean(in.Unit); u != "" && u != "kg" {
		return short(round3(v)) + nbsp + u
	}
	return mass(v)
}

// adviceText is the advice in words.
func (in RecoveryInput) adviceText() string {
	switch {
	case in.adviceDrawn() && clean(in.Unit) != "" && clean(in.Unit) != "kg":
		return "advice " + short(in.AdviceKg) + nbsp + clean(in.Unit)
	case in.adviceDrawn():
		return "advice " + exactMass(in.AdviceKg)
	case in.Note != "":
		return "no advice: " + clean(in.Note)
	}
	return "no advice"
}

// scaled divides a list; what cannot be drawn becomes NaN.
func scaled(vs []float64, per float64) []float64 {
	out := make([]float64, len(vs))
	for i, v := range vs {
		out[i] = v / per
		if !finite(v) {
			out[i] = math.NaN()
		}
	}
	return out
}

func (in RecoveryInput) draw(c draw.Canvas, title string) {
	y := sheet(c, title, in.Invented)
	if !in.hasCurve() && len(in.cutsDrawn()) == 0 && !in.adviceDrawn() {
		message(c, c.Rectangle, sentence("Nothing to show: growth could not be estimated and no cut has both a stock and a weight",
			capital(in.adviceText())))
		return
	}
	xu, xper, yu, yper := in.units()
	largestX, largestY := in.extent()
	p := panel{c: c, x: fromZero(largestX/xper, 6), y: fromZero(largestY/yper, 5)}

	var verdicts []string
	for _, cut := range in.cutsDrawn() {
		verdicts = append(verdicts, cut.Verdict)
	}
	if entries := verdictKey(verdicts); len(entries) > 0 {
		y -= lineHeight
		write(c, plainText, left, c.Min.X+margin, y, "Cuts:")
		key(c, c.Min.X+margin+34, y, entries)
	}
	y -= lineHeight
	write(c, plainText, left, c.Min.X+margin, y, "Regrowth or cut within a year ("+yu+")")
	p.area = vg.Rectangle{
		Min: vg.Point{X: c.Min.X + margin + numbersWidth(p.y), Y: c.Min.Y + margin + 30},
		Max: vg.Point{X: c.Max.X - margin - overhang(p.x), Y: y - 8},
	}
	write(c, plainText, left, p.area.Min.X, c.Min.Y+margin, "Standing stock ("+xu+" wet)")
	in.fill(p, xper, yper)
}

// fill draws what stands in the panel, lines first, then marks, then words.
func (in RecoveryInput) fill(p panel, xper, yper float64) {
	room := &placer{area: p.area}
	xs, mid := scaled(in.Stock, xper), scaled(in.Median, yper)
	if in.Lo != nil && in.Hi != nil {
		p.band(alpha(green, 70), xs, scaled(in.Lo, yper), scaled(in.Hi, yper))
	}
	p.frame(true)
	curve := p.line(draw.LineStyle{Color: green, Width: 1.8}, xs, mid)
	room.blockLines(overLine, curve...)
	guides := in.guides(p, xper, room)

	advice := p.pt(in.AdviceStock/xper, in.AdviceKg/yper)
	cuts := in.cutsDrawn()
	for _, cut := range cuts {
		at := p.pt(cut.Stock/xper, cut.Kg/yper)
		m := verdictMark(cut.Verdict)
		m.draw(p.c, at)
		room.blockPoint(at, m.r+1, overMark)
	}
	if in.adviceDrawn() {
		adviceMark.draw(p.c, advice)
		room.blockPoint(advice, adviceMark.r+1, overMark)
		room.label(p.c, boldText, in.adviceText(), advice, adviceMark.r)
	} else {
		in.refuse(p, room)
	}
	nameUpright(p, guides, room)
	for _, cut := range cuts {
		m := verdictMark(cut.Verdict)
		room.label(p.c, plainText, cut.Year, p.pt(cut.Stock/xper, cut.Kg/yper), m.r)
	}
	if !in.hasCurve() {
		lines := wrap(lightText, "no recovery curve: growth could not be estimated", p.area.Max.X-p.area.Min.X-20, 2)
		room.put(p.c, lightText, lines, gridPlaces(p.area, lightText, lines), math.Inf(1))
		return
	}
	in.nameCurve(p, room, xs, mid)
}
