package growth

import (
	"cmp"
	"math"
	"slices"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/stat/distuv"
)

// survey foretells survey t.
func (f *foresight) survey(t int) Foreseen {
	o := f.s.Surveys[t]
	none := o.Kg == 0 && f.rate[t] > 0
	switch {
	case f.tau[t] == 0 && !none:
		return unforeseen(o, "it gives no stock that the model can use")
	case t > 0 && !f.s.Told(t):
		return unforeseen(o, "what was cut before it is not known")
	}
	f.foretell(t)
	out := Foreseen{T: o.T, Kg: o.Kg, Status: converged}
	less, all := 0.0, 0.0
	for d, w := range f.weight {
		all += w
		out.PNone += w * f.none[d]
		switch {
		case none:
			less += w * f.none[d] / 2
		case f.y[d] < f.logKg[t]:
			less += w
		default:
			less += w * f.none[d]
		}
	}
	out.PNone /= all
	out.P = less / all
	out.Tail = math.Min(2*math.Min(out.P, 1-out.P), 1)
	out.Unexpected = out.Tail < unexpectedBelow
	out.Expected = f.interval(all)
	return out
}

// foretell fills y, weight and none for survey t.
func (f *foresight) foretell(t int) {
	o := f.s.Surveys[t]
	tau, df := f.tau[t], o.DF
	if tau == 0 { // none was found: an estimate would have been about as exact as the others
		tau, df = 0.3, math.Inf(1)
	}
	gain, left := f.sharedGain(t)
	step := f.step(t)
	heavy := distuv.StudentsT{Sigma: 1, Nu: df, Src: f.src}
	var sum float64
	half, shared := 0.5*tau*tau, math.Sqrt(left)
	for d := range f.y {
		m, s := step.ahead(f, d)
		c := f.sharedMean(t, d, gain)
		f.weight[d] = step.weight(o, f.logKg[t], m+c-half, s, shared, tau, df, f.rate[t])
		sum += f.weight[d]
		logB := m + s*f.rng.NormFloat64()
		if f.rng.Float64() < step.p {
			logB += step.logQ
		}
		e := 0.0
		if math.IsInf(df, 1) {
			e = f.rng.NormFloat64()
		} else {
			e = heavy.Rand()
		}
		f.y[d] = logB - half + c + shared*f.rng.NormFloat64() + tau*e
		f.none[d] = 0
		if f.rate[t] > 0 {
			f.none[d] = math.Exp(-f.rate[t] * math.Exp(logB))
		}
	}
	most := sum / float64(len(f.weight)) * math.Sqrt(float64(len(f.weight)))
	for d := range f.weight {
		f.weight[d] = math.Min(f.weight[d], most)
	}
}

// ahead is one step of the model towards a survey.
type ahead struct {
	t     int
	path  Path
	dt    float64
	extra float64 // variance beside the process noise
	p     float64 // of an undated storm
	logQ  float64
}

func (f *foresight) step(t int) ahead {
	a := ahead{t: t, logQ: math.Log(f.set.StormSurvival)}
	if t == 0 {
		return a
	}
	t1, t2 := f.s.Surveys[t-1].T, f.s.Surveys[t].T
	a.path = NewPath(f.season, t1, t2, f.cuts, f.s.Events, f.set.StormSurvival)
	a.dt = max(t2-t1, 1/365.25)
	a.p = min(f.set.StormChance*(t2-t1), maxStormP)
	for _, e := range f.s.Events {
		if math.IsNaN(e.Left) && e.T >= t1 && e.T < t2 {
			a.p = 0
			a.extra += unknownSD * unknownSD
		}
	}
	return a
}

// ahead is the log of the stock that draw d leads to without an undated storm, and the sd about it.
func (a *ahead) ahead(f *foresight, d int) (m, s float64) {
	if a.t == 0 {
		return math.Log(f.k[d] * firstShare), firstSD
	}
	unit := 1.0 // see link.step
	if f.cut != nil {
		unit = f.cut[d]
	}
	u := a.path.Advance(unit*math.Exp(-f.logB[a.t-1][d]), f.r[d], unit/f.k[d])
	return math.Log(unit) - math.Log(u), math.Sqrt(f.sigma[d]*f.sigma[d]*a.dt + a.extra)
}

