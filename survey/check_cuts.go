package survey

import (
	"fmt"
)

// cuts notes cuts that are not known, those larger than any stock, and those where cutting was not allowed.
func (c *checker) cuts() {
	if !c.f.CutsKnown && !c.faulty(harvestTable.file) {
		const hint = "enter what was cut; a nil return is a row with wet_kg 0"
		if c.read(harvestTable.file) {
			c.found.doubt("harvest.csv", 0, "", hint, "no rows: cuts are not known")
		} else {
			c.found.doubt("harvest.csv", 0, "", hint, "is missing: cuts are not known")
		}
	}
	for i, k := range c.f.Cuts {
		bed := c.bed(k.Bed)
		if bed == nil || k.From == NoDay || k.Cast || c.cutSlips[i] {
			continue
		}
		if area := bed.At(k.From).Area; k.Kg > heaviest*area {
			c.found.doubt("harvest.csv", k.Line, "wet_kg", "weights are in kg wet",
				"%.6g kg is more than %d kg from every m2 of bed %s, %.6g m2", k.Kg, heaviest, k.Bed, area)
		}
	}
	c.lateCuts()
	c.longReturns()
	c.closedCuts()
	c.unallocated()
}

// closedCuts notes cuts from a bed while it was closed, by its status or by a closure; each closure once.
func (c *checker) closedCuts() {
	type closed struct {
		bed, why string
		status   bool
	}
	closures := NewBedIndex(c.f.Closures, func(x Closure) string { return x.Bed })
	var on fold[closed]
	for _, k := range c.cutsOnBeds() {
		bed := c.bed(k.Bed)
		if bed == nil || k.From == NoDay || k.Cast || !(k.Kg > 0) {
			continue
		}
		if p := bed.At(k.From); p.Status == "closed" {
			on.add(closed{k.Bed, since(p), true}, k.Line)
		}
		for _, x := range closures.Of(k.Bed) {
			if (x.Species == "" || x.Species == k.Species) && overlaps(x, k) {
				on.add(closed{k.Bed, fmt.Sprintf("closures.csv line %d, %s: %s", x.Line, fromTo(x.From, x.To), x.Reason), false}, k.Line)
			}
		}
	}
	on.each(func(x closed, line int, also string) {
		if x.status {
			c.found.doubt("harvest.csv", line, "date",
				"mend the date; if the bed was open then, give beds.csv a row for each time, with the day it holds from",
				"cut from bed %s, which beds.csv calls closed then%s%s", x.bed, x.why, also)
			return
		}
		c.found.doubt("harvest.csv", line, "date", "mend the date, the bed or species, or the closure",
			"cut from bed %s during a closure (%s)%s", x.bed, x.why, also)
	})
}

// since says from when and why a bed has its status.
func since(p BedPeriod) string {
	s := ""
	if p.From != NoDay {
		s = " (from " + p.From.String() + ")"
	}
	if p.Reason != "" {
		s += ": " + p.Reason
	}
	return s
}

// overlaps says whether a cut was made while a closure held.
func overlaps(x Closure, k Cut) bool {
	last := k.To
	if last == NoDay {
		last = k.From
	}
	return x.From != NoDay && x.From <= last && (x.To == NoDay || k.From <= x.To)
}

func fromTo(from, to Day) string {
	if to == NoDay {
		return "from " + from.String()
	}
	return from.String() + " to " + to.String()
}

const (
	beyondStock = 3       // times the stock that quadrats show: no cut is so large
	stockDays   = 2 * 366 // a stock surveyed longer before tells little of what could be cut
)

// cutsBeyond notes cuts of more than the quadrats of the survey before could hold, be the species wherever it is not
// weighed as dense as where it is. rs are the surveys of one bed, cuts the places of its cuts in Folder.Cuts.
func (c *checker) cutsBeyond(rs []round, cuts []int) {
	bed := c.f.Beds[rs[0].bed]
	for _, i := range cuts {
		k := &c.f.Cuts[i]
		if k.Cast || c.cutSlips[i] || k.From == NoDay || k.Kg > heaviest*bed.At(k.From).Area {
			continue // noted already
		}
		last := -1
		for j, r := range rs {
			if r.to < k.From {
				last = j
			}
		}
		if last < 0 || k.From-rs[last].to > stockDays {
			continue
		}
		r := rs[last]
		area := bed.At(r.date).Area
		if density, n := c.weighedDensity(r, k.Species); n >= fewestTold && k.Kg > beyondStock*density*area && density > 0 {
			c.found.doubt("harvest.csv", k.Line, "wet_kg", "wet_kg is in kg: typed in g, or a digit too many?",
				"%.6g kg of %s is over %d times what stood on bed %s by the %d quadrats weighed in survey %s, %.3g kg/m2 on %.6g m2",
				k.Kg, k.Species, beyondStock, bed.ID, n, r.label, density, area)
		}
	}
}

// cutRows are the places of all cuts in Folder.Cuts.
func (c *checker) cutRows() []int {
	out := make([]int, len(c.f.Cuts))
	for i := range out {
		out[i] = i
	}
	return out
}

// weighedDensity is the plain mean weight of a species over the quadrats of a survey in which it was weighed, kg/m2,
// and their number.
func (c *checker) weighedDensity(r round, species string) (mean float64, n int) {
	q := &c.f.Quadrats
	for _, row := range r.rows {
		if q.Biomass[row] >= 0 && c.f.Names[q.Species[row]] == species {
			mean += q.Biomass[row] / gramsInKilo / q.weighedArea(int(row))
			n++
		}
	}
	return mean / float64(max(n, 1)), n
}
