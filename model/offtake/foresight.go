package offtake

import (
	"fmt"
	"math"
)

// Foresight follows a stand over coming years to tell what cuts in some of them are expected to yield. Every plan that is
// tried meets the same chances.
type Foresight struct {
	s       Stand
	p       *paths
	most    []float64 // highest fraction of the whole stock that is cut, by draw
	limit   float64
	trigger float64
}

// NewForesight looks so many years ahead under rules in which rest_years says how long a stand rests between two cuts. At
// each cut a draw gives
//
//	min(exploitable share * cap fraction, h*) * low stock * B
//
// with h* its own fraction for most yield (see [Pulse]) and low stock the way from limit to trigger at which it stands:
// what the limits of [Advise] come to once a survey has told the stock. It panics on a stand or rules that cannot be
// worked with and on less than a year.
func NewForesight(s Stand, rules Rules, years int) *Foresight {
	mustFit(s, rules)
	rules.Horizon = years
	mustFit(s, rules) // the years ahead must hold the rest too
	fraction, _ := capFraction(s, rules)
	f := &Foresight{s: s, most: make([]float64, len(s.B)), limit: rules.LimitOfK, trigger: rules.TriggerOfK}
	period := float64(rules.RestYears + 1)
	storms := StormFactor(rules.StormChance, rules.StormSurvival, period)
	for i, r := range s.R {
		f.most[i] = s.Exploitable * fraction
		if !s.Annual {
			f.most[i] = min(f.most[i], Pulse(r, s.K[i], period, storms).Fraction)
		}
	}
	f.p = newPaths(s, rules)
	return f
}

// Yield is what cuts at the start of the given years (0: now; in rising order, all within the years looked ahead) give,
// kg: the first of them by draw, and all together, expected over the draws. Without a cut it gives nil and 0. An annual
// stands in every year as it stands now. It panics on years in another order or out of sight.
func (f *Foresight) Yield(years []int) (first []float64, total float64) {
	for i, y := range years {
		if y < 0 || y >= f.p.years || i > 0 && y <= years[i-1] {
			panic(fmt.Sprintf("offtake: cuts in the years %v of %d", years, f.p.years))
		}
	}
	if len(years) == 0 {
		return nil, 0
	}
	first = make([]float64, f.p.n)
	for i := range first {
		cut, all := f.follow(i, years)
		first[i] = cut
		total += all / float64(f.p.n)
	}
	return first, total
}

// follow is draw i under cuts in the given years.
func (f *Foresight) follow(i int, years []int) (first, all float64) {
	v, next := f.p.floor[i]/f.p.b[i], 0
	for y := 0; next < len(years); y++ {
		if years[next] == y {
			h := f.most[i] * lowStockFactor(f.limit/v, f.limit, f.trigger)
			cut := h * f.p.floor[i] / v
			if next == 0 {
				first = cut
			}
			all += cut
			next++
			if !f.s.Annual {
				v /= math.Max(1-h, nothing)
			}
		}
		if !f.s.Annual {
			keep, gain := f.p.at(i, y)
			v = v*keep + gain
		}
	}
	return first, all
}
