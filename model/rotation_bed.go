package model

import (
	"math"
	"slices"

	"bedstock/model/growth"
	"bedstock/model/offtake"
	"bedstock/survey"
)

// bedTurns is what is known of a bed for the order of its rotation.
type bedTurns struct {
	last   int               // last year before the calendar in which it was cut; 0: none that counts
	cutNow bool              // it is cut in the first year of the calendar already
	gain   []float64         // expected yield by year of its next turn, kg over all years
	first  []growth.Interval // expected at that turn, kg
	note   string
	shut   []bool // by year of the next turn: closed all through it
}

func (b *bedTurns) lastShown(from int) int {
	if b.cutNow {
		return from
	}
	return b.last
}

// bedTurns follows the stands of a bed under each year in which its next turn may come.
func (a *assessor) bedTurns(r *Rotation, bed string, units []*Unit, turns int) *bedTurns {
	nan := math.NaN()
	b := &bedTurns{gain: make([]float64, turns), first: make([]growth.Interval, turns), shut: make([]bool, turns)}
	for t := range b.shut {
		b.shut[t] = !slices.ContainsFunc(units, func(u *Unit) bool { return u.Bed == bed && !a.closedAllYear(u, r.From+t) })
	}
	sums := make([][]float64, turns)
	a.cutYears(bed, r, b)
	for _, u := range units {
		if u.Bed != bed {
			continue
		}
		basis, reason := (*Basis)(nil), u.Growth.Reason
		if u.Growth.Status == "ok" {
			basis, reason = a.basis(u, len(u.Times)-1, survey.NoDay)
		}
		if basis == nil {
			b.note = orElse(reason, "not assessed")
			continue
		}
		shift := r.From - basis.Open.Year()
		ahead := offtake.NewForesight(basis.Stand, a.out.Rules.restOf(r.RotationRule), r.Years+max(shift, 0))
		for t := range turns {
			first, kg := ahead.Yield(a.turnYears(u, r, t, shift))
			b.gain[t] += kg
			sums[t] = plus(sums[t], first)
		}
	}
	known := false
	for t, sum := range sums {
		b.first[t] = growth.Interval{Median: nan, Lo: nan, Hi: nan}
		if sum != nil {
			known = true
			tail := (1 - a.confidence) / 2
			b.first[t] = growth.Interval{Median: offtake.Quantile(sum, 0.5), Lo: offtake.Quantile(sum, tail), Hi: offtake.Quantile(sum, 1-tail)}
		}
	}
	switch {
	case known:
		b.note = ""
	case b.note == "":
		b.note = "never surveyed"
		if slices.ContainsFunc(units, func(u *Unit) bool { return u.Bed == bed }) {
			b.note = "closed in every year of its turn: take it out of the rotation"
		}
	}
	return b
}

func plus(sum, x []float64) []float64 {
	if sum == nil {
		return x
	}
	for i := range x {
		sum[i] += x[i]
	}
	return sum
}

// turnYears are the years ahead of the stand in which it is cut if its next turn comes in year t of the calendar: those
// of its turns in which it is not closed all the time.
func (a *assessor) turnYears(u *Unit, r *Rotation, t, shift int) []int {
	var out []int
	for y := t; y < r.Years; y += r.Period {
		ahead := max(y+shift, 0)
		if !a.closedAllYear(u, r.From+y) && (len(out) == 0 || ahead > out[len(out)-1]) {
			out = append(out, ahead)
		}
	}
	return out
}

// closedAllYear tells whether no day of the unit's seasons of a year is open.
func (a *assessor) closedAllYear(u *Unit, year int) bool {
	for _, s := range a.out.Rules.SeasonsOf(u.Species) {
		from, to := after(s, survey.MakeDay(year-1, 12, 31))
		if open, _ := opens(a.closures(u), from); open <= to {
			return false
		}
	}
	return true
}

// cutYears notes the years in which a bed was cut: that of the season in which a cut lies, else that of the cut. A species
// that no survey found counts too.
func (a *assessor) cutYears(bed string, r *Rotation, b *bedTurns) {
	for _, c := range a.out.Folder.Cuts {
		if c.Bed != bed || c.Cast || !(c.Kg > 0) || !r.holds(Pair{c.Bed, c.Species}) {
			continue
		}
		switch year := a.seasonYear(c.Species, c.From); {
		case year < r.Start:
		case year >= r.From:
			b.cutNow = true
		case year > b.last:
			b.last = year
		}
	}
}

func (a *assessor) seasonYear(species string, day survey.Day) int {
	for _, s := range a.out.Rules.SeasonsOf(species) {
		if from, to := current(s, day); from <= day && day <= to {
			return from.Year()
		}
	}
	return day.Year()
}
