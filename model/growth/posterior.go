package growth

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strconv"

	"bedstock/model/internal/elementary"
	"bedstock/model/internal/quantile"
	"bedstock/model/internal/spill"
)

const (
	mostRHat = 1.01
	leastESS = 400

	notOK     = "not converged"
	notKnown  = "not estimable"
	converged = "ok"
)

// CutFactor names the draws of what a reported cut is multiplied by, 1/share, where the reported share is not exactly known.
const CutFactor = "cut factor"

// SampleBeds draws from the posterior of one species on all its beds together. With B_bt the stock of bed b at its survey t,
// just before anything that happens on that day:
//
//	log r_b ~ N(log r, φ);  log K_b ~ N(log(k area_b occ_b), ω)
//	log r ~ table;  log k ~ table;  φ, ω, σ ~ half-normal;  log r_plot ~ N(log r + δ, sqrt(se² + φ²)), δ ~ N(0, 0.5)
//	log B_b1/K_b ~ N(log 0.6, 0.6)
//	log B_b,t+1 ~ (1-p) N(m, s) + p N(m + log q, s),   s = σ sqrt(Δt),  p = min(0.9, chance Δt)
//	log Bhat_bt ~ t_df( log B - τ²/2 + Σ c_d, τ ),     τ² = log(1 + cv²)
//	c_d ~ N(0, sqrt(log(1 + cv_d²)))                   one for each shared error, of one bed or of several
//
// (sd after the comma). m is the log of the exact map of [Path] through the dated takes, divided by the reported share, and
// the dated storms; q is the storm survival. A take as large as the stock before it has the likelihood 0. A storm of
// unknown strength leaves q, known to 0.3 on the log, and takes the place of the chance of another between the same
// surveys. δ, the storms of the mixture and what only one survey has are integrated out or drawn along.
//
// A survey that found none, on n units of a surveyed part of the bed of so many m2, has the likelihood
//
//	p0 = exp(-n B/(area m))
//
// with m the mean of Dense over the surveys of the bed that found it, and one that found it has the factor 1 - p0.
// Observation.Area is the area that the survey's stock stands for; the bed's where it is 0.
//
// Where cuts are not known the stock may have changed by anything between surveys (sd 3 on the log): the surveys tell
// the stock, and r and σ stay at what other beds say of them. A survey without a usable estimate has a state all the same.
//
// Chains and thinning are chosen so that Settings.Draws draws are kept: the number of chains is lowered to a divisor.
// Zero Chains, Draws, StormSurvival, SigmaProcess and ReportedShare mean 4, 4000, 0.7, 0.3 and 1. The run, of at least
// 4000 points of every bed and unless it is to be brief 8000 for up to 100 beds, is lengthened eleven times at most: each time
// by a third, from the second time on in all, as its first third is forgotten; two points each share what the beds have in
// common. It is looked at four times as it is lengthened. The species' run ends when what the beds have in common has converged;
// from then on that of a bed ends when its own r, K and stocks have converged. Until all beds have ended those that have move on
// with the rest, though less often. R-hat and effective sizes are those of the whole run until its end that is not forgotten, of which
// the draws are evenly spaced. Pool.Status is that of what the beds have in common; a bed whose own r, K and stocks, or the species'
// quantities, still have an R-hat over 1.01 or an effective size under 400 is "not converged", with the figures as the
// reason and its draws for inspection. "not estimable" has its reason and no draws; such a bed says nothing of the
// others.
//
// With a ReportedCV the reported share itself is drawn, one for all beds and years of the species,
//
//	cut = reported/share,   log share ~ N(log ReportedShare, sqrt(log(1 + ReportedCV²)))
//
// and the draws of the species and of each bed have one column more, [CutFactor].
//
// The order of the beds does not matter, nor the number of cores. SampleBeds panics when two beds have one name, when surveys
// are not in the order of time and on settings out of range.
//
// References:
//   - Gelman, A. et al.: Bayesian Data Analysis, 3rd ed., ch. 5 (2013), for the beds of a species
//   - Vehtari, A. et al.: Rank-normalization, folding, and localization: an improved R-hat. Bayesian Analysis 16 (2021)
func SampleBeds(beds []BedSeries, prior Prior, season Season, plots []PlotEvidence, set Settings) Pool {
	return sampleBeds(beds, prior, season, plots, set, usual(len(beds), set.Brief))
}

