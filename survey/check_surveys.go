package survey

import (
	"fmt"
	"slices"
	"strings"
)

// surveys notes what is doubtful about the surveys of each bed; rs are in the order of beds and dates. Each kind of
// doubt is noted once a bed, with the surveys concerned. Beds are looked at side by side, and noted in their order.
func (c *checker) surveys(rs []round, window int) {
	c.bedsUnseen(rs)
	cuts := NewBedIndex(c.cutsOnBeds(), func(k Cut) string { return k.Bed })
	rows := NewBedIndex(c.cutRows(), func(i int) string { return c.f.Cuts[i].Bed })
	var beds [][]round
	for len(rs) > 0 {
		n := 1
		for n < len(rs) && rs[n].bed == rs[0].bed {
			n++
		}
		beds, rs = append(beds, rs[:n]), rs[n:]
	}
	found := make([]*findings, len(beds))
	inParallel(len(beds), func(i int) {
		id := c.f.Beds[beds[i][0].bed].ID
		found[i] = c.apart(func(c *checker) { c.bedSurveys(beds[i], window, cuts.Of(id), rows.Of(id)) })
	})
	for _, of := range found {
		c.found.join(of)
	}
	if len(c.f.Surveys) == 0 {
		c.newlyNamed()
	}
}

// bedSurveys notes what is doubtful about the surveys of a bed; rows are the places of its cuts in Folder.Cuts.
func (c *checker) bedSurveys(rs []round, window int, cuts []Cut, rows []int) {
	c.notDone(rs)
	done := slices.DeleteFunc(slices.Clone(rs), func(r round) bool { return len(r.rows) == 0 })
	if len(done) == 0 {
		return
	}
	c.sampledArea(done)
	c.unvisited(done)
	c.transectsUnseen(done)
	c.visitedTwice(done, window)
	c.lonely(done)
	c.sizes(done)
	c.seasons(done)
	c.gaps(done)
	c.cutsWithin(done, cuts)
	c.cutsBeyond(done, rows)
}

// notDone notes surveys that are declared, should be over, and have no visited quadrat.
func (c *checker) notDone(rs []round) {
	for _, r := range rs {
		if len(r.rows) == 0 && r.to <= c.f.AsOf {
			c.found.doubt("surveys.csv", r.declared.Line, "", "mend its dates, or remove the row",
				"survey %s of bed %s has no visited quadrat: it gives no stock",
				r.label, c.f.Beds[r.bed].ID)
		}
	}
}

// note notes a doubt about surveys of a bed at the first row of the first of them.
func (c *checker) note(r round, column, hint, format string, args ...any) {
	line := c.f.Quadrats.Line[r.rows[0]]
	for _, row := range r.rows {
		line = min(line, c.f.Quadrats.Line[row])
	}
	c.found.doubt("quadrats.csv", int(line), column, hint, format, args...)
}

// inSurveys joins things with the surveys in which each was met: "low in 2031 and 2032; mid in 2033".
type inSurveys struct {
	fold[string]
	first  round
	labels map[string][]string
}

func (s *inSurveys) add(thing string, r round) { s.addAs(thing, r, r.label) }

// addAs joins a thing with a survey under a label of its own.
func (s *inSurveys) addAs(thing string, r round, label string) {
	if s.labels == nil {
		s.first, s.labels = r, map[string][]string{}
	}
	s.fold.add(thing, 0)
	if l := s.labels[thing]; len(l) == 0 || l[len(l)-1] != label {
		s.labels[thing] = append(l, label)
	}
}

func (s *inSurveys) String() string {
	var parts []string
	for _, k := range s.keys {
		parts = append(parts, strings.TrimSpace(k+" in "+some(s.labels[k], 6)))
	}
	return strings.Join(parts, "; ")
}

