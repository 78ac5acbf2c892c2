package growth

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/stat/distuv"
)

// exactCase has all that ties what beds have in common to what they stand at: storms that nobody dated, a calibration of which
// the surveys tell more than was held, a plot, and a share of the cut that is not known.
func exactCase() ([]BedSeries, Prior, Season, []PlotEvidence, Settings) {
	var beds []BedSeries
	for b, kg := range [][2]float64{{4000, 2000}, {3000, 2800}} {
		s := Series{Area: 1000, Occ: 0.8, CutsKnown: true, Cuts: []Pulse{{50.6, 500}}}
		for i, v := range kg {
			s.Surveys = append(s.Surveys, Observation{T: 50.4 + float64(i), Kg: v, CV: 0.25, DF: 6, Shared: []Shared{{"calibration", 0.3}}})
		}
		beds = append(beds, BedSeries{fmt.Sprint("bed ", b), s})
	}
	return beds, Prior{R: 0.6, RCV: 0.4, K: 6, KCV: 0.3}, Season{}, []PlotEvidence{{math.Log(0.8), 0.3, 2}},
		Settings{Seed: 5, Stream: "exact", Draws: 4000, StormChance: 0.3, StormSurvival: 0.5, SigmaProcess: 0.2, SigmaR: 0.3, SigmaK: 0.3, ReportedCV: 0.5}
}

// looks are what is compared: of θ, then of the storms, r, K and stocks, and of how storms go with r and the noise.
func looks(mr, mk, phi, omega, w, cut, cal float64, storms [2]bool, r, k, first, last float64) []float64 {
	is := func(b bool) float64 {
		if b {
			return 1
		}
		return 0
	}
	return []float64{mr, mk, phi, is(phi < 0.1), omega, w, is(w < 0.2), cut, cal, is(storms[0]), is(storms[1]), r, k, first, last,
		is(storms[0]) * r, is(storms[0]) * w}
}

// The sampler against a million and a half draws from the prior, weighted by the likelihood as the model is written: with
// spreads of either sign and one jump of θ a sweep; and kept above 0, with two jumps, chances of storms that are far off, bends that
// are too strong and a likelihood that is thought to level off where it does not; and where the run of a bed has ended, so that all
// moves in every third sweep only.
// Tolerances are four standard errors of both.
func TestPoolAgainstWeightedPrior(t *testing.T) {
	beds, prior, season, plots, set := exactCase()
	set = set.withDefaults()
	mean, _, se := exactMeans(beds, prior, season, plots, set)
	for n := range 3 {
		p := runOf(t, beds, prior, season, plots, set)
		for range 3 {
			p.clear(100)
			p.walk(100)
			p.refit()
		}
		require.NotEmpty(t, p.heavy)
		if n == 1 {
			p.jumps, p.above[2], p.above[4] = 2, true, true
			p.off.middle -= 2 * p.off.below
			p.frame.bends = [2]bend{{p.frame.bends[0].at, p.frame.bends[0].scale, 0.6, 0.7}, {p.frame.bends[1].at, p.frame.bends[1].scale, -0.4, 0.8}}
			for b := range p.beds {
				p.beds[b].frame.chances.tilt = [fixed]float64{2, -1, 1.5}
				p.beds[b].frame.chances.p[0] = 0.5
			}
			for _, c := range p.chains {
				c.now.lift(p.above)
				c.settle()
			}
		}
		if n == 2 {
			p.rest, p.beds[0].ended = 3, true
		}
		const batches, sweeps = 40, 600
		parts := make([][]float64, len(mean))
		for _, c := range p.chains {
			for range batches {
				sum := make([]float64, len(mean))
				for k := range sweeps {
					c.stride(k, p.running(), func() {}, func(int) {})
					a, b := c.beds[0], c.beds[1]
					t := &c.now
					for j, v := range looks(t.logR, t.logK, math.Abs(t.phi), math.Abs(t.omega), math.Abs(t.w), t.cut, t.c[0],
						[2]bool{a.storms[0], b.storms[0]}, a.x[0], a.x[1], a.x[fixed], b.x[fixed+1]) {
						sum[j] += v / sweeps
					}
				}
				for j, v := range sum {
					parts[j] = append(parts[j], v)
				}
			}
		}
		for j, want := range mean {
			m, v := meanVariance(parts[j])
			approx(t, fmt.Sprint("look ", j), m, want, 0, 4*math.Hypot(se[j], math.Sqrt(v/float64(len(parts[j])))))
		}
	}
}

// exactMeans are the means of looks by importance sampling from the prior.
func exactMeans(beds []BedSeries, prior Prior, season Season, plots []PlotEvidence, set Settings) (mean, sd, se []float64) {
	rng := rand.New(rand.NewPCG(19, 4))
	norm := func(m, s float64) float64 { return m + s*rng.NormFloat64() }
	tau := logSD(0.25)
	var X [][]float64
	var W []float64
	for range 1500000 {
		mr, mk := norm(math.Log(prior.R), logSD(prior.RCV)), norm(math.Log(prior.K), logSD(prior.KCV))
		phi, omega, w := math.Abs(norm(0, set.SigmaR)), math.Abs(norm(0, set.SigmaK)), math.Abs(norm(0, 1))
		cut, cal := norm(0, logSD(set.ReportedCV)), norm(0, logSD(0.3))
		lw := distuv.Normal{Mu: mr + norm(0, plotBias), Sigma: math.Hypot(plots[0].SE, phi)}.LogProb(plots[0].LogR)
		var storms [2]bool
		var r, k [2]float64
		var stock [2][2]float64
		for b := range 2 {
			r[b], k[b] = norm(mr, phi), norm(mk+math.Log(800), omega)
			stock[b][0] = norm(k[b]+logFirst, firstSD)
			taken := []Pulse{{50.6, 500 * math.Exp(cut)}}
			grown := Advance(math.Exp(stock[b][0]), 50.4, 51.4, math.Exp(r[b]), math.Exp(k[b]), season, taken, nil)
			stock[b][1] = norm(math.Log(grown), set.SigmaProcess*w)
			if storms[b] = rng.Float64() < set.StormChance; storms[b] {
				stock[b][1] += math.Log(set.StormSurvival)
			}
			for i, o := range beds[b].Surveys {
				lw += distuv.StudentsT{Mu: stock[b][i] - tau*tau/2 + cal, Sigma: tau, Nu: 6}.LogProb(math.Log(o.Kg))
			}
		}
		if v := math.Exp(lw); v > 1e-12 { // NaN and 0 where a take left nothing
			X = append(X, looks(mr, mk, phi, omega, w, cut, cal, storms, r[0], k[0], stock[0][0], stock[1][1]))
			W = append(W, v)
		}
	}
	return weighted(X, W)
}
