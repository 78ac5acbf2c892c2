package growth

import (
	"fmt"
	"math"
	"slices"
	"strconv"
)

const (
	mostRHat = 1.01
	leastESS = 400

	attempts  = 3 // each twice as long as the one before
	notOK     = "not converged"
	notKnown  = "not estimable"
	converged = "ok"
)

// effort is how long the sampler works.
type effort struct {
	warmUp   []int // steps a chain in each phase, after which the frames are laid anew
	steps    int   // least number of steps of all chains together, before thinning
	attempts int   // each doubles the run
}

var usual = effort{warmUp: []int{30, 60, 100, 160}, steps: 4000, attempts: 4}

// Sample draws from the posterior of one species on one bed, by itself. With B_t the stock at survey t, just before
// anything that happens on that day:
//
//	log B_1/K ~ N(log 0.6, 0.6)
//	log B_t+1 ~ (1-p) N(m, s) + p N(m + log q, s),   s = σ sqrt(Δt),  p = min(0.9, chance Δt)
//	log Bhat  ~ t_df( log B - τ²/2 + Σ c_d, τ ),     τ² = log(1 + cv²)
//	c_d       ~ N(0, sqrt(log(1 + cv_d²)))           one for each shared error
//	log r     ~ N(table and plots, + φ²);  log K ~ N(log(k area occ), + ω²);  σ ~ half-normal
//
// (sd or variance after the comma as the letters say). m is the log of the exact map of [Path] through the dated takes,
// divided by the reported share, and the dated storms; q is the storm survival. A take as large as the stock before it
// has the likelihood 0. A storm of unknown strength leaves q, known to 0.3 on the log, and takes the place of the chance
// of another between the same surveys. The spreads φ and ω of beds about their species are set to their
// scales, the root mean square of the half-normals, as one bed cannot tell them.
//
// A survey that found none, on n units of a surveyed part of the bed of so many m2, has the likelihood
//
//	p0 = exp(-n B/(area m))
//
// with m the mean of Dense over the surveys that found it, and one that found it has the factor 1 - p0. Observation.Area
// is the area that the survey's stock stands for; the bed's where it is 0.
//
// Where cuts are not known the stock may have changed by anything between surveys (sd 3 on the log): the surveys tell
// the stock, and r and σ stay at their priors. A survey without a usable estimate has a state all the same.
//
// Chains and thinning are chosen so that Settings.Draws draws are kept: the number of chains is lowered to a divisor.
// Zero Chains, Draws, StormSurvival, SigmaProcess and ReportedShare mean 4, 4000, 0.7, 0.3 and 1. R-hat and effective
// sizes are those of the whole run, of which the draws are every so many steps. The run is doubled three times at
// most; one that still has an R-hat over 1.01 or an effective size under 400 is "not converged", with the figures as the
// reason and its draws for inspection. "not estimable" has its reason and no draws.
//
// Sample panics when surveys are not in the order of time and on settings out of range.
func Sample(s Series, prior Prior, season Season, plots []PlotEvidence, set Settings) Posterior {
	return sample(s, prior, season, plots, set, usual)
}

func sample(s Series, prior Prior, season Season, plots []PlotEvidence, set Settings, e effort) Posterior {
	set = set.withDefaults()
	set.check()
	g, warnings, reason := build(s, prior, season, plots, set)
	if reason != "" {
		return Posterior{Status: notKnown, Reason: reason, Warnings: warnings, RHat: math.NaN(), ESS: math.NaN(),
			LogRShrink: math.NaN()}
	}
	for set.Draws%set.Chains != 0 {
		set.Chains--
	}
	post := Posterior{Warnings: warnings, PriorR: g.logR.interval(set.Level), PriorK: g.logK.interval(set.Level)}
	r, ok := newRun(g, set)
	if !ok {
		post.Status, post.RHat, post.ESS, post.LogRShrink = notKnown, math.NaN(), math.NaN(), math.NaN()
		post.Reason = "the recorded cuts are larger than any stock that growth and surveys allow"
		return post
	}
	r.draw(set, e, &post)
	post.summarise(math.Hypot(logSD(prior.RCV), set.SigmaR), set.Level)
	return post
}

