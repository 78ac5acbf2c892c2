package plan

import "math"

// LeastCV is the effort of at most so many minutes of work by which the largest sampling coefficient of variation of the
// subjects is least. ok is false where the minutes are fewer than the least effort takes.
func (p Problem) LeastCV(work float64) (Effort, bool) {
	var best Effort
	found := leastTarget(func(cv float64) bool {
		e, ok := p.leastWithin(p.alike(cv), work*(1+1e-12))
		if ok {
			best = e
		}
		return ok
	})
	return best, found
}

// alike is the same target for every subject.
func (p Problem) alike(cv float64) []float64 {
	out := make([]float64, len(p.Subjects))
	for i := range out {
		out[i] = cv
	}
	return out
}

// anyCV is a coefficient of variation that the least effort always meets.
const anyCV = 1e6

// leastTarget finds the least target that can be met, by halving; met must be true from there on upwards, and is called
// last with a target that is met and lies within 1e-10 of the least. It is false where not even [anyCV] is met.
func leastTarget(met func(cv float64) bool) bool {
	if !met(anyCV) {
		return false
	}
	lo, hi := math.Log(1e-6), math.Log(anyCV)
	for hi-lo > 1e-10 {
		if mid := (lo + hi) / 2; met(math.Exp(mid)) {
			hi = mid
		} else {
			lo = mid
		}
	}
	met(math.Exp(hi))
	return true
}

// Budget is what there is for all beds; exactly one is above 0.
type Budget struct {
	Minutes float64 // of the team, with reaching the beds
	Tides   int     // low waters
}

// most is the work that is left for a bed after others have taken so much.
func (b Budget) most(c Costs, minutes float64, tides int) float64 {
	if b.Tides > 0 {
		return float64(max(0, b.Tides-tides)) * (c.Tide - c.Visit) * (1 + 1e-12)
	}
	return (b.Minutes - minutes) * (1 + 1e-12)
}

// Share splits a budget over beds so that the largest sampling coefficient of variation of all subjects of all beds is
// least; what then is left of each bed's own low waters is used there, where low waters are what is counted. ok is false
// where the budget is less than the least efforts of all beds take; need is then what they take.
func Share(beds []Problem, b Budget) (efforts []Effort, need Budget, ok bool) {
	efforts = make([]Effort, len(beds))
	try := func(cv float64) bool {
		minutes, tides := 0.0, 0
		plan := make([]Effort, len(beds))
		for i, p := range beds {
			e, good := p.leastWithin(p.alike(cv), b.most(p.Costs, minutes, tides))
			if cv == anyCV {
				e, good = p.Least(p.alike(cv))
			}
			if !good {
				return false
			}
			work := p.Costs.Work(e)
			minutes, tides, plan[i] = minutes+p.Costs.Minutes(work), tides+p.Costs.Tides(work), e
		}
		if cv == anyCV {
			need = Budget{minutes, tides}
		}
		if b.Minutes > 0 && minutes > b.Minutes*(1+1e-12) || b.Tides > 0 && tides > b.Tides {
			return false
		}
		copy(efforts, plan)
		return true
	}
	if !leastTarget(try) {
		return nil, need, false
	}
	if b.Tides > 0 {
		for i, p := range beds {
			tides := p.Costs.Tides(p.Costs.Work(efforts[i]))
			if e, good := p.LeastCV(float64(tides) * (p.Costs.Tide - p.Costs.Visit)); good {
				efforts[i] = e
			}
		}
	}
	return efforts, need, true
}
