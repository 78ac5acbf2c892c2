package survey

import (
	"math"
)

// quantity is a number that every frond has, and what it is divided by: the ratio of the two over all fronds of the
// bed is estimated. Both are given for a part's mean frond of a weight (over the a of w = a L^b).
type quantity struct {
	num func(m lengthModel, p lengthPart, mass float64) float64
	den func(mass float64) float64
}

func perFrond(float64) float64       { return 1 }
func perWeight(mass float64) float64 { return mass }

// meanLength is the mean length over fronds.
func meanLength() quantity {
	return quantity{func(_ lengthModel, p lengthPart, _ float64) float64 { return p.length }, perFrond}
}

// shorter is the share of fronds shorter than c; with equal also those of length c.
func shorter(c float64, equal bool) quantity {
	return quantity{func(m lengthModel, p lengthPart, _ float64) float64 {
		if equal && p.measured && math.Abs(p.length-c) <= 1e-12*c {
			return 1
		}
		return m.below(p, c)
	}, perFrond}
}

// taken is the share of weight above leave in fronds at least c long.
func taken(c, leave float64) quantity {
	return quantity{func(m lengthModel, p lengthPart, mass float64) float64 { return mass * m.above(p, c, leave) }, perWeight}
}

// sums are the numerator and denominator of a quantity per quadrat, as amounts per m2 of the quadrat:
//
//	y_i = s_i Σ_j num_ij / Σ_j mass_ij,   x_i = s_i Σ_j den_ij / Σ_j mass_ij
//
// with s_i what stands there per m2. Quadrats without lengths have 0 in both: they are outside the domain.
func (l *lengthSample) sums(q quantity, m lengthModel) (y, x []float64) {
	y, x = make([]float64, len(l.stands)), make([]float64, len(l.stands))
	for from := 0; from < len(l.parts); {
		i, to := l.parts[from].quad, from
		num, den, all := 0.0, 0.0, 0.0
		for ; to < len(l.parts) && l.parts[to].quad == i; to++ {
			mass := m.mass(l.parts[to])
			all += mass
			num += q.num(m, l.parts[to], mass)
			den += q.den(mass)
		}
		y[i], x[i] = l.stands[i]*num/all, l.stands[i]*den/all
		from = to
	}
	return y, x
}

// value is the quantity over the bed, R = Σ w y / Σ w x.
func (l *lengthSample) value(q quantity, m lengthModel) float64 {
	y, x := l.sums(q, m)
	ys, xs := 0.0, 0.0
	for i := range y {
		ys += l.weight[i] * y[i]
		xs += l.weight[i] * x[i]
	}
	return ys / xs
}

// estimate is a quantity over the bed, R = Y/X, with its linearised variance
//
//	v = v(Σ w z)/X² + Δ_b² + Δ_σ²,   z = y - R x
//
// The first term is between the sampling units of the design, as in [Stocks]. Δ is half of what R changes by between
// one standard error above and below, of the power b and, where mean lengths are used, of the spread σ. What each
// quadrat stands for is taken as known: a common error of weight per cover cancels. DF by Satterthwaite. SE is NaN with
// lengths from one sampling unit.
func (l *lengthSample) estimate(q quantity) Estimate {
	e := missing()
	if len(l.parts) == 0 {
		return e
	}
	m := l.model()
	y, x := l.sums(q, m)
	ys, xs := 0.0, 0.0
	for i := range y {
		ys += l.weight[i] * y[i]
		xs += l.weight[i] * x[i]
	}
	e.OK, e.Value = true, ys/xs
	units, df := l.units()
	if d := l.s.design; units < 2 || d.lonely == "fail" && len(d.lonelyStrata()) > 0 {
		return e
	}
	for i := range y {
		y[i] -= e.Value * x[i]
		if math.IsNaN(l.stands[i]) {
			y[i] = math.NaN()
		}
	}
	t := l.s.design.total(y)
	if d := l.s.design; d.byGroup {
		df = min(df, d.satterthwaite(t.unit))
	}
	parts := append([]part{{l.s.design.cov(t.unit, t.unit) / (xs * xs), df}}, l.modelParts(q, m)...)
	all := satterthwaite(parts...)
	if !(all.v >= 0) { // NaN: no variance to be had
		return e
	}
	e.SE, e.DF = math.Sqrt(all.v), all.df
	if df < 0.5 {
		e.DF = df
	}
	return e
}

// modelParts are the variances that the errors of power and spread add to a quantity.
func (l *lengthSample) modelParts(q quantity, m lengthModel) []part {
	half := func(d lengthModel, df float64) part {
		up := l.value(q, lengthModel{m.power + d.power, m.sigma + d.sigma})
		down := l.value(q, lengthModel{m.power - d.power, m.sigma - d.sigma})
		return part{(up - down) * (up - down) / 4, df}
	}
	var out []part
	if l.spread.powerSE > 0 {
		out = append(out, half(lengthModel{power: l.spread.powerSE}, l.spread.powerDF()))
	}
	if _, _, means := l.counts(); means > 0 && l.spread.sigmaSE > 0 {
		out = append(out, half(lengthModel{sigma: l.spread.sigmaSE}, l.spread.sigmaDF()))
	}
	return out
}

// share is an estimate of a share of fronds or weight, with its interval on the logit,
//
//	Lo, Hi = expit( logit(p) -+ t SE/(p (1 - p)) )
//
// A share of 0 or 1 has neither SE nor bounds: every length was on one side, which the sample's spread cannot judge.
//
// References:
//   - Korn, E. L. and Graubard, B. I.: Confidence intervals for proportions with small expected number of positive
//     counts estimated from survey data. Survey Methodology 24 (1998) 193-201
func (l *lengthSample) share(q quantity, level float64) Estimate {
	e := l.estimate(q)
	e.Level = level
	p := e.Value
	switch {
	case !e.OK:
	case p < 1e-12 || p > 1-1e-12:
		e.Value, e.SE, e.DF = math.Round(p), math.NaN(), math.NaN()
	case e.SE == 0:
		e.Lo, e.Hi, e.Kind = p, p, "logit"
	case e.SE > 0 && e.DF >= 0.5:
		t := tQuantile(0.5+level/2, e.DF) * e.SE / (p * (1 - p))
		e.Lo, e.Hi, e.Kind = expit(math.Log(p/(1-p))-t), expit(math.Log(p/(1-p))+t), "logit"
	}
	return e
}

// expit is the inverse of the logit.
func expit(x float64) float64 { return 1 / (1 + math.Exp(-x)) }

// shareOfFronds is [lengthSample.share] of a share of fronds. At 0 or 1 it has the bound of n sampling units that all
// fell on one side, 1 - (α/2)^(1/n) from it: safe however alike the fronds of a unit are.
func (l *lengthSample) shareOfFronds(q quantity, level float64) Estimate {
	e := l.share(q, level)
	n, _ := l.units()
	if !e.OK || n < 2 || e.Value > 0 && e.Value < 1 {
		return e
	}
	e.Lo, e.Hi, e.Kind = 0, 1-math.Pow(0.5-level/2, 1/float64(n)), "all alike"
	if e.Value == 1 {
		e.Lo, e.Hi = 1-e.Hi, 1
	}
	return e
}
