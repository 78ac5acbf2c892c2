package makedemo

import (
	"cmp"
	"math"
	"math/rand/v2"
	"slices"
)

const (
	sigma        = 0.15 // process noise per root year
	speciesRSD   = 0.12 // of log r of a species about the table
	speciesKSD   = 0.12 // of log k
	bedRSD       = 0.08 // of log r of a bed about its species
	bedKSD       = 0.12 // of log K
	startSD      = 0.06 // of log of the stock at the first survey
	mostOfRoom   = 0.93 // the noise lifts no stock above this share of what full cover everywhere would weigh
	grantSD      = 0.08 // of log of what is granted about what the plan says
	greedSD      = 0.04 // of log of what is cut about what was granted
	mostOfStock  = 0.85 // of what stands can be cut in a season
	daysOfSeason = 4    // last days of a season on which nobody starts to cut
)

// grown is the stock after growing undisturbed between two times (years):
//
//	1/B(t2) = e^-R / B(t1) + (1 - e^-R) / K,   R = r [ (t2-t1) + a/(2π) ( sin 2π(t2-tp) - sin 2π(t1-tp) ) ]
func grown(b, r, k float64, kd kind, t1, t2 float64) float64 {
	if b <= 0 {
		return 0
	}
	tp := 0.0
	if kd.peak > 0 {
		tp = (kd.peak - 1) / 12
	}
	swing := math.Sin(2*math.Pi*(t2-tp)) - math.Sin(2*math.Pi*(t1-tp))
	e := math.Exp(-r * (t2 - t1 + kd.amplitude/(2*math.Pi)*swing))
	return 1 / (e/b + (1-e)/k)
}

// granted is one decision and the season it is for.
type granted struct {
	season int
	kg     float64
}

// cut is what left the bed on one day or within a few.
type cut struct {
	from, to int // days
	kg       float64
	permit   string
	season   int
}

// middle is the time of a cut, in days.
func (c cut) middle() float64 { return float64(c.from+c.to) / 2 }

// history is what happened to one stand.
type history struct {
	stocks  []float64 // kg on each survey date
	granted []granted
	cuts    []cut // in the order of time
}

// step is one thing that happens to a stand, at a time in days.
type step struct {
	at   float64
	rank int // order on the same day
	do   func()
}

// live runs a stand from its first survey to the day of the assessment. surveys are days, room is the kg at full cover
// on each of them.
func live(rng *rand.Rand, b bed, st stand, r, k float64, surveys []int, room []float64) history {
	var out history
	kd := kinds[st.species]
	stock := k * st.start * lognormal(rng, startSD)
	now := float64(surveys[0])
	advance := func(to float64) {
		stock = grown(stock, r, k, kd, years(now), years(to))
		now = to
	}
	last := now
	var steps []step
	for i, d := range surveys {
		z := rng.NormFloat64()
		steps = append(steps, step{float64(d), 0, func() {
			stock = min(stock*math.Exp(sigma*math.Sqrt(years(now-last))*z), mostOfRoom*room[i])
			last = now
			out.stocks = append(out.stocks, stock)
		}})
	}
	for _, e := range events {
		if e.bed == b.id {
			steps = append(steps, step{float64(day(e.date)), 1, func() { stock *= e.left }})
		}
	}
	take := func(c cut) step {
		return step{c.middle(), 3, func() {
			stock -= c.kg
			out.cuts = append(out.cuts, c)
		}}
	}
	run := func() {
		slices.SortStableFunc(steps, func(x, y step) int { return cmp.Or(cmp.Compare(x.at, y.at), cmp.Compare(x.rank, y.rank)) })
	}
	for i, s := range seasons {
		if st.plan == nil || st.plan.rate[i] < 0 {
			continue
		}
		steps = append(steps, step{float64(s.from), 2, func() {
			g, cuts := st.plan.grant(rng, i, stock, k)
			out.granted = append(out.granted, g)
			for _, c := range cuts {
				steps = append(steps, take(c))
			}
		}})
	}
	run()
	for len(steps) > 0 {
		next := steps[0]
		steps = steps[1:]
		advance(next.at)
		next.do()
		run()
	}
	return out
}

// grant decides on a season and says what is cut in it up to the day of the assessment.
func (p *plan) grant(rng *rand.Rand, i int, stock, k float64) (granted, []cut) {
	s := seasons[i]
	of := stock * lognormal(rng, grantSD)
	if p.fixed {
		of = k
	}
	g := granted{i, tidyKg(of * p.rate[i] * s.share)}
	total := min(g.kg*p.greed*lognormal(rng, greedSD), mostOfStock*stock)
	return g, p.tides(rng, i, total)
}

// tides splits what is cut in a season over permits and days.
func (p *plan) tides(rng *rand.Rand, i int, total float64) []cut {
	if total <= 0 {
		return nil
	}
	s := seasons[i]
	n := len(p.permits)
	if total > 3000 {
		n *= 2
	}
	weights := make([]float64, n)
	for j := range weights {
		weights[j] = 0.5 + rng.Float64()
	}
	whole := sum(weights)
	var out []cut
	for j, w := range weights {
		c := cut{permit: p.permits[j%len(p.permits)], season: i, kg: total * w / whole}
		c.from = s.from + rng.IntN(s.to-s.from-daysOfSeason)
		c.to = c.from
		if c.kg > 1500 || rng.Float64() < 0.25 {
			c.to += 1 + rng.IntN(daysOfSeason)
		}
		step := 1.0
		if c.kg > 200 {
			step = 5
		}
		c.kg = roundTo(c.kg, step)
		if c.kg > 0 && c.to <= day(AsOf) {
			out = append(out, c)
		}
	}
	slices.SortStableFunc(out, func(x, y cut) int { return cmp.Compare(x.from, y.from) })
	return out
}

// tidyKg rounds what is granted as people do: to two digits.
func tidyKg(kg float64) float64 {
	if kg <= 0 {
		return 0
	}
	return roundTo(kg, math.Pow(10, math.Floor(math.Log10(kg))-1))
}
