package growth

import (
	"hash/fnv"
	"math"
	"math/rand/v2"
	"slices"
	"strconv"

	"gonum.org/v1/gonum/stat/distuv"
)

// unexpectedBelow is the tail probability under which a survey counts as one that the model does not expect: one survey
// in a hundred does by chance.
const unexpectedBelow = 0.01

// mostForeseen is the number of draws from which a survey is foretold; more add nothing to two digits.
const mostForeseen = 2000

// Foreseen is what the model expected of one survey, before that survey was made, and what it found.
type Foreseen struct {
	T        float64  // years
	Kg       float64  // found; 0: none was found
	Expected Interval // of the estimate, kg; 0 where finding none is part of it
	PNone    float64  // probability of finding none; 0 where detection is not modelled
	P        float64  // probability of finding less, half of that of the same where none was found
	Tail     float64  // probability of a find as far out on either side
	// Unexpected is true where Tail is under 0.01.
	Unexpected bool
	Status     string // "ok" or "not checked"; then all but T and Kg is NaN
	Reason     string
}

// notChecked is the status of a survey that no forecast can be made for.
const notChecked = "not checked"

// Predictive is the posterior predictive check of one bed, survey by survey.
type Predictive struct {
	Surveys    []Foreseen
	Checked    int     // surveys with a forecast
	Unexpected int     // of these, so many that the model does not expect
	P          float64 // of surveys together as odd as these; NaN where none was checked
}

// Foresee foretells each survey of a bed one step ahead from the draws of its posterior and sets it against what was
// found: the mixed predictive check. For each draw the stock of the survey before goes through the map with the dated
// takes and events, new process noise and undated storms, and a new survey error:
//
//	log B* = m(B_t-1, r, K) + s z,           s = σ sqrt(Δt);  + log q with the probability of a storm
//	log B* = log 0.6 K + 0.6 z               for the first survey
//	log y* = log B* - τ²/2 + c* + τ t_df     and none is found with the probability exp(-rate B*)
//
// c* is drawn given what the bed's other surveys say of the errors that they share with this one. The draws of B_t-1 have
// seen the survey itself, so that they are weighted by 1/p(y_t | B_t-1), truncated at sqrt(draws) times their mean
// (Ionides 2008): without it a survey would help to foretell itself, and a strange one would look less strange than it
// is. Under the model P is then nearly uniform, and the check of several surveys,
//
//	Σ Φ^-1(P)² ~ chi-square, one degree of freedom a survey
//
// gives the probability of surveys as odd as these. No forecast is made where cuts before the survey are not known.
//
// References:
//   - Marshall, E. C. and Spiegelhalter, D. J.: Identifying outliers in Bayesian hierarchical models: a simulation-based
//     approach. Bayesian Analysis 2 (2007), 409-444
//   - Gelfand, A. E., Dey, D. K. and Chang, H.: Model determination using predictive distributions with implementation
//     via sampling-based methods. Bayesian Statistics 4 (1992), 147-167
//   - Ionides, E. L.: Truncated importance sampling. Journal of Computational and Graphical Statistics 17 (2008), 295-311
func (p Posterior) Foresee(b BedSeries, season Season, set Settings) Predictive {
	set = set.withDefaults()
	set.check()
	out := Predictive{P: math.NaN()}
	if p.Status == notKnown || len(p.Draws.X) == 0 {
		for _, o := range b.Surveys {
			out.Surveys = append(out.Surveys, unforeseen(o, orReason(p.Reason, p.Status)))
		}
		return out
	}
	f := newForesight(p, b, season, set)
	var chi float64
	for t := range b.Surveys {
		s := f.survey(t)
		if s.Status == converged {
			z := distuv.UnitNormal.Quantile(math.Min(math.Max(s.P, 1e-6), 1-1e-6))
			chi += z * z
			out.Checked++
			if s.Unexpected {
				out.Unexpected++
			}
		}
		out.Surveys = append(out.Surveys, s)
	}
	if out.Checked > 0 {
		out.P = distuv.ChiSquared{K: float64(out.Checked)}.Survival(chi)
	}
	return out
}

func orReason(reason, status string) string {
	if reason == "" {
		return status
	}
	return reason
}

func unforeseen(o Observation, reason string) Foreseen {
	nan := math.NaN()
	return Foreseen{T: o.T, Kg: o.Kg, Expected: Interval{nan, nan, nan}, PNone: nan, P: nan, Tail: nan, Status: notChecked, Reason: reason}
}

// foresight is what the forecasts of a bed need.
type foresight struct {
	set       Settings
	season    Season
	s         Series
	r, k      []float64
	sigma     []float64
	cut       []float64   // what was cut over what is in cuts; nil: that
	logB      [][]float64 // per survey
	logKg     []float64   // of what each survey found
	tau       []float64   // of each survey's log estimate; 0: it tells no stock
	rate      []float64   // units expected to hold the species per kg
	cuts      []Pulse
	rng       *rand.Rand
	src       rand.Source
	y, weight []float64 // of the survey in hand: finds and their weights
	none      []float64 // and the probability of finding none
}

func newForesight(p Posterior, b BedSeries, season Season, set Settings) *foresight {
	f := &foresight{set: set, season: season, s: b.Series, cuts: slices.Clone(b.Cuts)}
	for i := range f.cuts {
		f.cuts[i].Kg /= set.ReportedShare
	}
	h := fnv.New64a()
	h.Write([]byte(set.Stream + "|predictive|" + b.Bed))
	f.src = rand.NewPCG(set.Seed, h.Sum64())
	f.rng = rand.New(f.src)
	step := (p.Draws.Len() + mostForeseen - 1) / mostForeseen
	names := []string{"r", "K", "sigma"}
	for t := range b.Surveys {
		names = append(names, "B"+strconv.Itoa(t))
	}
	if p.Draws.Has(CutFactor) {
		names = append(names, CutFactor)
	}
	cols := p.Draws.oneIn(step, names)
	f.r, f.k, f.sigma, f.logB = cols[0], cols[1], cols[2], cols[3:3+len(b.Surveys)]
	for t, x := range f.logB {
		for d, v := range x {
			x[d] = math.Log(v)
		}
		f.logKg = append(f.logKg, math.Log(b.Surveys[t].Kg))
	}
	if len(cols) > 3+len(b.Surveys) {
		f.cut = cols[3+len(b.Surveys)]
		for i := range f.cut {
			f.cut[i] *= set.ReportedShare
		}
	}
	f.errors()
	n := len(f.r)
	f.y, f.weight, f.none = make([]float64, n), make([]float64, n), make([]float64, n)
	return f
}

// errors fills tau and rate as the posterior has them.
func (f *foresight) errors() {
	dense, n := 0.0, 0
	for _, o := range f.s.Surveys {
		tau := 0.0
		if o.Kg > 0 && !math.IsInf(o.Kg, 0) && o.CV >= 0 && !math.IsInf(o.CV, 0) && o.DF > 0 {
			tau = max(logSD(o.CV), leastTau)
			if o.Dense > 0 && !math.IsInf(o.Dense, 0) {
				dense += o.Dense
				n++
			}
		}
		f.tau = append(f.tau, tau)
	}
	f.rate = make([]float64, len(f.s.Surveys))
	for t, o := range f.s.Surveys {
		area := o.Area
		if !(area > 0) {
			area = f.s.Area
		}
		if n > 0 && o.PSU > 0 {
			f.rate[t] = float64(o.PSU) * float64(n) / (area * dense)
		}
	}
}
