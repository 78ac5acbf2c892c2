package survey

import "math"

// SecondPhase sums up one stratum of a double sample: of the units that were sampled first and found to lie in the
// stratum a random part was measured.
type SecondPhase struct {
	First int     // units of the first phase in the stratum, n'_h
	N     int     // of these, units measured, 1 <= n_h <= n'_h
	Mean  float64 // of the measured units
	Var   float64 // of the measured units, divisor n_h - 1; NaN or 0 where one was measured
}

// DoubleStratified is the mean per unit by double sampling for stratification: n' units are drawn at random and
// sorted into strata by something quickly seen (cover classes), then a part of each stratum is measured.
//
//	ybar = Σ w_h ybar_h,   w_h = n'_h/n'
//	v = (N-1)/N Σ ( (n'_h - 1)/(n' - 1) - (n_h - 1)/(N - 1) ) w_h s_h²/n_h + (N - n')/(N (n' - 1)) Σ w_h (ybar_h - ybar)²
//
// which is unbiased (Rao). size is N, the number of units there are; +Inf leaves the corrections out. The total is
// the mean times N. Strata in which the first phase found no unit are left out. DF by Satterthwaite from n_h - 1 for
// each stratum and n' - 1 for the last term. OK is false without strata; SE and DF are NaN where a stratum has one
// measured unit or n' is 1. It panics where a stratum of the first phase was not measured, more were measured than
// sampled, or size is below n'.
//
// References:
//   - Rao, J. N. K.: On double sampling for stratification and analytical surveys. Biometrika 60 (1973) 125-133
//   - Särndal, C.-E., Swensson, B. and Wretman, J.: Model Assisted Survey Sampling. Springer (1992), section 9.4
func DoubleStratified(layers []SecondPhase, size float64) Estimate {
	first := 0
	for _, l := range layers {
		if l.First > 0 && l.N < 1 || l.N > l.First {
			panic("survey: stratum without measured units, or with more than were sampled")
		}
		first += l.First
	}
	if first == 0 {
		return missing()
	}
	if float64(first) > size {
		panic("survey: more units sampled than there are")
	}
	mean, n1 := 0.0, float64(first)
	for _, l := range layers {
		if l.First > 0 {
			mean += float64(l.First) / n1 * l.Mean
		}
	}
	e := missing()
	e.OK, e.Value = true, mean
	if v := satterthwaite(secondPhaseParts(layers, mean, n1, size)...); !math.IsNaN(v.v) {
		e.SE, e.DF = math.Sqrt(v.v), v.df
	}
	return e
}

// secondPhaseParts are the parts of the variance.
func secondPhaseParts(layers []SecondPhase, mean, n1, size float64) []part {
	var out []part
	spread := 0.0
	for _, l := range layers {
		if l.First == 0 {
			continue
		}
		w, n := float64(l.First)/n1, float64(l.N)
		spread += w * (l.Mean - mean) * (l.Mean - mean)
		if l.N < 2 {
			out = append(out, part{math.NaN(), math.NaN()})
			continue
		}
		f, all := (float64(l.First)-1)/(n1-1), 1.0
		if !math.IsInf(size, 1) {
			f, all = f-(n-1)/(size-1), (size-1)/size
		}
		out = append(out, part{all * f * w * l.Var / n, n - 1})
	}
	left := 1.0
	if !math.IsInf(size, 1) {
		left = (size - n1) / size
	}
	return append(out, part{left / (n1 - 1) * spread, n1 - 1})
}