// weight is one over the density of what survey o found, the log of it logKg, about the mean m of its log; t and normal errors
// together are taken as a t of their variances with the degrees of freedom of Satterthwaite.
func (a *ahead) weight(o Observation, logKg, m, s, shared, tau, df, rate float64) float64 {
	if o.Kg == 0 {
		return math.Exp(math.Min(rate*math.Exp(m), 20))
	}
	v := s*s + shared*shared + tau*tau
	sd, nu := math.Sqrt(v), df*(v/(tau*tau))*(v/(tau*tau))
	at := func(m float64) float64 {
		z := (logKg - m) / sd
		if math.IsInf(nu, 1) || nu > 1e6 {
			return math.Exp(-0.5*z*z) / sd
		}
		return math.Exp(-0.5*(nu+1)*math.Log1p(z*z/nu)) / sd
	}
	density := at(m)
	if a.p > 0 {
		density = (1-a.p)*density + a.p*at(m+a.logQ)
	}
	return 1 / math.Max(density, 1e-12)
}

// sharedGain tells how the other surveys of the bed inform the sum c of the shared errors of survey t: its mean is the
// sum of gain times their residuals, its variance left. With c = a_t'z, z standard normal, and residuals a_s'z + error of
// the variance v_s,
//
//	Q = I + Σ a_s a_s'/v_s,   mean = Σ (a_t' Q^-1 a_s / v_s) e_s,   variance = a_t' Q^-1 a_t
func (f *foresight) sharedGain(t int) (gain []float64, left float64) {
	var ids []string
	for _, e := range f.s.Surveys[t].Shared {
		if e.CV > 0 && !slices.Contains(ids, e.ID) {
			ids = append(ids, e.ID)
		}
	}
	gain = make([]float64, len(f.s.Surveys))
	if len(ids) == 0 || f.tau[t] == 0 {
		return gain, 0
	}
	for _, o := range f.s.Surveys {
		for _, e := range o.Shared {
			if e.CV > 0 && !slices.Contains(ids, e.ID) {
				ids = append(ids, e.ID)
			}
		}
	}
	m := len(ids)
	q := mat.NewSymDense(m, nil)
	for j := range m {
		q.SetSym(j, j, 1)
	}
	for s := range f.s.Surveys {
		if s != t && f.tau[s] > 0 {
			q.SymRankOne(q, 1/f.ownVariance(s), f.loading(s, ids))
		}
	}
	var chol mat.Cholesky
	if !chol.Factorize(q) {
		panic("growth: shared errors without a variance")
	}
	at, z := f.loading(t, ids), mat.NewVecDense(m, nil)
	if err := chol.SolveVecTo(z, at); err != nil {
		panic("growth: shared errors: " + err.Error())
	}
	for s := range f.s.Surveys {
		if s != t && f.tau[s] > 0 {
			gain[s] = mat.Dot(z, f.loading(s, ids)) / f.ownVariance(s)
		}
	}
	return gain, mat.Dot(z, at)
}

// loading is the sd of each shared error in survey s.
func (f *foresight) loading(s int, ids []string) *mat.VecDense {
	a := mat.NewVecDense(len(ids), nil)
	for _, e := range f.s.Surveys[s].Shared {
		if e.CV > 0 {
			a.SetVec(slices.Index(ids, e.ID), logSD(e.CV))
		}
	}
	return a
}

// ownVariance is the variance of the t error of survey s, that of 4 degrees of freedom at most.
func (f *foresight) ownVariance(s int) float64 {
	df := math.Max(f.s.Surveys[s].DF, 4)
	v := f.tau[s] * f.tau[s]
	if math.IsInf(df, 1) {
		return v
	}
	return v * df / (df - 2)
}

// sharedMean is what the other surveys say of the shared errors of survey t in draw d.
func (f *foresight) sharedMean(t, d int, gain []float64) float64 {
	var c float64
	for s, g := range gain {
		if g != 0 && s != t {
			tau := f.tau[s]
			c += g * (f.logKg[s] - f.logB[s][d] + 0.5*tau*tau)
		}
	}
	return c
}

// interval is the median and the interval of the find, kg, none found being 0.
func (f *foresight) interval(all float64) Interval {
	type find struct{ y, w float64 }
	finds := make([]find, len(f.weight))
	zero := 0.0
	for d, w := range f.weight {
		zero += w * f.none[d]
		finds[d] = find{f.y[d], w * (1 - f.none[d])}
	}
	slices.SortFunc(finds, func(a, b find) int { return cmp.Compare(a.y, b.y) })
	at := func(p float64) float64 {
		sum := zero
		if p*all <= sum {
			return 0
		}
		for _, x := range finds {
			if sum += x.w; sum >= p*all {
				return math.Exp(x.y)
			}
		}
		return math.Exp(finds[len(finds)-1].y)
	}
	return Interval{Median: at(0.5), Lo: at((1 - f.set.Level) / 2), Hi: at((1 + f.set.Level) / 2)}
}
