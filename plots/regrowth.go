package plots

import (
	"fmt"
	"math"
	"strings"

	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"
)

// RegrowthInput is one regrowth plot with its fit. Weights are kg wet per m2, times years since the first measure.
type RegrowthInput struct {
	Plot, Species string

	T, Observed, Fitted []float64 // of the measures
	Residuals           []float64 // ln observed - ln fitted
	CurveT, Curve       []float64 // the fitted curve
	K, KLo, KHi         float64   // ceiling; NaN: none
	R, RLo, RHi         float64   // per year
	Level               float64   // of the intervals, 0-1
	ProfileR, ProfileT  []float64 // the profile: r, and how far the fit is from its best there, in standard errors
	TCut                float64   // so many standard errors bound the interval
	Status              string    // what must be known of the fit
	Invented            bool
}

// Regrowth shows the fit of a regrowth plot: above the measures with the curve and the ceiling, below left the residuals, below
// right the profile of r: how much worse the measures are fitted at another r. Where the profile is a V of straight lines, r
// is known as well on either side; where it flattens out, the measures do not bound r.
//
// It panics where slices that belong together differ in length.
func Regrowth(in RegrowthInput) Figure {
	same("regrowth", len(in.T), in.Observed, in.Fitted, in.Residuals)
	same("regrowth curve", len(in.CurveT), in.Curve)
	same("regrowth profile", len(in.ProfileR), in.ProfileT)
	f := Figure{Width: figureWidth, Height: 11.5 * vg.Centimeter}
	f.Title = strings.TrimSuffix("Regrowth plot "+clean(in.Plot)+": "+clean(in.Species), ": ")
	f.Caption, f.Alt = in.caption(), in.alt()
	f.Draw = func(c draw.Canvas) { in.draw(c, f.Title) }
	return f
}

func (in RegrowthInput) draw(c draw.Canvas, title string) {
	y := sheet(c, title, in.Invented)
	if len(in.T) == 0 {
		message(c, c.Rectangle, sentence("Nothing to show: the plot could not be fitted", in.Status))
		return
	}
	foot := c.Min.Y + margin + 30
	split := foot + (y-foot)*0.36
	y -= lineHeight
	write(c, plainText, left, c.Min.X+margin, y, "Standing (kg/m2 wet)")
	upper := panel{c: c, x: fromZero(top(in.T, in.CurveT)/1.06*1.02, 8), y: fromZero(top(in.Observed, in.Curve, in.ceilings()), 4)}
	res := panel{c: c, x: upper.x, y: aboutZero(top(absolute(in.Residuals)))}
	pro := panel{c: c, x: spanning(in.ProfileR), y: fromZero(min(top(absolute(in.ProfileT)), 2*in.TCut+1), 3)}
	from := c.Min.X + margin + numbersWidth(upper.y, res.y)
	mid := c.Min.X + margin + (c.Max.X-c.Min.X-2*margin)*0.56
	upper.area = vg.Rectangle{Min: vg.Point{X: from, Y: split + 34}, Max: vg.Point{X: c.Max.X - margin - overhang(upper.x), Y: y - 8}}
	res.area = vg.Rectangle{Min: vg.Point{X: from, Y: foot}, Max: vg.Point{X: mid - 12, Y: split - 8}}
	pro.area = vg.Rectangle{Min: vg.Point{X: mid + 12 + numbersWidth(pro.y), Y: foot}, Max: vg.Point{X: c.Max.X - margin - 12, Y: split - 8}}
	in.fit(upper)
	write(c, plainText, left, c.Min.X+margin, split-2, "Residual of the log")
	in.residuals(res)
	write(c, plainText, left, from, c.Min.Y+margin, "Years since the first measure")
	if len(in.ProfileR) > 1 {
		write(c, plainText, left, mid+12, split-2, "Worse by (standard errors)")
		in.profile(pro)
		write(c, plainText, left, pro.area.Min.X, c.Min.Y+margin, "r (per year)")
	}
}

// ceilings are the ceiling and its upper end, where it is not far beyond the measures.
func (in RegrowthInput) ceilings() []float64 {
	most := 2.5 * top(in.Observed, in.Curve)
	var out []float64
	for _, v := range []float64{in.K, in.KHi} {
		if amount(v) && v < most {
			out = append(out, v)
		}
	}
	return out
}

func (in RegrowthInput) fit(p panel) {
	p.frame(true)
	if amount(in.K) && in.K <= p.y.hi {
		if amount(in.KLo) && finite(in.KHi) {
			ends := []float64{p.x.lo, p.x.hi}
			p.band(alpha(rule, 120), ends, []float64{in.KLo, in.KLo}, []float64{in.KHi, in.KHi})
		}
		y := p.py(in.K)
		p.c.StrokeLine2(triggerLine, p.area.Min.X, y, p.area.Max.X, y)
		write(p.c, plainText, left, p.area.Min.X+4, y+3, "ceiling "+short(round3(in.K)))
	}
	p.line(draw.LineStyle{Color: green, Width: 1.8}, in.CurveT, in.Curve)
	for i, t := range in.T {
		if p.holds(t, in.Observed[i]) {
			mark{shape: "circle", clr: ink, r: 3.2}.draw(p.c, p.pt(t, in.Observed[i]))
		}
	}
}

