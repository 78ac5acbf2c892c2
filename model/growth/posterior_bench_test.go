package growth

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"sync"
	"testing"
)

// fiveSurveys is an invented bed of 1 ha: five yearly surveys with an error in common, four cuts and a storm.
func fiveSurveys() (Series, Prior, Season, []PlotEvidence, Settings) {
	area := Shared{ID: "area", CV: 0.05}
	conversion := Shared{ID: "conversion", CV: 0.1}
	s := Series{Area: 10000, Occ: 0.7, CutsKnown: true,
		Events: []Storm{{T: 52.1, Left: math.NaN()}},
		Cuts:   []Pulse{{T: 50.8, Kg: 9000}, {T: 51.7, Kg: 8000}, {T: 53.7, Kg: 11000}, {T: 53.9, Kg: 2000}}}
	for i, kg := range []float64{52000, 47000, 45000, 41000, 38000} {
		s.Surveys = append(s.Surveys, Observation{T: 50.45 + float64(i), Kg: kg, CV: 0.18, DF: 9, PSU: 12, Area: 10000,
			Dense: 7, Shared: []Shared{area, conversion, {ID: "year" + strconv.Itoa(i), CV: 0.08}}})
	}
	set := Settings{Seed: 1, Stream: "posterior|wrack|bed", Draws: 4000, StormChance: 0.1, StormSurvival: 0.7,
		SigmaProcess: 0.3, SigmaR: 0.3, SigmaK: 0.5}
	return s, Prior{R: 0.5, RCV: 0.5, K: 9, KCV: 0.4}, Season{Amplitude: 0.5, Peak: 0.35},
		[]PlotEvidence{{LogR: -0.5, SE: 0.3, Years: 2}, {LogR: -0.8, SE: 0.25, Years: 2}}, set
}

func BenchmarkSampleFiveSurveys(b *testing.B) {
	s, prior, season, plots, set := fiveSurveys()
	for b.Loop() {
		Sample(s, prior, season, plots, set)
	}
}

// BenchmarkPool samples the two coasts of testdata/pool_*.csv and reports the effective draws a second of r, K and the stocks,
// smallest over the beds, warm-up included, and the time a sweep and bed. .ci/long/jagsspeed sets it beside JAGS.
func BenchmarkPool(b *testing.B) {
	for _, name := range []string{"three", "six"} {
		b.Run(name, func(b *testing.B) {
			beds, plots := jagsCase(b, name)
			set := jagsSet
			set.Draws = 4000
			ess := 0.0
			for b.Loop() {
				p := SampleBeds(beds, jagsPrior, jagsSeason, plots, set)
				least := p.Beds[0].ESS
				for _, post := range p.Beds {
					least = min(least, post.ESS)
				}
				ess += least
			}
			b.ReportMetric(ess/b.Elapsed().Seconds(), "ess/s")
		})
	}
}

// BenchmarkSixtyBedSeries is the posterior of five species on twelve beds, six surveys each: the size of a coast of a small
// team.
func BenchmarkSixtyBedSeries(b *testing.B) {
	s, prior, season, plots, set := fiveSurveys()
	last := s.Surveys[4]
	last.T++
	s.Surveys = append(s.Surveys, last)
	var beds []BedSeries
	for i := range 12 {
		one := s
		one.Surveys = slices.Clone(s.Surveys)
		for k := range one.Surveys {
			o := &one.Surveys[k]
			o.Kg *= 0.7 + 0.05*float64((i*7+k*3)%12)
			o.Shared = []Shared{{fmt.Sprint("area", i), 0.05}, {"conversion", 0.1}, {fmt.Sprint("own", i, k), 0.08}}
		}
		beds = append(beds, BedSeries{fmt.Sprint("bed ", i), one})
	}
	for b.Loop() {
		var wg sync.WaitGroup
		for range 5 {
			wg.Go(func() { SampleBeds(beds, prior, season, plots, set) })
		}
		wg.Wait()
	}
}

func BenchmarkDensityFiveSurveys(b *testing.B) {
	c := testRun(b).chains[0].beds[0]
	for b.Loop() {
		c.w.mapR = math.NaN() // forget what was worked out
		c.g.density(c.x, c.storms, c.w)
	}
}

func BenchmarkPathAdvance(b *testing.B) {
	s, _, season, _, _ := fiveSurveys()
	p := NewPath(season, 50, 51, s.Cuts, nil, 0.7)
	u := 1 / 50000.0
	for b.Loop() {
		p.Advance(u, 0.5, 1.0/60000)
	}
}

func BenchmarkGrow(b *testing.B) {
	u := 1 / 50000.0
	for b.Loop() {
		u = Grow(u, 0.5, 1.0/60000)
	}
}

func BenchmarkChartFiveSurveys(b *testing.B) {
	r := testRun(b)
	c := r.chains[0].beds[0]
	for b.Loop() {
		r.beds[0].frame.forward(c.v, c.xn, c.storms, c.w)
	}
}
