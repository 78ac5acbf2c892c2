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
	g     float64 // ∫g dt since the step before, 0 at a start
	kgm2  float64 // of a cut
	index int     // of the run or the measure
}

// plotPath is the record of a plot made ready for the recursion. The parameters are log r, log K and the log of the
// stock at the start of each run.
type plotPath struct {
	steps           []plotStep
	y               []float64 // ln of the measures, kg/m2
	runs            int
	amplitude, peak float64
}

// newPlotPath orders the record and divides it into runs. A reason means that there is no curve to fit.
func newPlotPath(p PlotSeries, prior PlotPrior) (path plotPath, reason string, warnings []string) {
	path = plotPath{amplitude: prior.Amplitude, peak: prior.Peak}
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
	b.add(plotStep{kind: plotMeasure, t: t, g: b.path.grown(b.last, t), index: len(b.path.y)})
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
	b.add(plotStep{kind: plotCut, t: t, g: b.path.grown(b.last, t), kgm2: kgm2})
}

func (b *plotBuilder) add(s plotStep) {
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

// grown is ∫g dt between two times, years.
func (p *plotPath) grown(t1, t2 float64) float64 {
	return Season{Amplitude: p.amplitude, Peak: p.peak}.Integral(t1, t2)
}

// model computes ln B at the measures with its derivatives, by the recursion in u = 1/B. Only the start of the run
// itself, log r and log K move a run; the derivatives are carried along with u.
func (p *plotPath) model(theta, f, jac []float64) {
	n := len(theta)
	r, k := math.Exp(theta[0]), math.Exp(-theta[1]) // k is 1/K
	var u, ur, uk, un float64                       // u and its derivatives in log r, log K, log N0 of the run
	run := 0
	for _, s := range p.steps {
		if s.kind != plotStart {
			u, ur, uk, un = plotGrow(u, ur, uk, un, r*s.g, k)
		}
		switch s.kind {
		case plotStart:
			run = s.index
			u = math.Exp(-theta[2+run])
			ur, uk, un = 0, 0, -u
		case plotCut:
			d := 1 - s.kgm2*u
			if d <= 0 {
				u, d = math.NaN(), 1 // more was cut than stood
			}
			u, ur, uk, un = u/d, ur/(d*d), uk/(d*d), un/(d*d)
		case plotMeasure:
			f[s.index] = -math.Log(u)
			if jac != nil {
				row := jac[s.index*n : (s.index+1)*n]
				clear(row)
				row[0], row[1], row[2+run] = -ur/u, -uk/u, -un/u
			}
		}
	}
}

// plotGrow carries u and its derivatives over growth R: u' = e^-R u + (1 - e^-R) k.
func plotGrow(u, ur, uk, un, grow, k float64) (v, vr, vk, vn float64) {
	e, e1 := math.Exp(-grow), -math.Expm1(-grow)
	return e*u + e1*k, e*ur - grow*e*(u-k), e*uk - e1*k, e * un
}