func (in RegrowthInput) residuals(p panel) {
	p.frame(true)
	zero := p.py(0)
	p.c.StrokeLine2(limitLine, p.area.Min.X, zero, p.area.Max.X, zero)
	for i, t := range in.T {
		if v := in.Residuals[i]; p.holds(t, v) {
			at := p.pt(t, v)
			p.c.StrokeLine2(leaderLine, at.X, zero, at.X, at.Y)
			mark{shape: "circle", clr: ink, r: 2.6}.draw(p.c, at)
		}
	}
}

func (in RegrowthInput) profile(p panel) {
	p.frame(true)
	if in.TCut > 0 && in.TCut <= p.y.hi {
		y := p.py(in.TCut)
		p.c.StrokeLine2(limitLine, p.area.Min.X, y, p.area.Max.X, y)
	}
	p.line(draw.LineStyle{Color: vermillion, Width: 1.6}, in.ProfileR, absolute(in.ProfileT))
	for _, v := range []float64{in.RLo, in.RHi} {
		if p.holds(v, 0) {
			p.c.StrokeLine2(triggerLine, p.px(v), p.area.Min.Y, p.px(v), p.area.Max.Y)
		}
	}
}

// absolute are the absolute values of a list.
func absolute(vs []float64) []float64 {
	out := make([]float64, len(vs))
	for i, v := range vs {
		out[i] = math.Abs(v)
	}
	return out
}

// aboutZero is an axis about 0 that reaches as far to either side.
func aboutZero(reach float64) axis {
	if !(reach > 1e-6) {
		reach = 0.1
	}
	step, decimals := niceStep(reach)
	a := axis{lo: -1.25 * reach, hi: 1.25 * reach}
	for _, v := range []float64{-step, 0, step} {
		if v >= a.lo && v <= a.hi {
			a.ticks = append(a.ticks, tick{at: v, label: plain(v, decimals)})
		}
	}
	return a
}

// spanning is an axis over the values of a list, which need not hold 0.
func spanning(vs []float64) axis {
	lo, hi := math.Inf(1), math.Inf(-1)
	for _, v := range vs {
		if finite(v) {
			lo, hi = min(lo, v), max(hi, v)
		}
	}
	if !(hi > lo) {
		return fromZero(1, 3)
	}
	step, decimals := niceStep((hi - lo) / 3)
	a := axis{lo: lo, hi: hi}
	for k := math.Ceil(lo / step); k*step <= hi; k++ {
		a.ticks = append(a.ticks, tick{at: k * step, label: plain(k*step, decimals)})
	}
	return a
}

// caption says what the figure shows.
func (in RegrowthInput) caption() string {
	if len(in.T) == 0 {
		return sentence("The plot could not be fitted", in.Status, inventedNote(in.Invented))
	}
	parts := []string{fmt.Sprintf("Measures (n = %d) of a regrowth plot with the logistic curve", len(in.T)), in.rate()}
	if in.Status != "" && in.Status != "ok" {
		parts = append(parts, in.Status)
	}
	parts = append(parts, "Below: what the curve misses, on the log; and how much worse the measures are fitted at another r, the interval lying where the curve is under the dashed line")
	return sentence(append(parts, inventedNote(in.Invented))...)
}

// rate is r in words.
func (in RegrowthInput) rate() string {
	if !amount(in.R) {
		return "r could not be estimated"
	}
	txt := "r = " + short(round3(in.R)) + " a year"
	if finite(in.RLo) && finite(in.RHi) {
		txt += fmt.Sprintf(" (%s %s to %s)", interval(in.Level), short(round3(in.RLo)), short(round3(in.RHi)))
	}
	return txt
}

// alt is the text alternative: the rate and every measure.
func (in RegrowthInput) alt() string {
	parts := []string{"Regrowth plot " + clean(in.Plot), clean(in.Species)}
	if len(in.T) == 0 {
		return sentence(append(parts, "It could not be fitted", in.Status, inventedNote(in.Invented))...)
	}
	parts = append(parts, "Here "+in.rate())
	if amount(in.K) {
		parts = append(parts, "Ceiling "+short(round3(in.K))+" kg/m2")
	}
	for i, t := range in.T {
		parts = append(parts, fmt.Sprintf("After %s years: %s kg/m2, by the curve %s", short(math.Round(t*100)/100), short(round3(in.Observed[i])), short(round3(in.Fitted[i]))))
	}
	return sentence(append(parts, inventedNote(in.Invented))...)
}