// unvisited notes strata without a visited quadrat.
func (c *checker) unvisited(rs []round) {
	id := c.f.Beds[rs[0].bed].ID
	var missed inSurveys
	for _, label := range c.strata[id] {
		place, ok := slices.BinarySearch(c.f.Names, label)
		for _, r := range rs {
			if !ok || !slices.ContainsFunc(r.rows, func(row int32) bool { return c.f.Quadrats.Stratum[row] == uint32(place) }) {
				missed.add(label, r)
			}
		}
	}
	if missed.labels != nil {
		const hint = "write rows with visit not_reached if they could not be reached; mend the stratum of rows that lie in them"
		c.note(missed.first, "stratum", hint, "strata of bed %s without a visit, the stock is that of the others: %s", id, &missed)
	}
}

// lonely notes strata with one transect or, without transects, one quadrat: they tell nothing of the spread.
func (c *checker) lonely(rs []round) {
	q := &c.f.Quadrats
	bed := c.f.Beds[rs[0].bed].ID
	strata := len(c.strata[bed]) > 0
	var one inSurveys
	for _, r := range rs {
		for rows := r.rows; len(rows) > 0; {
			n := 1
			for n < len(rows) && (!strata || q.Stratum[rows[n]] == q.Stratum[rows[0]]) {
				n++
			}
			if unit := c.onlyUnit(rows[:n]); unit != "" {
				if strata {
					unit += " in stratum " + c.f.Names[q.Stratum[rows[0]]]
				}
				one.addAs(unit, r, fmt.Sprintf("%s (%s)", r.label, q.Day[rows[0]]))
			}
			rows = rows[n:]
		}
	}
	if one.labels != nil {
		c.note(one.first, "", "with one it is not known how the weed is spread there; or a mistyped date?", "bed %s has only %s", bed, &one)
	}
}

// onlyUnit says what the rows of a stratum, in the order of quadrats, have only one of; it is empty for none.
func (c *checker) onlyUnit(rows []int32) string {
	q := &c.f.Quadrats
	quadrats, transects := 1, 1
	for i := 1; i < len(rows); i++ {
		if !sameQuadrat(q, rows[i], rows[i-1]) {
			quadrats++
		}
		if q.Transect[rows[i]] != q.Transect[rows[i-1]] {
			transects++
		}
	}
	switch {
	case quadrats == 1:
		return "one quadrat"
	case transects == 1 && q.Transect[rows[0]] != 0:
		return "one transect"
	}
	return ""
}

// sizes notes quadrats of several sizes on one bed.
func (c *checker) sizes(rs []round) {
	q := &c.f.Quadrats
	var sizes inSurveys
	for _, r := range rs {
		var of []float64
		for _, row := range r.rows {
			if m2 := q.M2[row]; !slices.Contains(of, m2) {
				of = append(of, m2)
			}
		}
		slices.Sort(of)
		for _, m2 := range of {
			sizes.add(fmt.Sprintf("%.6g m2", m2), r)
		}
	}
	if len(sizes.keys) > 1 {
		c.note(sizes.first, "quadrat_m2", "small and large quadrats are not read alike: keep to one size",
			"quadrats of bed %s have several sizes: %s", c.f.Beds[rs[0].bed].ID, &sizes)
	}
}

// cutsWithin notes those of a bed's cuts that were made while a survey of it went on.
func (c *checker) cutsWithin(rs []round, cuts []Cut) {
	bed := c.f.Beds[rs[0].bed].ID
	for _, k := range cuts {
		if k.Cast || !(k.Kg > 0) || k.From == NoDay || k.To == NoDay {
			continue
		}
		for _, r := range rs {
			if k.From <= r.to && r.from <= k.To {
				c.found.doubt("harvest.csv", k.Line, "date", "list two surveys in surveys.csv, before and after the cut",
					"cut while survey %s of bed %s went on, %s: before or after its quadrats is not known",
					r.label, bed, span(r.from, r.to))
			}
		}
	}
}

func span(from, to Day) string {
	if from == to {
		return from.String()
	}
	return from.String() + " to " + to.String()
}
