package plots

import (
	"math"

	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"
)

// SurveyPoint is the standing stock at one survey.
type SurveyPoint struct {
	T          float64 // decimal year
	Kg, Lo, Hi float64 // stock with interval, kg wet; Lo and Hi may be NaN
	OK         bool    // whether there is an estimate
	Note       string  // why there is none
}

// YearBar is what left a bed in one year, kg wet. NaN: not known.
type YearBar struct {
	Year      int
	Cut, Cast float64
}

// FanPoint is the stock at one moment: the median with an interval, kg wet.
type FanPoint struct {
	T              float64 // decimal year
	Median, Lo, Hi float64
}

// HistoryInput is one species on one bed over the years.
type HistoryInput struct {
	Bed, Species   string
	Surveys        []SurveyPoint
	State          []FanPoint // the stock as fitted between surveys; may be nil
	Cuts           []YearBar
	Advised, NoCut []FanPoint // projections; may be nil
	Limit          float64    // the stock must stay above it, kg; NaN none
	CutsKnown      bool       // false: there are no returns
	CutsNote       string     // what must be known of the cuts; blank: nothing
	CutsWhy        string     // why cuts are not shown where CutsKnown is false; blank: there are no returns
	Level          float64    // of all intervals, 0-1
	Invented       bool
}

// History shows the standing stock of a bed over the years with its intervals, what was cut and what was washed up in
// each year below it, and how the stock is expected to go on under the advice and without any cut.
//
// Both panels begin at 0. A survey without an estimate is a cross on the axis with its reason, never a 0. The two
// projections differ in ground and line, filled and solid under the advice, combed and dashed without a cut, so that
// they are told apart in grey. Where cuts are not known the lower panel says so.
func History(in HistoryInput) Figure {
	f := Figure{Width: figureWidth, Height: 12 * vg.Centimeter}
	f.Title = "Stock and cuts"
	if s := subject(in.Bed, in.Species); s != "" {
		f.Title += ": " + s
	}
	f.Caption, f.Alt = in.caption(), in.alt()
	f.Draw = func(c draw.Canvas) { in.draw(c, f.Title) }
	return f
}

// shown says whether a survey has an estimate that can be drawn.
func (s SurveyPoint) shown() bool { return s.OK && amount(s.Kg) && isYear(s.T) }

// fan is a list of points as columns.
type fan struct{ t, mid, lo, hi []float64 }

func columns(ps []FanPoint, per float64) fan {
	var f fan
	for _, p := range ps {
		t := p.T
		if !isYear(t) {
			t = math.NaN()
		}
		f.t, f.mid = append(f.t, t), append(f.mid, p.Median)
		f.lo, f.hi = append(f.lo, p.Lo), append(f.hi, p.Hi)
	}
	f.mid, f.lo, f.hi = scaled(f.mid, per), scaled(f.lo, per), scaled(f.hi, per)
	return f
}

// last is the index of the last point that can be drawn, -1 without any.
func (f fan) last() int {
	for i := len(f.t) - 1; i >= 0; i-- {
		if finite(f.t[i]) && finite(f.mid[i]) {
			return i
		}
	}
	return -1
}

// span is the time that the figure covers; ok is false where it holds nothing.
func (in HistoryInput) span() (lo, hi float64, ok bool) {
	lo, hi = math.Inf(1), math.Inf(-1)
	see := func(t float64) {
		if isYear(t) {
			lo, hi = min(lo, t), max(hi, t)
		}
	}
	for _, s := range in.Surveys {
		see(s.T)
	}
	for _, b := range in.Cuts {
		if in.CutsKnown {
			see(float64(b.Year))
			see(float64(b.Year) + 0.999)
		}
	}
	for _, ps := range [][]FanPoint{in.State, in.Advised, in.NoCut} {
		for _, p := range ps {
			see(p.T)
		}
	}
	return lo, hi, lo <= hi
}

// largest is the largest stock and the largest yearly weight of the figure, kg.
func (in HistoryInput) largest() (stock, cut float64) {
	vs := []float64{in.Limit}
	for _, s := range in.Surveys {
		if s.shown() {
			vs = append(vs, s.Kg, s.Hi)
		}
	}
	for _, ps := range [][]FanPoint{in.State, in.Advised, in.NoCut} {
		f := columns(ps, 1)
		vs = append(vs, top(f.mid, f.hi))
	}
	for _, b := range in.Cuts {
		cut = max(cut, top([]float64{b.Cut, b.Cast}))
	}
	return top(vs), cut
}

// hasCast says whether anything was washed up.
func (in HistoryInput) hasCast() bool {
	for _, b := range in.Cuts {
		if b.Cast > 0 {
			return true
		}
	}
	return false
}

