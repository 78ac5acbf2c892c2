package survey

import (
	"fmt"
	"math"
	"strings"

	"gonum.org/v1/gonum/stat/distuv"
)

// DetectPower is the probability with which the least detectable change is found.
const DetectPower = 0.8

// Detectable is the smallest change from the last survey of a bed and species to the next that the effort would find,
// with probability [DetectPower] at the level of Level.
type Detectable struct {
	Bed, Species, Survey string  // Survey is the last
	Units                int     // sampling units of the last survey
	More                 int     // sampling units that the next survey has beyond them
	Paired               bool    // the next survey goes to the same, permanent units
	Level                float64 // of the interval that finds the change
	DF                   float64
	Fall, Rise           float64 // least fall and rise found, as parts of the stock; NaN not estimable
	FallKg, RiseKg       float64 // the same in kg
	Status               Status
	Reason, Next         string
}

// LeastDetectable tells for the last survey of every bed and species how small a change the next survey would find,
// with as many sampling units as now and with each of the given numbers more, sorted by bed, species and More.
//
// On the log, the difference of the two surveys has the variance
//
//	s² = v1 + v1 n/(n+m) - 2 ρ v1 n/(n+m) + Σ 2 c_e²,   v1 = log(1 + OwnCV²)
//
// with n the units now, m those more, and c_e the CV of each calibration that is made anew each year and is then not the
// same error. ρ is the correlation that the newest of the changes found between permanent units, else 0. With d the
// noncentrality at which the two-sided t test with the Welch-Satterthwaite degrees of freedom has the power,
//
//	Fall = 1 - exp(-d s),   Rise = exp(d s) - 1
//
// Both depend on the CV as it was estimated, itself uncertain where units are few. A species that was not found, one without
// a standard error or an estimate has no least change: Status is NotEstimable. It panics on a negative number of units.
//
// References:
//   - Cohen, J.: Statistical Power Analysis for the Behavioral Sciences, 2nd ed. Erlbaum (1988), chapter 2
func LeastDetectable(stocks []Stock, changes []Change, opt Options, more ...int) []Detectable {
	checkOptions(opt)
	var out []Detectable
	for _, series := range bySeries(stocks) {
		last := series[len(series)-1]
		rho, paired := pairedBefore(changes, last)
		for _, m := range append([]int{0}, more...) {
			if m < 0 {
				panic("survey: negative number of sampling units")
			}
			out = append(out, detectable(last, rho, paired, m, opt.Confidence))
		}
	}
	return out
}

// pairedBefore is the correlation of the change up to a survey, and whether its units were paired.
func pairedBefore(changes []Change, last *Stock) (rho float64, paired bool) {
	for _, c := range changes {
		if c.Bed == last.Bed && c.Species == last.Species && c.To == last.Survey && c.Paired > 0 && c.Kg.OK {
			return c.Correlation, true
		}
	}
	return 0, false
}

func detectable(s *Stock, rho float64, paired bool, more int, level float64) Detectable {
	nan := math.NaN()
	d := Detectable{Bed: s.Bed, Species: s.Species, Survey: s.Survey, Units: s.PSU, More: more, Paired: paired, Level: level,
		DF: nan, Fall: nan, Rise: nan, FallKg: nan, RiseKg: nan, Status: OK}
	if d.Reason, d.Next = undetectable(s); d.Reason != "" {
		d.Status = NotEstimable
		return d
	}
	v1 := math.Log1p(s.OwnCV * s.OwnCV)
	df := max(1, s.Kg.DF)
	if own := float64(s.PSU - 1); df > own {
		df = own // shared errors that are known count for infinitely many
	}
	next := v1 * float64(s.PSU) / float64(s.PSU+more)
	own := satterthwaite(part{v1, df}, part{next, df + float64(more)})
	own.v -= 2 * rho * next
	if paired {
		own.df = df
	}
	all := satterthwaite(own, part{2 * s.renewed(), math.Inf(1)})
	d.DF = all.df
	effect := noncentrality(d.DF, level, DetectPower) * math.Sqrt(all.v)
	d.Fall, d.Rise = -math.Expm1(-effect), math.Expm1(effect)
	d.FallKg, d.RiseKg = d.Fall*s.Kg.Value, d.Rise*s.Kg.Value
	return d
}

// undetectable is why a stock has no least detectable change and what to measure next, empty where it has.
func undetectable(s *Stock) (reason, next string) {
	switch {
	case !s.Kg.OK:
		return s.Reason, nextTime(s.Reason)
	case s.Kg.Value <= 0:
		return "none found", fmt.Sprintf("with %d sampling units it is found where it stands in more than about %.0f %% of the units",
			s.PSU, 100*mostShare(s.PSU, 2*DetectPower-1))
	case math.IsNaN(s.OwnCV) || !(s.Kg.DF >= 0.5):
		return "no standard error: no more sampling units than strata", "lay at least two transects in every stratum"
	}
	return "", ""
}

// renewed is the variance on the log of the calibrations that another year makes anew.
func (s *Stock) renewed() float64 {
	if !strings.HasSuffix(s.Domain, "year") {
		return 0
	}
	v := 0.0
	for _, e := range s.Shared {
		if strings.HasPrefix(e.ID, "calibration|") {
			v += math.Log1p(e.CV * e.CV)
		}
	}
	return v
}

// noncentrality is the d at which the two-sided t test with df degrees of freedom has a given power.
func noncentrality(df, level, power float64) float64 {
	lo, hi := 0.0, 8.0
	for tPower(hi, df, level) < power {
		hi *= 2
	}
	for range 45 {
		if mid := (lo + hi) / 2; tPower(mid, df, level) < power {
			lo = mid
		} else {
			hi = mid
		}
	}
	return (lo + hi) / 2
}

// tPower is the power of the two-sided t test of the given level at noncentrality d, with t its critical value:
//
//	∫ (Φ(d - t s) + Φ(-d - t s)) f(s) ds
//
// f is the density of s = sqrt(χ²/df), integrated by Simpson's rule. df is at least 1; +Inf is the normal test.
func tPower(d, df, level float64) float64 {
	t := tQuantile(0.5+level/2, df)
	at := func(s float64) float64 {
		return distuv.UnitNormal.CDF(d-t*s) + distuv.UnitNormal.CDF(-d-t*s)
	}
	if math.IsInf(df, 1) || df > 1e6 {
		return at(1)
	}
	half, _ := math.Lgamma(df / 2)
	c := math.Ln2 + df/2*math.Log(df/2) - half
	density := func(s float64) float64 {
		if s == 0 {
			if df == 1 {
				return math.Exp(c)
			}
			return 0
		}
		return math.Exp(c + (df-1)*math.Log(s) - df*s*s/2)
	}
	spread := 9 / math.Sqrt(2*df)
	lo, hi := math.Max(0, 1-spread), 1+spread
	n := 160 // steps; a density steep at 0 needs more
	if df < 4 {
		n = 400
	}
	h, sum := (hi-lo)/float64(n), 0.0
	for i := range n + 1 {
		s, k := lo+float64(i)*h, 2.0
		switch {
		case i == 0 || i == n:
			k = 1
		case i%2 == 1:
			k = 4
		}
		sum += k * density(s) * at(s)
	}
	return sum * h / 3
}
