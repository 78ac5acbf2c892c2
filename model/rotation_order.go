package model

import "math"

// turnPlan is what the order of the beds of a rotation is chosen from. Years are counted from the first of the calendar.
type turnPlan struct {
	period int
	ready  []int       // by bed: the first year in which it may be cut after its rest
	now    []bool      // by bed: it is cut in year 0 already
	gain   [][]float64 // by bed and year of its first turn: expected yield, kg; as many years as [turnPlan.years]
	shut   [][]bool    // by bed and year: closed all through it; nil: none is
}

// years in which a first turn may lie: those of the period, and as many again for beds that were all cut at once.
func (p *turnPlan) years() int { return 2*p.period - 1 }

// order gives each bed the year of its next turn such that the expected yield of all beds together is largest (best) or
// smallest, among the orders in which beds are spread evenly over the period and each has had its rest. Where what was cut
// before leaves no such order, turns may come up to a period later, and no year takes more than its part. A year in which a
// bed is closed is given to it only where no other can be.
//
// As the yield of a bed depends on no turn but its own, this is a linear assignment of beds to places in years, which is
// solved exactly whatever the number of beds.
//
// References:
//   - Kuhn, H. W.: The Hungarian method for the assignment problem. Naval Research Logistics Quarterly 2 (1955)
func (p *turnPlan) order(best bool) []int {
	sign := 1.0
	if best {
		sign = -1
	}
	forbidden := 1.0
	for _, g := range p.gain {
		for _, x := range g {
			forbidden += 1e3 * math.Abs(x)
		}
	}
	each := (len(p.gain) + p.period - 1) / p.period // most turns in a year
	if turns, ok := p.even(each, sign, forbidden); ok {
		return turns
	}
	turns, _ := p.place(p.slots(p.years(), each), 0, 0, sign, forbidden)
	return turns
}

// even places the beds within the period, each year with one turn less than the most or none less.
func (p *turnPlan) even(each int, sign, forbidden float64) (turns []int, ok bool) {
	var slots []int // the last turn of each year may stay free
	for range each {
		for y := range p.period {
			slots = append(slots, y)
		}
	}
	free := len(slots) - len(p.gain)
	return p.place(slots, free, len(slots)-p.period, sign, forbidden)
}

// slots are the places in so many years, each with the same number; the first year has room for all that are cut in it.
func (p *turnPlan) slots(years, each int) []int {
	var slots []int
	for y := range years {
		n := each
		if y == 0 {
			cut := 0
			for _, now := range p.now {
				if now {
					cut++
				}
			}
			n = max(n, cut)
		}
		for range n {
			slots = append(slots, y)
		}
	}
	return slots
}

// place assigns the beds, and so many free places among the slots from the given one on; ok is false where a bed got a
// year that it may not have.
func (p *turnPlan) place(slots []int, free, from int, sign, forbidden float64) (turns []int, ok bool) {
	n := len(p.gain)
	cost := make([][]float64, n+free)
	for i := range cost {
		cost[i] = make([]float64, len(slots))
		for j, y := range slots {
			switch {
			case i >= n && j < from, i < n && (y < p.ready[i] || p.now[i] && y > 0):
				cost[i][j] = forbidden
			case i < n:
				cost[i][j] = sign * p.gain[i][y]
				if p.shut != nil && p.shut[i][y] {
					cost[i][j] += forbidden / 100 // more than all yields together, less than one forbidden year for tens of beds
				}
			}
		}
	}
	ok = true
	for i, j := range assignLeast(cost) {
		ok = ok && cost[i][j] < forbidden
		if i < n {
			turns = append(turns, slots[j])
		}
	}
	return turns, ok
}

// assignLeast gives each row a column of its own such that the sum of the costs is least; there must be at least as many
// columns as rows. Shortest augmenting paths with potentials; of equal assignments the result is always the same one.
//
// References:
//   - Burkard, R., Dell'Amico, M. and Martello, S.: Assignment Problems (2009), section 4.4
func assignLeast(cost [][]float64) []int {
	n := len(cost)
	if n == 0 {
		return nil
	}
	m := len(cost[0])
	u, v := make([]float64, n+1), make([]float64, m+1)
	rowOf, way := make([]int, m+1), make([]int, m+1) // row of each column, counted from 1; 0: free
	for i := 1; i <= n; i++ {
		rowOf[0] = i
		least, seen := make([]float64, m+1), make([]bool, m+1)
		for j := range least {
			least[j] = math.Inf(1)
		}
		col := 0
		for rowOf[col] != 0 {
			seen[col] = true
			row, next, delta := rowOf[col], 0, math.Inf(1)
			for j := 1; j <= m; j++ {
				if seen[j] {
					continue
				}
				if c := cost[row-1][j-1] - u[row] - v[j]; c < least[j] {
					least[j], way[j] = c, col
				}
				if least[j] < delta {
					delta, next = least[j], j
				}
			}
			for j := range seen {
				if seen[j] {
					u[rowOf[j]] += delta
					v[j] -= delta
				} else {
					least[j] -= delta
				}
			}
			col = next
		}
		for col != 0 {
			rowOf[col] = rowOf[way[col]]
			col = way[col]
		}
	}
	out := make([]int, n)
	for j := 1; j <= m; j++ {
		if rowOf[j] > 0 {
			out[rowOf[j]-1] = j - 1
		}
	}
	return out
}
