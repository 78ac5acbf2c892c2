package growth

import (
	"cmp"
	"fmt"
	"math"
	"slices"
)

type plotKind uint8

const (
	plotStart plotKind = iota // a run begins with a stock of its own
	plotMeasure
	plotCut
)

// plotStep is one event of the record as the recursion meets it.
type plotStep struct {
	kind  plotKind
	t     float64 // years
	from  float64 // time of the step before, t at a start
	g     float64 // ∫g dt since then
	kgm2  float64 // of a cut
	index int     // of the run or the measure
}

// plotPath is the record of a plot made ready for the recursion. The parameters are log r, log K, the log of the stock
// at the start of each run, and those that the shape leaves free.
type plotPath struct {
	steps  []plotStep
	y      []float64 // ln of the measures, kg/m2
	runs   int
	season Season
	shape  plotShape
}

// newPlotPath orders the record and divides it into runs. A reason means that there is no curve to fit.
func newPlotPath(p PlotSeries, prior PlotPrior) (path plotPath, reason string, warnings []string) {
	path = plotPath{season: Season{Amplitude: prior.Amplitude, Peak: prior.Peak}, shape: plotShape{theta: 1}}
	if !(p.M2 > 0) || math.IsInf(p.M2, 1) {
		return path, "no plot area", nil
	}
	events := slices.Clone(p.Events)
	slices.SortStableFunc(events, func(a, b PlotEvent) int {
		return cmp.Or(cmp.Compare(a.T, b.T), cmp.Compare(plotOrder(a), plotOrder(b)))
	})
	b := plotBuilder{path: &path}
	for _, e := range events {
		if !lsqFinite(e.T) || !lsqFinite(e.Kg) || e.Kg < 0 {
			return path, "a weight or date is not a number", nil
		}
		if e.Cut {
			b.cut(e.T, e.Kg/p.M2)
		} else {
			b.measure(e.T, e.Kg/p.M2)
		}
	}
	b.trim()
	if b.lost {
		reason = "nothing stood at a later measure: the stand was lost"
	}
	return path, reason, b.warnings()
}

func plotOrder(e PlotEvent) int {
	if e.Cut {
		return 1
	}
	return 0
}

// plotBuilder adds the events, in the order of time, to a path.
type plotBuilder struct {
	path   *plotPath
	open   bool    // the run has a measure
	clock  bool    // a cut started the clock of the coming run
	start  float64 // when
	last   float64 // time of the last step
	stands float64 // measured today, else the largest measure so far; kg/m2
	today  float64 // time of stands where it is today's
	most   float64
	zeros  int
	lost   bool
	anew   int
}

func (b *plotBuilder) measure(t, kgm2 float64) {
	if kgm2 == 0 {
		b.zeros++
		b.lost = b.lost || b.open
		return
	}
	if !b.open {
		if !b.clock {
			b.start = t
		}
		b.add(plotStep{kind: plotStart, t: b.start, index: b.path.runs})
		b.path.runs++
		b.open = true
	}
	b.add(plotStep{kind: plotMeasure, t: t, g: b.path.season.Integral(b.last, t), index: len(b.path.y)})
	b.path.y = append(b.path.y, math.Log(kgm2))
	b.most = max(b.most, kgm2)
	b.stands, b.today = kgm2, t
}

func (b *plotBuilder) cut(t, kgm2 float64) {
	if kgm2 == 0 {
		return
	}
	stood := b.most
	if b.today == t {
		stood = b.stands
	}
	if b.open && kgm2 >= plotTotal*stood {
		b.open = false
		b.anew++
	}
	if !b.open {
		b.clock, b.start = true, t
		return
	}
	b.add(plotStep{kind: plotCut, t: t, g: b.path.season.Integral(b.last, t), kgm2: kgm2})
}

func (b *plotBuilder) add(s plotStep) {
	s.from = b.last
	if s.kind == plotStart {
		s.from = s.t
	}
	b.path.steps = append(b.path.steps, s)
	b.last = s.t
}

// trim drops the cuts after the last measure.
func (b *plotBuilder) trim() {
	s := b.path.steps
	for len(s) > 0 && s[len(s)-1].kind == plotCut {
		s = s[:len(s)-1]
	}
	b.path.steps = s
	if !b.open && b.anew > 0 {
		b.anew-- // nothing was measured after it
	}
}

func (b *plotBuilder) warnings() []string {
	var w []string
	if b.zeros > 0 && !b.lost {
		w = append(w, fmt.Sprintf("measures of 0 before the first regrowth, left out: %d", b.zeros))
	}
	if b.anew > 0 {
		w = append(w, fmt.Sprintf("cuts that took nearly all, regrowth starts anew after them: %d", b.anew))
	}
	return w
}
