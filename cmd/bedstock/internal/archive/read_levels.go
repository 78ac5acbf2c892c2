package archive

import (
	"cmp"
	"slices"
	"strings"

	"bedstock/survey"
)

// found is a quadrat of an archive and where it lies.
type found struct {
	*node
	place
	top    *node   // the event above all others; the quadrat itself where there is none
	strata []*node // the events taken as its stratum
}

// maxDepth is how many events may lie within one another.
const maxDepth = 20

// quadrats are the events in which something was looked for: those that say so, else those without events below them
// that hold occurrences or have an area. They come in the order of the file.
func (s *seen) quadrats() []found {
	var out []found
	idle, undated, looped := 0, 0, 0
	levels := map[string]map[string]bool{}
	for _, n := range s.order {
		if !s.holdsQuadrat(n) && !n.frondsOnly() {
			if n.children == 0 && !s.Own {
				idle++
			}
			continue
		}
		q, ok := s.placed(n, levels)
		switch {
		case !ok:
			looped++
		case q.day == survey.NoDay:
			undated++
		default:
			out = append(out, q)
		}
	}
	for _, lost := range []struct {
		n    int
		what string
	}{{idle, "without occurrences, an area or events below them"}, {undated, "without an eventDate that begins with a day"}, {looped, "that lie in one another in a circle"}} {
		if lost.n > 0 {
			s.unused("%s %s", counted(lost.n, "event"), lost.what)
		}
	}
	s.understood(levels, out)
	return distinct(out)
}

// understood says which events were taken for what, where bedstock did not write the archive.
func (s *seen) understood(levels map[string]map[string]bool, quadrats []found) {
	if s.Own {
		return
	}
	levels["quadrat"] = map[string]bool{}
	for _, q := range quadrats {
		levels["quadrat"][cmp.Or(q.kind, "(none given)")] = true
	}
	for _, level := range []string{"survey", "stratum", "transect", "quadrat"} {
		if kinds := sorted(levels[level]); len(kinds) > 0 {
			s.taken("taken as %s: events of type %s", level, strings.Join(kinds, ", "))
		}
	}
}

func (s *seen) holdsQuadrat(n *node) bool {
	if s.Own || strings.EqualFold(n.kind, quadratEvent) {
		return strings.EqualFold(n.kind, quadratEvent)
	}
	return n.children == 0 && (len(n.occurrences) > 0 || n.m2() != "")
}

// frondsOnly says whether fronds were measured here and nothing else was read.
func (n *node) frondsOnly() bool { return n.kind == frondsEvent }

// levelOf is what the type of an event says it is: survey, stratum or transect; empty: nothing.
func levelOf(n *node) string {
	kind := strings.ToLower(n.kind)
	for _, l := range []struct{ level, words string }{
		{"transect", "transect"}, {"stratum", "stratum strata zone"}, {"survey", "survey site station cruise expedition project visit"}} {
		for w := range strings.FieldsSeq(l.words) {
			if strings.Contains(kind, w) {
				return l.level
			}
		}
	}
	return ""
}

// placed finds bed, stratum, transect and day of a quadrat from the events it lies in. Of those whose type says nothing
// the uppermost is the survey, the lowest below it the transect, others are strata.
func (s *seen) placed(n *node, levels map[string]map[string]bool) (found, bool) {
	q := found{node: n, place: place{day: survey.NoDay}, top: n}
	var above []*node // from the quadrat upwards
	for up := n.up; up != nil; up = up.up {
		if len(above) == maxDepth || up == n {
			return q, false
		}
		above, q.top = append(above, up), up
	}
	var transects, strata []string
	for i, up := range above {
		level := levelOf(up)
		switch {
		case level != "":
		case up == q.top:
			level = "survey"
		case i == 0:
			level = "transect"
		default:
			level = "stratum"
		}
		if levels[level] == nil {
			levels[level] = map[string]bool{}
		}
		levels[level][cmp.Or(up.kind, "(none given)")] = true
		switch level {
		case "transect":
			transects = append(transects, up.name())
		case "stratum":
			strata = append(strata, up.name())
			q.strata = append(q.strata, up)
		}
	}
	slices.Reverse(transects)
	slices.Reverse(strata)
	q.stratum, q.transect, q.quadrat = strings.Join(strata, "/"), strings.Join(transects, "/"), n.name()
	q.bed = bedOf(n, above)
	for _, x := range append([]*node{n}, above...) {
		if q.day == survey.NoDay {
			q.day = dayOf(x.date)
		}
	}
	return q, true
}

// name is the label of an event in the field, else its id.
func (n *node) name() string { return cmp.Or(n.label, n.id) }

// bedOf is the uppermost locationID, else the uppermost locality, else the uppermost event.
func bedOf(n *node, above []*node) string {
	chain := append([]*node{n}, above...)
	slices.Reverse(chain)
	for _, part := range []func(*node) string{func(x *node) string { return x.location }, func(x *node) string { return x.locality }} {
		for _, x := range chain {
			if part(x) != "" {
				return part(x)
			}
		}
	}
	if len(above) == 0 {
		return "bed"
	}
	return chain[0].name()
}

// dayOf is the day that a date or an interval begins with.
func dayOf(date string) survey.Day {
	date, _, _ = strings.Cut(date, "/")
	date, _, _ = strings.Cut(date, "T")
	d, err := survey.ParseDay(strings.TrimSpace(date))
	if err != nil {
		return survey.NoDay
	}
	return d
}

// distinct gives quadrats of one name on one day their ids for names.
func distinct(all []found) []found {
	n := map[place]int{}
	for _, q := range all {
		n[q.place]++
	}
	for i := range all {
		if n[all[i].place] > 1 {
			all[i].quadrat = all[i].id
		}
	}
	return all
}
