package growth

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/stat/distuv"
)

var (
	foreseenPrior  = Prior{R: 0.6, RCV: 0.4, K: 5, KCV: 0.3}
	foreseenSeason = Season{Amplitude: 0.5, Peak: 0.4}
	foreseenSet    = Settings{StormChance: 0.2, StormSurvival: 0.6, SigmaProcess: 0.3, SigmaR: 0.05, SigmaK: 0.05, Draws: 800, Stream: "foreseen"}
)

// foreseenBed draws five yearly surveys of one bed from the model itself, with an error in common and errors of their own;
// false where a take left nothing.
func foreseenBed(rng *rand.Rand, set Settings) (BedSeries, bool) {
	norm := func(m, s float64) float64 { return m + s*rng.NormFloat64() }
	b := BedSeries{Bed: "a", Series: Series{Area: 1000, Occ: 0.8, CutsKnown: true, Cuts: []Pulse{{50.7, 300}, {52.6, 300}}}}
	logR := norm(math.Log(foreseenPrior.R), math.Hypot(logSD(foreseenPrior.RCV), set.SigmaR*rng.NormFloat64()))
	logK := norm(math.Log(foreseenPrior.K*800), math.Hypot(logSD(foreseenPrior.KCV), set.SigmaK*rng.NormFloat64()))
	sigma := math.Abs(norm(0, set.SigmaProcess))
	logB, c := norm(logK+math.Log(firstShare), firstSD), norm(0, logSD(0.2))
	for i := range 5 {
		T := 50.4 + float64(i)
		if i > 0 {
			next := Advance(math.Exp(logB), T-1, T, math.Exp(logR), math.Exp(logK), foreseenSeason, b.Cuts, nil)
			if next == 0 {
				return b, false
			}
			logB = norm(math.Log(next), sigma)
			if rng.Float64() < set.StormChance {
				logB += math.Log(set.StormSurvival)
			}
		}
		tau := logSD(0.25)
		e := rng.NormFloat64() / math.Sqrt(distuv.ChiSquared{K: 8, Src: rng}.Rand()/8)
		b.Surveys = append(b.Surveys, Observation{T: T, Kg: math.Exp(logB - tau*tau/2 + c + tau*e), CV: 0.25, DF: 8, Shared: []Shared{{"area", 0.2}}})
	}
	return b, true
}

func foreseen(b BedSeries, set Settings) Predictive {
	p := SampleBeds([]BedSeries{b}, foreseenPrior, foreseenSeason, nil, set)
	return p.Beds[0].Foresee(b, foreseenSeason, set)
}

// On surveys simulated from the model the probabilities of finding less are uniform, survey by survey, and so is that of
// all surveys of a bed together. The Kolmogorov-Smirnov distance has the 0.1 % point 1.95/sqrt(n) (Smirnov 1948); the
// surveys of a bed are nearly independent. With 600 beds the distances were 0.016, 0.044 and 0.032 and 36 of 3000 surveys
// were unexpected.
func TestForeseenIsUniform(t *testing.T) {
	const sims = 40
	rng := rand.New(rand.NewPCG(3, 8))
	var ps, last, beds []float64
	odd := 0
	for n := 0; n < sims; {
		b, ok := foreseenBed(rng, foreseenSet)
		if !ok {
			continue
		}
		set := foreseenSet
		set.Seed = uint64(n)
		n++
		f := foreseen(b, set)
		require.Equal(t, 5, f.Checked)
		for i, s := range f.Surveys {
			if i > 0 {
				ps = append(ps, s.P)
			}
		}
		last = append(last, f.Surveys[4].P)
		beds = append(beds, f.P)
		odd += f.Unexpected
	}
	for name, p := range map[string][]float64{"surveys": ps, "last surveys": last, "beds": beds} {
		d := ks(p)
		_, v := meanVariance(p)
		t.Logf("%s: distance from uniform %.3f of n %d, sd %.3f (uniform 0.289)", name, d, len(p), math.Sqrt(v))
		assert.Less(t, d, 1.95/math.Sqrt(float64(len(p))), name)
		approx(t, "sd of "+name, math.Sqrt(v), math.Sqrt(1./12), 0, 0.04)
	}
	t.Logf("unexpected: %d of %d", odd, 5*sims)
	assert.LessOrEqual(t, odd, 5*sims/20, "one in a hundred is, by chance")
}

