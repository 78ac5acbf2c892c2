package plots

import (
	"fmt"
	"math"
	"strings"

	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"
)

// EvidenceRow is what one source says of r and K.
type EvidenceRow struct {
	Source       string
	R, RLo, RHi  float64 // per year; NaN: nothing
	K, KLo, KHi  float64 // kg; NaN: nothing
	Note         string  // where it says nothing
	All          bool    // the row of all sources together
	Measurements int     // plots or surveys behind it; 0: not said
}

// EvidenceInput is what the sources say of one species on one bed.
type EvidenceInput struct {
	Bed, Species string
	Rows         []EvidenceRow
	Level        float64 // of the intervals, 0-1
	Draws        int     // 0: not said
	Invented     bool
}

// Evidence shows, one row a source, what is held of r and K of a bed: median and interval before the surveys spoke, by the
// surveys alone, and by all together. The axes are logarithmic, as ratios count; sources that say nothing show why.
func Evidence(in EvidenceInput) Figure {
	f := Figure{Width: figureWidth, Title: strings.TrimSuffix("What is known of regrowth: "+subject(in.Bed, in.Species), ": ")}
	f.Height = margin + 14 + 2*lineHeight + 46 + vg.Length(max(len(in.Rows), 1))*evidenceRow
	f.Caption, f.Alt = in.caption(), in.alt()
	f.Draw = func(c draw.Canvas) { in.draw(c, f.Title) }
	return f
}

const evidenceRow = 24

func (in EvidenceInput) draw(c draw.Canvas, title string) {
	y := sheet(c, title, in.Invented)
	if len(in.Rows) == 0 {
		message(c, c.Rectangle, "Nothing is known.")
		return
	}
	labels := vg.Length(0)
	var rs, ks []float64
	for _, r := range in.Rows {
		labels = max(labels, plainText.width(r.label()))
		rs, ks = append(rs, r.R, r.RLo, r.RHi), append(ks, r.K, r.KLo, r.KHi)
	}
	unit, per := massUnit(top(ks))
	x0 := c.Min.X + margin + labels + 12
	half := (c.Max.X - margin - 10 - x0 - 24) / 2
	foot, head := c.Min.Y+margin+30, y-lineHeight-8
	for i, p := range []struct {
		x     axis
		title string
		of    func(EvidenceRow) (m, lo, hi float64)
	}{
		{logarithmic(rs), "r (per year)", func(r EvidenceRow) (m, lo, hi float64) { return r.R, r.RLo, r.RHi }},
		{logarithmic(scaled(ks, per)), "K (" + unit + ")", func(r EvidenceRow) (m, lo, hi float64) { return r.K / per, r.KLo / per, r.KHi / per }},
	} {
		at := x0 + vg.Length(i)*(half+24)
		q := panel{c: c, x: p.x, y: axis{hi: 1}, area: vg.Rectangle{Min: vg.Point{X: at, Y: foot}, Max: vg.Point{X: at + half, Y: head}}}
		for _, t := range q.x.ticks {
			q.c.StrokeLine2(gridLine, q.px(t.at), foot, q.px(t.at), head)
		}
		q.frame(true)
		write(c, plainText, left, at, c.Min.Y+margin, p.title)
		for k, r := range in.Rows {
			yr := head - (vg.Length(k)+0.5)*evidenceRow
			if i == 0 {
				s := plainText
				if r.All {
					s = boldText
				}
				write(c, s, left, c.Min.X+margin, yr-3.5, r.label())
			}
			m, lo, hi := p.of(r)
			in.row(q, yr, r, m, lo, hi)
		}
	}
}

// label names a source with how much stands behind it.
func (r EvidenceRow) label() string {
	if r.Measurements > 0 {
		return fmt.Sprintf("%s (%d)", clean(r.Source), r.Measurements)
	}
	return clean(r.Source)
}

// row draws one interval, or why there is none.
func (in EvidenceInput) row(p panel, y vg.Length, r EvidenceRow, m, lo, hi float64) {
	if !(m > 0) || !finite(m) {
		why := r.Note
		if why == "" {
			why = "says nothing"
		}
		write(p.c, lightText, left, p.area.Min.X+4, y-3.5, fit(lightText, why, p.area.Max.X-p.area.Min.X-6))
		return
	}
	clr, width := blue, vg.Length(1.3)
	if r.All {
		clr, width = ink, 2.2
	}
	s := draw.LineStyle{Color: clr, Width: width}
	if lo > 0 && hi > 0 && finite(hi) {
		a, b := p.px(math.Log10(lo)), p.px(math.Log10(hi))
		a, b = max(a, p.area.Min.X), min(b, p.area.Max.X)
		p.c.StrokeLine2(s, a, y, b, y)
		p.c.StrokeLine2(s, a, y-3, a, y+3)
		p.c.StrokeLine2(s, b, y-3, b, y+3)
	}
	shape := mark{shape: "circle", clr: clr, open: true, r: 3.6}
	if r.All {
		shape = mark{shape: "diamond", clr: clr, r: 4.6}
	}
	shape.draw(p.c, vg.Point{X: p.px(math.Log10(m)), Y: y})
}

// logarithmic is an axis of the logarithms to base ten over positive values, its marks at 1, 2 and 5 times powers of ten; with
// many decades at the powers alone.
func logarithmic(vs []float64) axis {
	lo, hi := math.Inf(1), math.Inf(-1)
	for _, v := range vs {
		if finite(v) && v > 0 {
			lo, hi = min(lo, math.Log10(v)), max(hi, math.Log10(v))
		}
	}
	if !(hi >= lo) {
		lo, hi = 0, 1
	}
	room := max(0.06*(hi-lo), 0.21-(hi-lo)/2) // there is a mark in any 0.4
	a := axis{lo: lo - room, hi: hi + room}
	steps := []float64{1, 2, 5}
	switch wide := a.hi - a.lo; {
	case wide > 2.6:
		steps = steps[:1]
	case wide > 1.3:
		steps = []float64{1, 3}
	}
	for e := math.Floor(a.lo); e <= a.hi; e++ {
		for _, s := range steps {
			at := e + math.Log10(s)
			if at >= a.lo && at <= a.hi {
				a.ticks = append(a.ticks, tick{at: at, label: plain(s*math.Pow(10, e), max(0, int(-e)))})
			}
		}
	}
	return a
}

// caption says what the figure shows.
func (in EvidenceInput) caption() string {
	what := "What each source says of the regrowth rate r and of the full bed K by itself, and all together: median and " + interval(in.Level)
	if in.Draws > 0 {
		what += fmt.Sprintf(" of %s draws", plain(float64(in.Draws), 0))
	}
	return sentence(what, "Where the last row is no narrower than the first, the surveys and plots said nothing new", inventedNote(in.Invented))
}

// alt is the text alternative: every source.
func (in EvidenceInput) alt() string {
	parts := []string{subject(in.Bed, in.Species)}
	for _, r := range in.Rows {
		txt := r.label() + ": "
		if r.R > 0 {
			txt += fmt.Sprintf("r %s a year (%s to %s)", short(round3(r.R)), short(round3(r.RLo)), short(round3(r.RHi)))
		} else {
			txt += "r " + orNothing(r.Note)
		}
		if r.K > 0 {
			txt += fmt.Sprintf(", K %s (%s to %s)", mass(r.K), mass(r.KLo), mass(r.KHi))
		}
		parts = append(parts, txt)
	}
	return sentence(append(parts, inventedNote(in.Invented))...)
}

func orNothing(note string) string {
	if n := clean(note); n != "" {
		return n
	}
	return "nothing"
}
