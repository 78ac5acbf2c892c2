package plots

import (
	"fmt"
	"strings"

	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"
)

// LengthBin is a class of lengths with its shares, 0-1.
type LengthBin struct {
	From, To       float64 // cm
	Fronds, Weight float64 // share of the fronds and of the weight
}

// LengthInput is how long the fronds of a species are on a bed.
type LengthInput struct {
	Bed, Species, Survey string
	Measured             string // what is measured: frond, strap, blade, plant; blank: frond

	Bins                   []LengthBin
	MinLength, Leave       float64 // cm; NaN: none
	Recruit                float64 // cm, shorter ones are recruits; NaN: none
	Exploitable, Lo, Hi    float64 // share of the weight that may be cut, with interval; NaN: not known
	Recruits               float64 // share of the fronds; NaN: not known
	Level                  float64 // of the interval, 0-1
	Count, Quadrats, Means int     // measured fronds, quadrats with them, further quadrats with a mean length

	Reason   string // why there are no lengths
	Invented bool
}

// Lengths shows the shares of the fronds (bars) and of the weight (stepped line) by length, with the shortest that may be
// cut, what is left standing of it and the length below which a frond is a recruit; the classes that may be cut are
// hatched. Both axes begin at 0.
func Lengths(in LengthInput) Figure {
	f := Figure{Width: figureWidth, Height: 8.5 * vg.Centimeter}
	f.Title = strings.TrimSuffix("Lengths: "+subject(in.Bed, in.Species), ": ")
	f.Caption, f.Alt = in.caption(), in.alt()
	f.Draw = func(c draw.Canvas) { in.draw(c, f.Title) }
	return f
}

// what is the word for what is measured.
func (in LengthInput) what() string {
	if w := clean(in.Measured); w != "" {
		return strings.ToLower(w)
	}
	return "frond"
}

// drawn are the classes that can be drawn.
func (in LengthInput) drawn() []LengthBin {
	var out []LengthBin
	for _, b := range in.Bins {
		if amount(b.From) && finite(b.To) && b.To > b.From && amount(b.Fronds) && amount(b.Weight) {
			out = append(out, b)
		}
	}
	return out
}

// lines are the lengths to be marked.
func (in LengthInput) lines() []shareMark {
	solid := draw.LineStyle{Color: ink, Width: 1.4}
	var out []shareMark
	for _, m := range []shareMark{{in.Recruit, "recruits under", triggerLine}, {in.Leave, "leave", limitLine}, {in.MinLength, "may be cut from", solid}} {
		if amount(m.at) && m.at > 0 {
			out = append(out, m)
		}
	}
	return out
}

func (in LengthInput) draw(c draw.Canvas, title string) {
	y := sheet(c, title, in.Invented)
	bins := in.drawn()
	if len(bins) == 0 {
		message(c, c.Rectangle, sentence("No lengths to show", in.Reason))
		return
	}
	longest, most := 0.0, 0.0
	for _, b := range bins {
		longest, most = max(longest, b.To), max(most, b.Fronds, b.Weight)
	}
	for _, m := range in.lines() {
		longest = max(longest, m.at)
	}
	p := panel{c: c, x: fromZero(longest, 8), y: percentAxis(most*1.15, 4)}
	y -= lineHeight
	in.key(c, y)
	y -= lineHeight
	write(c, plainText, left, c.Min.X+margin, y, "Share (%)")
	p.area = vg.Rectangle{
		Min: vg.Point{X: c.Min.X + margin + numbersWidth(p.y), Y: c.Min.Y + margin + 30},
		Max: vg.Point{X: c.Max.X - margin - overhang(p.x), Y: y - 8},
	}
	write(c, plainText, left, p.area.Min.X, c.Min.Y+margin, capital(in.what())+" length (cm)")
	in.fill(p, bins)
}

// key says what bars, hatch and line are.
func (in LengthInput) key(c draw.Canvas, y vg.Length) {
	x := c.Min.X + margin
	box := func() vg.Rectangle {
		return vg.Rectangle{Min: vg.Point{X: x, Y: y - 1}, Max: vg.Point{X: x + 14, Y: y + 8}}
	}
	word := func(txt string) {
		write(c, plainText, left, x+19, y, txt)
		x += 19 + plainText.width(txt) + 14
	}
	filled(c, box(), alpha(sky, 150))
	word(in.what() + "s")
	if amount(in.MinLength) {
		filled(c, box(), alpha(sky, 150))
		hatched(c, box(), draw.LineStyle{Color: blue, Width: 0.8}, 4)
		word(in.what() + "s that may be cut")
	}
	c.StrokeLine2(weightLine, x, y+3.5, x+14, y+3.5)
	word("weight")
}