func sampleBeds(beds []BedSeries, prior Prior, season Season, plots []PlotEvidence, set Settings, e effort) Pool {
	set = set.withDefaults()
	set.check()
	for set.Draws%set.Chains != 0 {
		set.Chains--
	}
	out := Pool{Beds: make([]Posterior, len(beds))}
	h, warnings, reason := newHold(prior, plots, season, set)
	out.Warnings = warnings
	if reason != "" {
		return out.none(reason)
	}
	order := make([]int, len(beds))
	for i := range order {
		order[i] = i
	}
	slices.SortFunc(order, func(a, b int) int { return cmp.Compare(beds[a].Bed, beds[b].Bed) })
	p := poolRun{hold: h}
	used := out.lay(&p, beds, order, season, set)
	if len(used) == 0 {
		return out.none("no survey of any bed tells of it")
	}
	p.start(set)
	before := h.anyBed(set.Level)
	p.run(set, e, ends{
		species: func(v verdict) { out.fill(&p, v, set) },
		bed:     func(b int, species, own verdict) { out.Beds[used[b]].fill(&p, b, before, species, own, set) },
	})
	return out
}

// lay lays out the beds that can be estimated, in the order of their names, and returns which they are.
func (out *Pool) lay(p *poolRun, beds []BedSeries, order []int, season Season, set Settings) (used []int) {
	usable := make([]BedSeries, 0, len(beds))
	for k, i := range order {
		b := beds[i]
		if k > 0 && beds[order[k-1]].Bed == b.Bed {
			panic("growth: two beds named " + b.Bed)
		}
		g, warnings, reason := build(b.Series, &p.hold, season, set, nil)
		post := &out.Beds[i]
		post.Warnings = warnings
		if reason == "" {
			if _, ok := g.guess(); !ok {
				reason = "the recorded cuts are larger than any stock that growth and surveys allow"
			}
		}
		if reason != "" {
			post.none(reason)
			continue
		}
		usable, used = append(usable, b), append(used, i)
	}
	x := crossErrors(usable)
	p.hold.errSD, p.shared = x.sd, x
	cross := x.of(usable)
	for k, b := range usable {
		g, _, _ := build(b.Series, &p.hold, season, set, x.ids)
		p.addBed(b.Bed, g, math.Log(b.Area*b.Occ), cross[k])
	}
	return used
}

func (out Pool) none(reason string) Pool {
	out.Status, out.Reason, out.RHat, out.ESS = notKnown, reason, math.NaN(), math.NaN()
	for i := range out.Beds {
		if out.Beds[i].Status == "" {
			out.Beds[i].none(reason)
		}
	}
	return out
}

func (p *Posterior) none(reason string) {
	p.Status, p.Reason, p.RHat, p.ESS, p.LogRShrink = notKnown, reason, math.NaN(), math.NaN(), math.NaN()
}

// status says how something has converged, with the figures where it has not.
func (v verdict) status() (status, reason string) {
	if v.ok() {
		return converged, ""
	}
	return notOK, fmt.Sprintf("R-hat %.3f (at most %.2f), effective draws %.0f (at least %d)", v.rhat, mostRHat, v.ess, leastESS)
}

// fill writes what the beds have in common.
func (out *Pool) fill(p *poolRun, v verdict, set Settings) {
	out.Status, out.Reason = v.status()
	out.RHat, out.ESS = v.rhat, v.ess
	h := &p.hold
	out.TableR, out.TableK = h.logR.interval(set.Level), h.logK.interval(set.Level)
	out.PriorR, out.PriorK = h.speciesR().interval(set.Level), out.TableK
	sigma := set.SigmaProcess
	out.Draws = thinned(nil, p.paths, p.width(), set.Draws/set.Chains, []string{"r", "k", "phi", "omega", "sigma"}, func(x, to []float64) {
		to[0], to[1], to[2], to[3], to[4] = math.Exp(x[0]), math.Exp(x[1]), math.Abs(x[2]), math.Abs(x[3]), sigma*math.Abs(x[4])
	})
	of := func(j int) Interval { return summary(out.Draws.col(j), set.Level) }
	out.R, out.K, out.Phi, out.Omega, out.Sigma = of(0), of(1), of(2), of(3), of(4)
	if h.cutSD > 0 {
		out.Draws = out.Draws.with(nil, CutFactor, p.cutFactors(set))
		f := of(5)
		out.Share = Interval{1 / f.Median, 1 / f.Hi, 1 / f.Lo}
	}
}