// ks is the Kolmogorov-Smirnov distance of values from the uniform distribution.
func ks(p []float64) float64 {
	x := slices.Sorted(slices.Values(p))
	d, n := 0.0, float64(len(x))
	for i, v := range x {
		d = max(d, math.Abs(v-float64(i)/n), math.Abs(v-float64(i+1)/n))
	}
	return d
}

// A survey a third or three times of what it should be is named; one is not blamed for its neighbour.
func TestOddSurveyIsUnexpected(t *testing.T) {
	b := BedSeries{Bed: "a", Series: Series{Area: 1000, Occ: 0.8, CutsKnown: true}}
	for i := range 6 {
		b.Surveys = append(b.Surveys, Observation{T: 50 + float64(i), Kg: 3500, CV: 0.1, DF: 12})
	}
	set := foreseenSet
	set.SigmaProcess, set.StormChance = 0.1, 0
	quiet := foreseen(b, set)
	assert.Zero(t, quiet.Unexpected)
	assert.Greater(t, quiet.P, 0.05)
	for _, factor := range []float64{1. / 3, 3} {
		b.Surveys[3].Kg = 3500 * factor
		f := foreseen(b, set)
		assert.True(t, f.Surveys[3].Unexpected, "%v: %+v", factor, f.Surveys[3])
		assert.False(t, f.Surveys[2].Unexpected, "%v: %+v", factor, f.Surveys[2])
		assert.Less(t, f.P, 0.01)
		assert.Equal(t, factor > 1, f.Surveys[3].P > 0.5)
	}
}

// An error that all surveys share says nothing of how they differ: the forecast is hardly wider for it.
func TestForeseenSharedErrors(t *testing.T) {
	width := func(cv float64) float64 {
		b := BedSeries{Bed: "a", Series: Series{Area: 1000, Occ: 0.8, CutsKnown: true}}
		for i := range 6 {
			b.Surveys = append(b.Surveys, Observation{T: 50 + float64(i), Kg: 3000, CV: 0.1, DF: 30, Shared: []Shared{{"area", cv}}})
		}
		set := foreseenSet
		set.Draws = 12000 // for widths to within a few percent
		e := foreseen(b, set).Surveys[5].Expected
		return math.Log(e.Hi / e.Lo)
	}
	assert.InDelta(t, width(0), width(0.4), 0.12)
}

// A survey that found none is set against the probability of finding none.
func TestForeseenNone(t *testing.T) {
	b := BedSeries{Bed: "a", Series: Series{Area: 1000, Occ: 0.8, CutsKnown: true}}
	for i := range 5 {
		b.Surveys = append(b.Surveys, Observation{T: 50 + float64(i), Kg: 3000, CV: 0.2, DF: 9, PSU: 10, Area: 1000, Dense: 5})
	}
	b.Surveys[4].Kg = 0
	s := foreseen(b, foreseenSet).Surveys[4]
	assert.True(t, s.Unexpected, "10 units, more than half of the bed covered: %+v", s)
	assert.Less(t, s.PNone, 0.02)
	for i := range b.Surveys { // a patchy stand: some 0.6 units are expected to hold it
		b.Surveys[i].Kg /= 10
		b.Surveys[i].Dense = 10
		b.Surveys[i].PSU = 20
	}
	s = foreseen(b, foreseenSet).Surveys[4]
	assert.False(t, s.Unexpected, "%+v", s)
	assert.Greater(t, s.PNone, 0.1)
	assert.Zero(t, s.Expected.Lo)
}

func TestNotForeseen(t *testing.T) {
	b := BedSeries{Bed: "a", Series: Series{Area: 1000, Occ: 0.8}}
	for i := range 3 {
		b.Surveys = append(b.Surveys, Observation{T: 50 + float64(i), Kg: 3000, CV: 0.2, DF: 9})
	}
	f := foreseen(b, foreseenSet)
	assert.Equal(t, 1, f.Checked, "the first; the cuts before the others are not known")
	assert.Equal(t, "not checked", f.Surveys[2].Status)
	assert.Contains(t, f.Surveys[2].Reason, "cut")
	assert.True(t, math.IsNaN(f.Surveys[2].P))
	none := Posterior{Status: notKnown, Reason: "no survey found it"}.Foresee(b, foreseenSeason, foreseenSet)
	assert.Len(t, none.Surveys, 3)
	assert.True(t, math.IsNaN(none.P))
	assert.Equal(t, "no survey found it", none.Surveys[0].Reason)
	b.CutsKnown = true
	first, again := foreseen(b, foreseenSet), foreseen(b, foreseenSet)
	assert.Equal(t, fmt.Sprint(first), fmt.Sprint(again), "same seed, same numbers")
}