// weightLine is the stepped line of the weight.
var weightLine = draw.LineStyle{Color: vermillion, Width: 1.8}

func (in LengthInput) fill(p panel, bins []LengthBin) {
	room := &placer{area: p.area}
	p.frame(true)
	var steps []vg.Point
	for _, b := range bins {
		box := vg.Rectangle{Min: p.pt(b.From, 0), Max: p.pt(b.To, 100*b.Fronds)}
		filled(p.c, box, alpha(sky, 150))
		if amount(in.MinLength) && b.From >= in.MinLength-1e-9 {
			hatched(p.c, box, draw.LineStyle{Color: blue, Width: 0.8}, 4)
		} else {
			outline(p.c, box, draw.LineStyle{Color: blue, Width: 0.6})
		}
		room.block(box, overGuide)
		if len(steps) == 0 {
			steps = append(steps, p.pt(b.From, 0))
		}
		steps = append(steps, p.pt(b.From, 100*b.Weight), p.pt(b.To, 100*b.Weight))
	}
	steps = append(steps, p.pt(bins[len(bins)-1].To, 0))
	p.c.StrokeLines(weightLine, steps)
	room.blockLines(overLine, steps)
	var gs []guide
	for _, m := range in.lines() {
		x := p.px(m.at)
		p.c.StrokeLine2(m.style, x, p.area.Min.Y, x, p.area.Max.Y)
		room.blockLines(overGuide, []vg.Point{{X: x, Y: p.area.Min.Y}, {X: x, Y: p.area.Max.Y}})
		gs = append(gs, guide{x, m.word + " " + centimetres(m.at)})
	}
	nameUpright(p, gs, room)
}

func centimetres(v float64) string { return short(v) + nbsp + "cm" }

// caption says what the figure shows.
func (in LengthInput) caption() string {
	if len(in.drawn()) == 0 {
		return sentence("No lengths to show", in.Reason, inventedNote(in.Invented))
	}
	what := fmt.Sprintf("%s lengths", capital(in.what()))
	if s := clean(in.Survey); s != "" {
		what += " at the survey " + s
	}
	what += fmt.Sprintf(" (n = %s measured in %d quadrats", plain(float64(in.Count), 0), in.Quadrats)
	if in.Means > 0 {
		what += fmt.Sprintf(", and the mean length of %d more", in.Means)
	}
	parts := []string{what + "): bars are shares of the " + in.what() + "s, the stepped line of the weight, each for the whole bed"}
	if e := in.exploitableWords(); e != "" {
		parts = append(parts, e)
	}
	return sentence(append(parts, inventedNote(in.Invented))...)
}

// exploitableWords is the share of the weight that may be cut.
func (in LengthInput) exploitableWords() string {
	if !amount(in.Exploitable) {
		return ""
	}
	txt := "By length " + wholePercent(in.Exploitable)
	if finite(in.Lo) && finite(in.Hi) {
		txt += fmt.Sprintf(" (%s %s to %s)", interval(in.Level), wholePercent(in.Lo), wholePercent(in.Hi))
	}
	return txt + " of the weight may be cut"
}

// alt is the text alternative: the marks and every class.
func (in LengthInput) alt() string {
	parts := []string{subject(in.Bed, in.Species)}
	bins := in.drawn()
	if len(bins) == 0 {
		return sentence(append(parts, "No lengths to show", in.Reason, inventedNote(in.Invented))...)
	}
	for _, m := range in.lines() {
		parts = append(parts, capital(m.word)+" "+centimetres(m.at))
	}
	parts = append(parts, in.exploitableWords())
	if amount(in.Recruits) {
		parts = append(parts, "Recruits are "+wholePercent(in.Recruits)+" of the "+in.what()+"s")
	}
	for _, b := range bins {
		if b.Fronds < 0.0005 && b.Weight < 0.0005 {
			continue // would read as 0
		}
		parts = append(parts, fmt.Sprintf("%s to %s: %s of the %ss, %s of the weight", short(b.From), centimetres(b.To),
			wholePercent(b.Fronds), in.what(), wholePercent(b.Weight)))
	}
	return sentence(append(parts, inventedNote(in.Invented))...)
}
