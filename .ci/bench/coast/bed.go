package main

import (
	"fmt"
	"math"
	"math/rand/v2"
	"time"

	"gonum.org/v1/gonum/stat/distuv"

	"bedstock/model/growth"
)

// kind is a species: r a year, K in kg/m2 of rock that holds it, kg/m2 at full cover, the share of quadrats holding it.
type kind struct {
	name       string
	r, k, full float64
	occ        [2]float64 // upper and lower stratum
	cut        float64    // fraction of the stock cut in a year, 0: never
	wrack      bool       // shares the rock with the other wracks: a quadrat holds one of them at most
}

// kinds are close to the embedded species table, of which the demo is made too.
var kinds = []kind{
	{name: "Ascophyllum nodosum", wrack: true, r: 0.4, k: 10, full: 17, occ: [2]float64{0.6, 0.2}, cut: 0.12},
	{name: "Fucus serratus", wrack: true, r: 0.7, k: 6, full: 11, occ: [2]float64{0.25, 0.5}, cut: 0.15},
	{name: "Himanthalia elongata", wrack: true, r: 0.8, k: 4, full: 7.5, occ: [2]float64{0.1, 0.25}},
	{name: "Laminaria digitata", r: 0.8, k: 10, full: 17, occ: [2]float64{0.1, 0.7}, cut: 0.18},
	{name: "Palmaria palmata", r: 2, k: 1.6, full: 3, occ: [2]float64{0.3, 0.5}},
}

const (
	firstYear, years = 2021, 6
	transects        = 5 // a stratum
	quadrats         = 4 // a transect
	quadratM2        = 0.25
	sigma            = 0.15 // process noise per root year
	permits          = 2    // that cut a stand
)

// bed is one bed and what truly stands on it.
type bed struct {
	i     int
	id    string
	areas [2]float64
	rng   *rand.Rand
	storm bool // in the winter of 2023 to 2024
	lives []life
}

// life is what became of one species: the stock at each survey, and what was cut after it until the next.
type life struct {
	stock, cut [years]float64
}

func newBed(i int) *bed {
	b := &bed{i: i, id: fmt.Sprintf("b%05d", i+1), rng: rand.New(rand.NewPCG(1, uint64(i))), storm: i%6 == 5}
	b.areas = [2]float64{2000 + float64(b.rng.IntN(3000)), 2000 + float64(b.rng.IntN(3000))}
	for _, kd := range kinds[:most] {
		b.lives = append(b.lives, b.live(kd))
	}
	return b
}

// holds is the area that holds a species, m2.
func (b *bed) holds(kd kind) float64 { return b.areas[0]*kd.occ[0] + b.areas[1]*kd.occ[1] }

// live runs a stand from survey to survey by the exact logistic map; a cut is taken in the middle of the year.
func (b *bed) live(kd kind) (l life) {
	r, k := kd.r*b.spread(0.1), kd.k*b.spread(0.12)*b.holds(kd)
	stock := 0.75 * k * b.spread(0.15)
	for y := range years {
		l.stock[y] = math.Min(stock*b.spread(sigma), 0.9*kd.full*b.holds(kd))
		l.cut[y] = math.Round(l.stock[y]*kd.cut*b.spread(0.1)/permits) * permits
		u := growth.TakeKg(growth.Grow(1/l.stock[y], r/2, 1/k), l.cut[y])
		stock = 1 / growth.Grow(u, r/2, 1/k)
		if b.storm && firstYear+y == 2023 {
			stock *= 0.6
		}
	}
	return l
}

// spread draws a lognormal of median 1.
func (b *bed) spread(sd float64) float64 { return math.Exp(sd * b.rng.NormFloat64()) }

// beta draws from a beta distribution of a mean and concentration.
func (b *bed) beta(mean, concentration float64) float64 {
	return distuv.Beta{Alpha: mean * concentration, Beta: (1 - mean) * concentration, Src: b.rng}.Rand()
}

// surveyed is the day of a survey: another one for beds that follow each other, since nobody is everywhere at once.
func (b *bed) surveyed(y int) time.Time {
	return time.Date(firstYear+y, 7, 10+b.i%28, 0, 0, 0, 0, time.UTC)
}

func date(t time.Time) string { return t.Format(time.DateOnly) }
