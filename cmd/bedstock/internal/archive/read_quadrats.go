package archive

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"bedstock/survey"
)

// observedTable are the rows of quadrats.csv and fronds.csv.
type observedTables struct {
	quadrats, fronds [][]string
	bare             int // presences without cover and weight
	noArea           int // quadrats without an area
	twice            int // occurrences of a species that the quadrat has already
	observers        bool
}

var (
	quadratColumns = []string{"bed", "date", "stratum", "transect", "quadrat", "quadrat_m2", "visit", "species", "cover_pct", "frond_cm", "biomass_g", "weighed_m2", "observer"}
	frondColumns   = []string{"bed", "date", "stratum", "transect", "quadrat", "species", "frond_cm", "wet_g", "stage"}
)

// quadratRows makes the rows of a quadrat: one a species that was measured or found. What was only looked for is in the
// survey's species_sought; a quadrat with nothing else has one row of nothing.
func (s *seen) quadratRows(out *observedTables, q found) {
	if q.frondsOnly() {
		s.frondRows(out, q)
		return
	}
	where := []string{q.bed, q.day.String(), q.stratum, q.transect, q.quadrat, q.m2()}
	if visit := visitOf(q.node); visit != "" {
		out.quadrats = append(out.quadrats, slices.Concat(where, []string{visit, "", "", "", "", "", ""}))
		s.frondRows(out, q)
		return
	}
	if q.m2() == "" {
		out.noArea++
	}
	named, reader := map[string]bool{}, ""
	for i := range q.occurrences {
		o := &q.occurrences[i]
		if o.frond || o.absent && len(o.facts) == 0 && o.quantity == "" {
			reader = cmp.Or(reader, o.observer)
			continue
		}
		if named[o.species] {
			out.twice++
			continue
		}
		named[o.species] = true
		m := s.measuredOf(o, q.m2())
		switch {
		case o.absent && m.cover == "" && m.grams == "":
			m.cover = "0"
		case m.cover == "" && m.grams == "":
			out.bare++
		}
		out.observers = out.observers || o.observer != ""
		out.quadrats = append(out.quadrats, slices.Concat(where, []string{"done", o.species, m.cover, m.cm, m.grams, m.weighed, o.observer}))
	}
	if len(named) == 0 {
		out.quadrats = append(out.quadrats, slices.Concat(where, []string{"done", "", "0", "", "", "", reader}))
		out.observers = out.observers || reader != ""
	}
	s.frondRows(out, q)
}

// visitOf is the word of a quadrat that was not visited.
func visitOf(n *node) string {
	for visit, effort := range notVisited {
		if n.effort == effort {
			return map[survey.Visit]string{survey.NotReached: "not_reached", survey.Unsampleable: "unsampleable"}[visit]
		}
	}
	return ""
}

// reading is what was measured of a species in a quadrat, as quadrats.csv has it.
type reading struct{ cover, grams, cm, weighed string }

// measuredOf reads the facts of an occurrence. Where only the weight per area is told it is that of the whole quadrat.
// What says nothing that a column has is counted.
func (s *seen) measuredOf(o *occurrence, m2 string) reading {
	var r reading
	perM2Value := ""
	for _, f := range o.facts {
		ok, cell, value := false, (*string)(nil), ""
		switch f.tell() {
		case coverFact:
			cell = &r.cover
			value, ok = fact{value: f.value, unit: cmp.Or(f.unit, "percent")}.in(percents)
		case weightFact:
			cell = &r.grams
			value, ok = f.in(grams)
		case weightM2Fact:
			cell = &perM2Value
			value, ok = f.in(perM2)
		case lengthFact:
			cell = &r.cm
			value, ok = f.in(lengths)
		case areaFact:
			cell = &r.weighed
			value, ok = f.in(areas)
		}
		if !ok || *cell != "" {
			s.factUnused(f, ok)
			continue
		}
		*cell = value
	}
	if r.cover == "" && strings.Contains(strings.ToLower(o.unit), "cover") {
		r.cover, _ = converted(o.quantity, "percent", percents)
	}
	if r.grams == "" && perM2Value != "" && m2 != "" {
		x, okX := parse(perM2Value)
		a, okA := parse(m2)
		if okX && okA {
			r.grams = number(digits12(x * a))
		}
	}
	return r
}

// factUnused counts a fact of an occurrence that was not used: another of the same kind was there before, or there is no
// column or no unit for it.
func (s *seen) factUnused(f fact, again bool) {
	what := strings.TrimSpace(fmt.Sprintf("%s %s", cmp.Or(f.kind, f.concept), f.unit))
	switch {
	case again:
		what += ", measured again"
	case f.tell() != unknownFact:
		what += ", no number or in a unit that is not known"
	}
	if s.idle == nil {
		s.idle = map[string]int{}
	}
	s.idle[what]++
}

// frondRows makes a row of each frond.
func (s *seen) frondRows(out *observedTables, q found) {
	for i := range q.occurrences {
		o := &q.occurrences[i]
		if !o.frond {
			continue
		}
		m := s.measuredOf(o, "")
		out.fronds = append(out.fronds, []string{q.bed, q.day.String(), q.stratum, q.transect, q.quadrat, o.species, m.cm, m.grams, o.stage})
	}
}
