package growth

import (
	"math"
	"slices"
)

// params is the number of parameters.
func (p *plotPath) params() int { return 2 + p.runs + p.shape.extra() }

// as is the same record with another shape and season.
func (p *plotPath) as(shape plotShape, season Season) plotPath {
	q := *p
	q.shape, q.season = shape, season
	q.steps = slices.Clone(p.steps)
	for i := range q.steps {
		q.steps[i].g = season.Integral(q.steps[i].from, q.steps[i].t)
	}
	return q
}

// plotWalk is a stand on its way: x = ln(B/K), with the derivatives by log r, log K, the log of the stock at the start
// of the run, and the free parameters of the shape.
type plotWalk struct {
	theta, speed float64 // θ, ρ/r
	bends        bool    // θ is fitted
	r            float64
	logK         float64
	p, q         float64 // of a free season
	x            float64
	d            [6]float64
}

// Places in the derivatives of a walk.
const (
	walkR = iota
	walkK
	walkStart
	walkTheta
	walkCos
	walkSin
)

func (p *plotPath) walk(theta []float64) plotWalk {
	extra := theta[2+p.runs:]
	w := plotWalk{r: math.Exp(theta[0]), logK: theta[1], bends: p.shape.freeTheta}
	w.theta, w.speed = p.shape.exponent(extra)
	if p.shape.freeSeason {
		w.p, w.q = extra[len(extra)-2], extra[len(extra)-1]
	}
	return w
}

// start begins a run with the stock e^logN.
func (w *plotWalk) start(logN float64) {
	w.x = logN - w.logK
	w.d = [6]float64{walkK: -1, walkStart: 1}
}

// growth is ∫g dt of a step, and its derivatives by the parameters of a free season.
func (w *plotWalk) growth(s plotStep, free bool) (g, byCos, bySin float64) {
	if !free {
		return s.g, 0, 0
	}
	c, sn, cp, cq, sq := seasonBall(w.p, w.q)
	sin1, cos1 := math.Sincos(2 * math.Pi * s.from)
	sin2, cos2 := math.Sincos(2 * math.Pi * s.t)
	dc, ds := (sin2-sin1)/(2*math.Pi), (cos1-cos2)/(2*math.Pi)
	return s.t - s.from + c*dc + sn*ds, cp*dc + cq*ds, cq*dc + sq*ds
}

// grow carries the stand over the step.
func (w *plotWalk) grow(g, byCos, bySin float64) {
	rho := w.r * w.speed
	v, byX, byGrow, byTheta := shapeStep(w.theta, w.x, rho*g)
	for i := range w.d {
		w.d[i] *= byX
	}
	w.d[walkR] += byGrow * rho * g
	if w.bends {
		w.d[walkTheta] += w.theta*byTheta + byGrow*rho*g
	}
	w.d[walkCos] += byGrow * rho * byCos
	w.d[walkSin] += byGrow * rho * bySin
	w.x = v
}

// cut takes kg/m2 out; the stand is NaN where more was cut than stood.
func (w *plotWalk) cut(kgm2 float64) {
	share := kgm2 * math.Exp(-w.x-w.logK)
	left := 1 - share
	if !(left > 0) {
		w.x = math.NaN()
		return
	}
	w.x += math.Log(left)
	for i := range w.d {
		w.d[i] /= left
	}
	w.d[walkK] += share / left
}

// model computes ln B at the measures with its derivatives. Only the start of the run itself and the parameters of all
// move a run; the derivatives are carried along.
func (p *plotPath) model(theta, f, jac []float64) {
	n, run := len(theta), 0
	w := p.walk(theta)
	for _, s := range p.steps {
		if s.kind != plotStart {
			w.grow(w.growth(s, p.shape.freeSeason))
		}
		switch s.kind {
		case plotStart:
			run = s.index
			w.start(theta[2+run])
		case plotCut:
			w.cut(s.kgm2)
		case plotMeasure:
			f[s.index] = w.x + w.logK
			if jac != nil {
				p.row(jac[s.index*n:(s.index+1)*n], &w, run)
			}
		}
	}
}

// row writes the derivatives of ln B.
func (p *plotPath) row(row []float64, w *plotWalk, run int) {
	clear(row)
	row[0], row[1], row[2+run] = w.d[walkR], w.d[walkK]+1, w.d[walkStart]
	extra := row[2+p.runs:]
	if p.shape.freeTheta {
		extra[0] = w.d[walkTheta]
	}
	if p.shape.freeSeason {
		extra[len(extra)-2], extra[len(extra)-1] = w.d[walkCos], w.d[walkSin]
	}
}

// draw is the curve with n points between neighbouring events: times, years, and stock, kg/m2. A cut is a vertical
// drop, two points of equal time.
func (p *plotPath) draw(theta []float64, n int) (t, b []float64) {
	w := p.walk(theta)
	add := func(at float64) { t, b = append(t, at), append(b, math.Exp(w.x+w.logK)) }
	season := p.fittedSeason(theta)
	for _, s := range p.steps {
		if s.kind == plotStart {
			w.start(theta[2+s.index])
			add(s.t)
			continue
		}
		from := w.x
		for i := 1; i <= n+1 && s.t > s.from; i++ {
			at := s.from + (s.t-s.from)*float64(i)/float64(n+1)
			if i == n+1 {
				at = s.t
			}
			w.x = from
			w.grow(season.Integral(s.from, at), 0, 0)
			add(at)
		}
		if s.kind == plotCut {
			w.cut(s.kgm2)
			add(s.t)
		}
	}
	return t, b
}

// fittedSeason is the season that the curve grows by.
func (p *plotPath) fittedSeason(theta []float64) Season {
	if !p.shape.freeSeason {
		return p.season
	}
	w := p.walk(theta)
	c, s, _, _, _ := seasonBall(w.p, w.q)
	peak := math.Mod(math.Atan2(s, c)/(2*math.Pi)+1, 1)
	return Season{Amplitude: math.Hypot(c, s), Peak: peak}
}