func (in HistoryInput) draw(c draw.Canvas, title string) {
	y := sheet(c, title, in.Invented)
	from, to, ok := in.span()
	if !ok {
		message(c, c.Rectangle, "Nothing to show: this bed has no survey, no cut and no projection.")
		return
	}
	stock, cut := in.largest()
	su, sper := massUnit(stock)
	cu, cper := massUnit(cut)
	up := panel{c: c, y: fromZero(stock/sper, 5)}
	down := panel{c: c, y: fromZero(cut/cper, 2)}

	x0 := c.Min.X + margin + numbersWidth(up.y, down.y)
	x1 := c.Max.X - margin - in.sideWidth()
	foot := c.Min.Y + margin + 26
	down.area = vg.Rectangle{Min: vg.Point{X: x0, Y: foot}, Max: vg.Point{X: x1, Y: foot + 62}}
	upFoot := down.area.Max.Y + 30
	up.area = vg.Rectangle{Min: vg.Point{X: x0, Y: upFoot}, Max: vg.Point{X: x1, Y: y - lineHeight - 8}}
	up.x = years(from, to, max(1, int((x1-x0)/30)))
	down.x = up.x

	write(c, plainText, left, c.Min.X+margin, y-lineHeight, "Standing stock ("+su+" wet)")
	in.stockPanel(up, sper)
	write(c, plainText, left, c.Min.X+margin, down.area.Max.Y+8, "Taken in the year ("+cu+" wet)")
	in.cutPanel(down, cper)
}

// stockPanel draws the upper panel.
func (in HistoryInput) stockPanel(p panel, per float64) {
	state, advised, none := columns(in.State, per), columns(in.Advised, per), columns(in.NoCut, per)
	p.band(alpha(ink, 30), state.t, state.lo, state.hi)
	p.band(alpha(sky, 110), advised.t, advised.lo, advised.hi)
	p.combed(draw.LineStyle{Color: green, Width: 0.7}, 4, none.t, none.lo, none.hi)
	p.frame(false)
	thin := draw.LineStyle{Color: green, Width: 0.7}
	p.line(thin, none.t, none.lo)
	p.line(thin, none.t, none.hi)
	p.line(draw.LineStyle{Color: muted, Width: 1}, state.t, state.mid)
	room := &placer{area: p.area}
	room.blockLines(overLine, p.line(draw.LineStyle{Color: blue, Width: 1.8}, advised.t, advised.mid)...)
	room.blockLines(overLine, p.line(draw.LineStyle{Color: green, Width: 1.8, Dashes: []vg.Length{5, 3}}, none.t, none.mid)...)
	if v := in.Limit / per; amount(in.Limit) {
		p.c.StrokeLine2(limitLine, p.area.Min.X, p.py(v), p.area.Max.X, p.py(v))
		room.blockLines(overGuide, []vg.Point{{X: p.area.Min.X, Y: p.py(v)}, {X: p.area.Max.X, Y: p.py(v)}})
	}
	in.points(p, per, room)
	in.gaps(p, room)
	in.sideWords(p, per, advised, none)
}

// points draws the surveys with their intervals.
func (in HistoryInput) points(p panel, per float64, room *placer) {
	s := draw.LineStyle{Color: ink, Width: 1.3}
	m := mark{shape: "circle", clr: ink, r: 3.2}
	any := false
	for _, v := range in.Surveys {
		if !v.shown() {
			continue
		}
		any = true
		at := p.pt(v.T, v.Kg/per)
		if finite(v.Lo) && finite(v.Hi) && v.Hi >= 0 {
			lo, hi := p.py(min(max(v.Lo/per, 0), p.y.hi)), p.py(v.Hi/per)
			p.c.StrokeLine2(s, at.X, lo, at.X, hi)
			p.c.StrokeLine2(s, at.X-3, lo, at.X+3, lo)
			p.c.StrokeLine2(s, at.X-3, hi, at.X+3, hi)
			room.blockLines(overMark, []vg.Point{{X: at.X, Y: lo}, {X: at.X, Y: hi}})
		}
		m.draw(p.c, at)
		room.blockPoint(at, m.r+1, overMark)
	}
	if !any {
		lines := wrap(lightText, "no survey with an estimate", p.area.Max.X-p.area.Min.X, 2)
		room.put(p.c, lightText, lines, gridPlaces(p.area, lightText, lines), math.Inf(1))
	}
}

// gaps marks the surveys without an estimate on the axis, with their reason.
func (in HistoryInput) gaps(p panel, room *placer) {
	m := mark{shape: "cross", clr: ink, r: 3.2}
	for _, v := range in.Surveys {
		if v.shown() || !isYear(v.T) {
			continue
		}
		at := vg.Point{X: p.px(v.T), Y: p.area.Min.Y}
		m.draw(p.c, at)
		room.blockPoint(at, m.r+1, overMark)
	}
	for _, v := range in.Surveys {
		if v.shown() || !isYear(v.T) {
			continue
		}
		lines := wrap(lightText, v.note(), 90, 3)
		w, h := blockSize(lightText, lines)
		x := p.px(v.T)
		var places []vg.Point
		for _, up := range []vg.Length{5, 12, 20, 28, 36, 44} {
			y := p.area.Min.Y + up
			places = append(places, vg.Point{X: x - w/2, Y: y}, vg.Point{X: x - 4, Y: y}, vg.Point{X: x - w + 4, Y: y})
		}
		box, ok := room.put(p.c, lightText, lines, places, 0.1*overText*float64(w*h))
		if ok && box.Min.Y > p.area.Min.Y+9 {
			p.c.StrokeLine2(leaderLine, x, p.area.Min.Y+m.r+1, x, box.Min.Y)
		}
	}
}

// note is why a survey has no estimate.
func (s SurveyPoint) note() string {
	if n := clean(s.Note); n != "" {
		return n
	}
	return "not estimable"
}