// draw warms up and runs the chains until they have converged or the attempts are used up.
func (r *run) draw(set Settings, e effort, post *Posterior) {
	for _, steps := range e.warmUp {
		r.refit(r.walk(nil, steps))
	}
	keep := set.Draws / set.Chains
	steps := keep * max(1, (e.steps+set.Draws-1)/set.Draws)
	walk := r.walk(nil, steps)
	for a := 1; ; a++ {
		post.RHat, post.ESS = r.diagnose(walk)
		if post.RHat <= mostRHat && post.ESS >= leastESS {
			post.Status = converged
			break
		}
		if a == e.attempts {
			post.Status = notOK
			post.Reason = fmt.Sprintf("R-hat %.3f (at most %.2f), effective draws %.0f (at least %d)", post.RHat, mostRHat,
				post.ESS, leastESS)
			break
		}
		r.refit(walk)
		walk = r.walk(walk, steps)
		steps *= 2
	}
	post.Draws = r.thinned(walk, keep)
}

// diagnose is the largest R-hat and the smallest effective size over r, K, σ and the states. They depend on ranks, so
// that logarithms serve.
func (r *run) diagnose(walk [][]float64) (rhat, ess float64) {
	d := r.g.dim()
	ess = math.Inf(1)
	chains := make([][]float64, len(walk))
	for i := range chains {
		chains[i] = make([]float64, len(walk[i])/d)
	}
	var score []float64
	for j := range fixed + r.g.n {
		for i, c := range chains {
			for k := range c {
				c[k] = walk[i][k*d+j]
				if j == 2 {
					c[k] = math.Abs(c[k])
				}
			}
		}
		dg := newDiagnosis(chains)
		dg.score = score
		rhat = max(rhat, dg.rhat())
		ess = min(ess, dg.bulk(), dg.tail())
		score = dg.score
	}
	return rhat, ess
}

// thinned keeps so many draws of each chain, evenly spaced and ending with the last, on the natural scale.
func (r *run) thinned(walk [][]float64, keep int) Draws {
	d, w := r.g.dim(), fixed+r.g.n
	out := Draws{Chains: len(walk), N: keep, Names: []string{"r", "K", "sigma"}}
	for t := range r.g.n {
		out.Names = append(out.Names, "B"+strconv.Itoa(t))
	}
	out.X = make([]float64, 0, len(walk)*keep*w)
	for _, chain := range walk {
		thin := len(chain) / d / keep
		for k := range keep {
			x := chain[((k+1)*thin-1)*d:][:w]
			out.X = append(out.X, math.Exp(x[0]), math.Exp(x[1]), r.g.sigma*math.Abs(x[2]))
			for _, v := range x[fixed:] {
				out.X = append(out.X, math.Exp(v))
			}
		}
	}
	return out
}

// summarise fills the intervals of r and K, and how far log r has come from the sd that it had in the table.
func (p *Posterior) summarise(tableSD, level float64) {
	r, k := p.Draws.col(0), p.Draws.col(1)
	logs := make([]float64, len(r))
	for i, v := range r {
		logs[i] = math.Log(v)
	}
	_, v := meanVariance(logs)
	p.LogRShrink = math.Sqrt(v) / max(tableSD, 1e-6)
	p.R, p.K = summary(r, level), summary(k, level)
}

// summary is the median and the interval at the level of draws, which it sorts; quantiles of type 7 (Hyndman & Fan 1996).
func summary(x []float64, level float64) Interval {
	slices.Sort(x)
	q := func(p float64) float64 {
		h := p * float64(len(x)-1)
		lo := int(h)
		return x[lo] + (h-float64(lo))*(x[min(lo+1, len(x)-1)]-x[lo])
	}
	return Interval{Median: q(0.5), Lo: q((1 - level) / 2), Hi: q((1 + level) / 2)}
}