// cutFactors are draws of the cut factor, which belong to those of what ends at this time.
func (p *poolRun) cutFactors(set Settings) []float64 {
	return thinned(nil, p.paths, p.width(), set.Draws/set.Chains, []string{CutFactor}, func(x, to []float64) {
		to[0] = math.Exp(x[5]) / set.ReportedShare
	}).X
}

// anyBed is what was held of r and of K per m2 of occupied rock of any bed, before its surveys.
type anyBed struct{ r, k Interval }

func (h *hold) anyBed(level float64) anyBed {
	return anyBed{h.bedR().interval(level), h.bedK(0).interval(level)}
}

// fill writes what is known of the k-th bed.
func (p *Posterior) fill(run *poolRun, k int, before anyBed, species, own verdict, set Settings) {
	v := own.and(species)
	p.Status, p.Reason = v.status()
	p.RHat, p.ESS = v.rhat, v.ess
	bed := &run.beds[k]
	area := math.Exp(bed.offset)
	p.PriorR, p.PriorK = before.r, Interval{before.k.Median * area, before.k.Lo * area, before.k.Hi * area}
	names := []string{"r", "K", "sigma"}
	for t := range bed.g.n {
		names = append(names, "B"+strconv.Itoa(t))
	}
	p.Draws = thinned(set.Spill, run.bedPaths(k), bed.g.dim(), set.Draws/set.Chains, names, func(x, to []float64) {
		copy(to, x)
		elementary.Exp(to)
		to[2] = bed.g.sigma * x[2]
	})
	if run.hold.cutSD > 0 {
		bare := p.Draws.X
		p.Draws = p.Draws.with(set.Spill, CutFactor, run.cutFactors(set))
		set.Spill.Free(bare)
	}
	p.summarise(math.Hypot(run.hold.logR.sd, run.hold.phi), set.Level)
	if set.Bare {
		p.Forget(set.Spill)
	}
}

// Forget lets go of the draws, which were kept in the spill that the settings named.
func (p *Posterior) Forget(in *spill.File) {
	in.Free(p.Draws.X)
	p.Draws = Draws{}
}

// thinned keeps so many draws of each chain, evenly spaced and ending with the last; natural fills the named quantities
// from the d numbers of a point.
func thinned(in *spill.File, paths [][]float64, d, keep int, names []string, natural func(x, to []float64)) Draws {
	w := len(names)
	out := Draws{Chains: len(paths), N: keep, Names: names, X: in.Floats(len(paths) * keep * w)}
	at := 0
	for _, path := range paths {
		n := len(path) / d
		for k := range keep {
			natural(path[((k+1)*n/keep-1)*d:][:d], out.X[at:at+w])
			at += w
		}
	}
	return out
}

// summarise fills the intervals of r and K, and how far log r has come from the sd that it had in the table.
func (p *Posterior) summarise(tableSD, level float64) {
	both := p.Draws.Cols("r", "K")
	r, k := both[0], both[1]
	logs := make([]float64, len(r))
	for i, v := range r {
		logs[i] = math.Log(v)
	}
	_, v := meanVariance(logs)
	p.LogRShrink = math.Sqrt(v) / max(tableSD, 1e-6)
	p.R, p.K = summary(r, level), summary(k, level)
}

// summary is the median and the interval at the level of draws, which it reorders.
func summary(x []float64, level float64) Interval {
	median, lo, hi := quantile.Three(x, (1-level)/2, (1+level)/2)
	return Interval{Median: median, Lo: lo, Hi: hi}
}
