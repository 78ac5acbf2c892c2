package plots

import (
	"strings"

	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"
)

// Words at the right of the panels.
const (
	wordsAdvised = "if cut as advised"
	wordsNoCut   = "if not cut"
	wordsLimit   = "limit"
)

// sideWidth is the room that the words at the right of the panels need.
func (in HistoryInput) sideWidth() vg.Length {
	w := overhang(axis{ticks: []tick{{label: "2000"}}})
	for _, l := range in.sideLines() {
		w = max(w, plainText.width(l)+14)
	}
	return w
}

func (in HistoryInput) sideLines() []string {
	var out []string
	if columns(in.Advised, 1).last() >= 0 {
		out = append(out, "if cut as", "advised")
	}
	if columns(in.NoCut, 1).last() >= 0 {
		out = append(out, wordsNoCut)
	}
	if finite(in.Limit) {
		out = append(out, wordsLimit)
	}
	if in.CutsKnown && len(in.Cuts) > 0 {
		out = append(out, "  cut")
	}
	if in.CutsKnown && in.hasCast() {
		out = append(out, "  cast weed")
	}
	return out
}

// sideWords names the projections and the limit at the right of the panel, each at the height where it ends.
func (in HistoryInput) sideWords(p panel, per float64, advised, none fan) {
	var ys, hs []vg.Length
	var texts [][]string
	add := func(v float64, lines ...string) {
		ys = append(ys, p.py(min(v, p.y.hi)))
		hs = append(hs, vg.Length(len(lines))*11.5+1)
		texts = append(texts, lines)
	}
	if i := advised.last(); i >= 0 {
		add(advised.mid[i], strings.SplitAfterN(wordsAdvised, "as ", 2)...)
	}
	if i := none.last(); i >= 0 {
		add(none.mid[i], wordsNoCut)
	}
	if v := in.Limit / per; amount(in.Limit) {
		add(v, wordsLimit)
	}
	at := spread(ys, hs, p.area.Min.Y-6, p.area.Max.Y+6)
	for i, lines := range texts {
		if d := at[i] - ys[i]; d > 3 || d < -3 {
			p.c.StrokeLine2(leaderLine, p.area.Max.X+1, ys[i], p.area.Max.X+5, at[i])
		}
		for k, l := range lines {
			y := at[i] + (vg.Length(len(lines)-1)/2-vg.Length(k))*11.5 - 3.5
			write(p.c, plainText, left, p.area.Max.X+7, y, l)
		}
	}
}

// Looks of what was cut and of what was washed up.
var (
	cutFill  = orange
	barLine  = draw.LineStyle{Color: ink, Width: 0.7}
	castLine = draw.LineStyle{Color: ink, Width: 0.6}
)

// cutPanel draws the lower panel: for each year what was cut, and beside it what was washed up.
func (in HistoryInput) cutPanel(p panel, per float64) {
	if !in.CutsKnown || len(in.Cuts) == 0 {
		p.y.ticks = nil
		p.frame(true)
		words := "cuts not known: there are no returns for this bed"
		switch {
		case in.CutsKnown:
			words = "no cut in the returns"
		case in.CutsWhy != "":
			words = "cuts not shown, " + in.CutsWhy
		}
		message(p.c, p.area, words)
		return
	}
	p.frame(true)
	beside := in.hasCast()
	for _, b := range in.Cuts {
		if !isYear(float64(b.Year)) {
			continue
		}
		from, to := float64(b.Year)+0.2, float64(b.Year)+0.8
		if beside {
			to = float64(b.Year) + 0.5
			in.bar(p, per, to, float64(b.Year)+0.8, b.Cast, true)
		}
		in.bar(p, per, from, to, b.Cut, false)
	}
	in.barWords(p, beside)
}

// bar draws one weight over a stretch of time: a question mark where it is not known, a thick foot where it is 0.
func (in HistoryInput) bar(p panel, per, from, to, kg float64, cast bool) {
	a, b := p.px(from), p.px(to)
	switch {
	case b < p.area.Min.X || a > p.area.Max.X:
	case !finite(kg) || kg < 0:
		write(p.c, lightText, middle, (a+b)/2, p.area.Min.Y+2.5, "?")
	case kg == 0 && !cast:
		filled(p.c, vg.Rectangle{Min: vg.Point{X: a, Y: p.area.Min.Y}, Max: vg.Point{X: b, Y: p.area.Min.Y + 1.8}}, ink)
	case kg > 0:
		box := vg.Rectangle{Min: vg.Point{X: a, Y: p.area.Min.Y}, Max: vg.Point{X: b, Y: p.py(kg / per)}}
		if cast {
			hatched(p.c, box, castLine, 3)
			return
		}
		filled(p.c, box, cutFill)
		outline(p.c, box, barLine)
	}
}

// barWords names the bars at the right of the panel.
func (in HistoryInput) barWords(p panel, beside bool) {
	x, y := p.area.Max.X+7, (p.area.Min.Y+p.area.Max.Y)/2
	swatch := func(y vg.Length) vg.Rectangle {
		return vg.Rectangle{Min: vg.Point{X: x, Y: y - 1}, Max: vg.Point{X: x + 8, Y: y + 7}}
	}
	filled(p.c, swatch(y), cutFill)
	outline(p.c, swatch(y), barLine)
	write(p.c, plainText, left, x+12, y, "cut")
	if beside {
		y -= 15
		hatched(p.c, swatch(y), castLine, 3)
		write(p.c, plainText, left, x+12, y, "cast weed")
	}
}
