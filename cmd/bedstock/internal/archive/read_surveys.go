package archive

import (
	"cmp"
	"fmt"
	"slices"
	"strconv"
	"strings"

	"bedstock/survey"
)

// group are the quadrats of one survey of a bed.
type group struct {
	bed      string
	top      *node
	quadrats []found
	label    string
}

// apart is how many days lie at least between two surveys of a bed where the archive does not part them.
const apart = 45

// surveys makes surveys.csv: what an archive calls a survey, or a site, parted where more than some weeks lie between
// two of its days. The species of any of its quadrats, found or not, were looked for in all of them.
func (s *seen) surveys(quadrats []found) {
	groups := grouped(quadrats)
	var rows [][]string
	absences := false
	for i, g := range groups {
		from, to := g.days()
		sought := g.sought()
		protocol := cmp.Or(g.top.protocol, g.quadrats[0].protocol)
		low, _ := g.top.valueOf(lowWater)
		rows = append(rows, []string{g.bed, g.label, from.String(), to.String(), strings.Join(sought, ";"), low, protocol, g.top.remarks})
		for _, q := range g.quadrats {
			absences = absences || slices.ContainsFunc(q.occurrences, func(o occurrence) bool { return o.absent })
		}
		if i > 0 && groups[i-1].bed == g.bed {
			if _, last := groups[i-1].days(); from <= last {
				s.taken("surveys %s and %s of bed %s overlap in time: a quadrat counts for the one that starts first", groups[i-1].label, g.label, g.bed)
			}
		}
	}
	s.table("surveys.csv", []string{"bed", "survey", "from", "to", "species_sought", "low_water_m", "protocol", "notes"}, rows)
	if !absences {
		s.taken("the archive holds no absences: a species found in any quadrat of a survey counts as looked for in all, and as 0 where it was not written down; mend species_sought of surveys.csv where that is wrong")
	}
}

// grouped parts the quadrats into surveys, by bed and date.
func grouped(quadrats []found) []group {
	type key struct {
		bed string
		top *node
	}
	of := map[key][]found{}
	var keys []key
	for _, q := range quadrats {
		k := key{q.bed, q.top}
		if q.top == q.node || levelOf(q.top) == "transect" || levelOf(q.top) == "stratum" {
			k.top = nil
		}
		if of[k] == nil {
			keys = append(keys, k)
		}
		of[k] = append(of[k], q)
	}
	var out []group
	for _, k := range keys {
		all := of[k]
		slices.SortStableFunc(all, func(x, y found) int { return cmp.Compare(x.day, y.day) })
		for len(all) > 0 {
			n := 1
			for n < len(all) && all[n].day-all[n-1].day <= apart {
				n++
			}
			out = append(out, group{bed: k.bed, top: all[0].top, quadrats: all[:n:n], label: labelOf(k.top, all[0].day, len(all) == len(of[k]) && n == len(all))})
			all = all[n:]
		}
	}
	slices.SortStableFunc(out, func(x, y group) int {
		return cmp.Or(cmp.Compare(x.quadrats[0].day, y.quadrats[0].day), cmp.Compare(x.bed, y.bed))
	})
	slices.SortStableFunc(out, func(x, y group) int { return cmp.Compare(x.bed, y.bed) })
	nameApart(out)
	return out
}

// labelOf is the name of a survey: its event's where that has a name of its own and is one survey, else the year.
func labelOf(top *node, day survey.Day, whole bool) string {
	if top != nil && top.label != "" && whole {
		return top.label
	}
	return strconv.Itoa(day.Year())
}

// nameApart gives surveys of a bed that have one name a number.
func nameApart(groups []group) {
	taken := map[[2]string]bool{}
	for i := range groups {
		label := groups[i].label
		for n := 2; taken[[2]string{groups[i].bed, groups[i].label}]; n++ {
			groups[i].label = fmt.Sprintf("%s-%d", label, n)
		}
		taken[[2]string{groups[i].bed, groups[i].label}] = true
	}
}

// days are the first and the last day of a survey: those of its event where that says so, else of its quadrats.
func (g group) days() (from, to survey.Day) {
	from, to = g.quadrats[0].day, g.quadrats[len(g.quadrats)-1].day
	if first, last, ok := strings.Cut(g.top.date, "/"); ok && g.top != g.quadrats[0].node {
		a, b := dayOf(first), dayOf(last)
		if a != survey.NoDay && b != survey.NoDay && a <= from && to <= b && b-a <= 2*apart {
			return a, b
		}
	}
	return from, to
}

// sought are the species looked for: as the survey says, else those of its quadrats.
func (g group) sought() []string {
	if list, _ := g.top.valueOf(soughtFact); list != "" {
		return strings.Split(list, ";")
	}
	seen := map[string]bool{}
	for _, q := range g.quadrats {
		for _, o := range q.occurrences {
			seen[o.species] = true
		}
	}
	return sorted(seen)
}
