package survey

import (
	"slices"
)

// bedsUnseen notes beds without a visited quadrat, all of them at once.
func (c *checker) bedsUnseen(rs []round) {
	seen := make([]bool, len(c.f.Beds))
	for _, r := range rs {
		seen[r.bed] = seen[r.bed] || len(r.rows) > 0
	}
	var beds []string
	line := 0
	for i, b := range c.f.Beds {
		if !seen[i] {
			if beds == nil {
				line = b.Periods[0].Line
			}
			beds = append(beds, b.ID)
		}
	}
	if beds != nil {
		c.found.doubt("beds.csv", line, "bed", "", "%s without a visited quadrat in quadrats.csv, what stands there is not known: %s",
			plural("bed", len(beds)), some(beds, 8))
	}
}

// transectsUnseen notes transects that were visited in both of the two surveys before the last one, and not in that,
// with no row that says why. Where the last has none of the transects before it, they were laid anew.
func (c *checker) transectsUnseen(rs []round) {
	n := len(rs)
	if n < 3 || rs[n-1].to > c.f.AsOf {
		return // not over yet
	}
	last, before := c.transectsOf(rs[n-1].rows), c.transectsOf(rs[n-2].rows)
	earlier := c.transectsOf(rs[n-3].rows)
	recur := slices.DeleteFunc(before, func(t transectOf) bool { return !slices.Contains(earlier, t) })
	strata := len(c.strata[c.f.Beds[rs[0].bed].ID]) > 0
	var missed []string
	for _, t := range recur {
		relaid := !slices.ContainsFunc(recur, func(o transectOf) bool {
			return o.stratum == t.stratum && slices.Contains(last, o)
		})
		unseen := strata && !slices.ContainsFunc(last, func(o transectOf) bool { return o.stratum == t.stratum })
		if slices.Contains(last, t) || relaid || unseen || c.excused(rs, t) {
			continue
		}
		name := c.f.Names[t.transect]
		if t.stratum != 0 {
			name += " in stratum " + c.f.Names[t.stratum]
		}
		missed = append(missed, name)
	}
	if missed != nil {
		c.note(rs[n-1], "transect", "write rows with visit not_reached if they were not reached",
			"transects of bed %s without a visit in the last survey, %s, but in the two before: %s", c.f.Beds[rs[0].bed].ID,
			rs[n-1].label, some(missed, 6))
	}
}

// transectOf is a transect in a stratum, by interned text.
type transectOf struct{ stratum, transect uint32 }

// transectsOf lists the transects of rows that are in the order of quadrats.
func (c *checker) transectsOf(rows []int32) []transectOf {
	q := &c.f.Quadrats
	var out []transectOf
	for _, row := range rows {
		t := transectOf{q.Stratum[row], q.Transect[row]}
		if t.transect != 0 && (len(out) == 0 || out[len(out)-1] != t) {
			out = append(out, t)
		}
	}
	return out
}

// excused says whether rows since the last but one survey say of a transect that it was not visited.
func (c *checker) excused(rs []round, t transectOf) bool {
	q := &c.f.Quadrats
	bed := c.f.Beds[rs[0].bed].ID
	for i, v := range q.Visit {
		if v != Done && q.Transect[i] == t.transect && q.Stratum[i] == t.stratum && q.Day[i] > rs[len(rs)-2].to &&
			c.f.Names[q.Bed[i]] == bed {
			return true
		}
	}
	return false
}
