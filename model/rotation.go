package model

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"bedstock/model/growth"
	"bedstock/model/offtake"
	"bedstock/survey"
)

// Rotation is the calendar of a group of beds that are cut in turn.
type Rotation struct {
	RotationRule
	From  int    // first year of the calendar
	Turns []Turn // by year and bed; each comes again every Period years
	// Expected yield of all beds together, kg a year over Years years: of the order that is shown, and of the one among
	// the allowed that yields least. NaN where nothing is known of any bed.
	YieldKg, LeastKg float64
	Years            int
}

// Turn is the year in which a bed is next cut.
type Turn struct {
	Bed     string
	Year    int
	LastCut int             // year of the last cut that counts; 0: none
	Kg      growth.Interval // expected at that turn, all its species together; NaN: not known
	Note    string          // why it is not known or what stands against it
}

// YearOf tells whether a bed has its turn in a year.
func (r Rotation) YearOf(bed string, year int) bool {
	t := r.turn(bed)
	return t != nil && year >= t.Year && (year-t.Year)%r.Period == 0
}

// Next is the first turn of a bed in a year or after it.
func (r Rotation) Next(bed string, year int) int {
	t := r.turn(bed)
	if t == nil {
		return 0
	}
	next := t.Year
	for next < year {
		next += r.Period
	}
	return next
}

func (r Rotation) turn(bed string) *Turn {
	for i := range r.Turns {
		if r.Turns[i].Bed == bed {
			return &r.Turns[i]
		}
	}
	return nil
}

// rotates tells whether a unit is needed for the order of a rotation in which a unit that is asked for takes its turn.
func (a *assessor) rotates(p Pair) bool {
	x := a.out.Rules.rotation(p)
	return x != nil && slices.ContainsFunc(a.all, func(u *Unit) bool { return x.holds(u.Pair) && a.out.keeps(u.Pair) })
}

// rotate works out the calendar of each rotation of which a unit is asked for.
func (a *assessor) rotate() {
	for _, x := range a.out.Rules.Rotations {
		var units []*Unit
		asked := false
		for _, u := range a.all {
			if x.holds(u.Pair) {
				units = append(units, u)
				asked = asked || a.out.keeps(u.Pair)
			}
		}
		if asked {
			a.out.Rotations = append(a.out.Rotations, a.calendar(x, units))
		}
	}
}

// calendar gives each bed of a rotation the year of its next turn.
func (a *assessor) calendar(x RotationRule, units []*Unit) Rotation {
	now := a.yearNow(units)
	r := Rotation{RotationRule: x, From: max(now, x.Start), Years: x.Period}
	for r.Years < max(a.out.Rules.Offtake.Horizon, 2*x.Period) {
		r.Years += x.Period
	}
	plan := turnPlan{period: x.Period, ready: make([]int, len(x.Beds)), now: make([]bool, len(x.Beds)), gain: make([][]float64, len(x.Beds))}
	seen := make([]*bedTurns, len(x.Beds))
	eachOf(len(x.Beds), func(i int) { seen[i] = a.bedTurns(&r, x.Beds[i], units, plan.years()) })
	for i, b := range seen {
		plan.gain[i] = b.gain
		plan.shut = append(plan.shut, b.shut)
		if b.last > 0 {
			plan.ready[i] = max(b.last+x.Period-r.From, 0)
		}
		plan.now[i] = b.cutNow && plan.ready[i] == 0
	}
	best, worst := plan.order(true), plan.order(false)
	known := false
	for i, y := range best {
		b := seen[i]
		known = known || b.note == ""
		if b.note == "" && math.IsNaN(b.first[y].Median) {
			b.note = "closed in that year"
		}
		r.Turns = append(r.Turns, Turn{Bed: x.Beds[i], Year: r.From + y, LastCut: b.lastShown(r.From), Kg: b.first[y], Note: b.note})
		r.YieldKg += b.gain[y] / float64(r.Years)
		r.LeastKg += b.gain[worst[i]] / float64(r.Years)
	}
	if !known {
		r.YieldKg, r.LeastKg = math.NaN(), math.NaN()
	}
	slices.SortStableFunc(r.Turns, func(s, t Turn) int { return cmp.Or(s.Year-t.Year, cmp.Compare(s.Bed, t.Bed)) })
	return r
}

// yearNow is the year of the running or next season of a group.
func (a *assessor) yearNow(units []*Unit) int {
	now := 0
	for _, u := range units {
		for _, s := range a.out.Rules.SeasonsOf(u.Species) {
			if from, _ := current(s, a.out.Folder.AsOf); now == 0 || from.Year() < now {
				now = from.Year()
			}
		}
	}
	if now == 0 {
		return a.out.Folder.AsOf.Year()
	}
	return now
}

// outOfTurn gives the next turn of a unit where a season that begins on a day is not in its turn; ok is false where it is,
// or where it takes no turns.
func (a *assessor) outOfTurn(u *Unit, from survey.Day) (r *Rotation, next int, ok bool) {
	for i := range a.out.Rotations {
		x := &a.out.Rotations[i]
		if x.holds(u.Pair) && from.Year() >= x.From && !x.YearOf(u.Bed, from.Year()) {
			return x, x.Next(u.Bed, from.Year()), true
		}
	}
	return nil, 0, false
}

// turn shuts a season in which it is not the unit's turn.
func (a *assessor) turn(u *Unit, s *Season) {
	if s.Status == Closed {
		return
	}
	if r, next, ok := a.outOfTurn(u, s.From); ok {
		s.Turn = next
		s.shut(Resting, offtake.ByRest, fmt.Sprintf("its turn in the rotation %s is %d", r.Name, next))
		a.cutWhileShut(u, s)
	}
}
