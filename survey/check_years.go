package survey

import (
	"fmt"
	"slices"
	"strings"
)

// seasonShift is how many days apart the surveys of two years may be in the season.
const seasonShift = 28

// seasons notes years in which no survey of the bed was within four weeks, in the season, of one of the year surveyed
// before: growth over the season then looks like change.
func (c *checker) seasons(rs []round) {
	var shifts []string
	var first round
	for i := 0; i < len(rs); {
		n := i + 1
		for n < len(rs) && rs[n].date.Year() == rs[i].date.Year() {
			n++
		}
		if i > 0 {
			before := i - 1
			for before > 0 && rs[before-1].date.Year() == rs[i-1].date.Year() {
				before--
			}
			if days := leastShift(rs[before:i], rs[i:n]); days > seasonShift || days < -seasonShift {
				if shifts == nil {
					first = rs[i]
				}
				shifts = append(shifts, fmt.Sprintf("%d: %s", rs[i].date.Year(), earlierLater(days)))
			}
		}
		i = n
	}
	if shifts != nil {
		c.note(first, "date", "part of the change is then the season, not the year",
			"surveys of bed %s moved in the season against the year before: %s", c.f.Beds[rs[0].bed].ID, some(shifts, 6))
	}
}

// leastShift is the fewest days, later positive, by which a survey of b is off one of a in the season.
func leastShift(a, b []round) int {
	best := 366
	for _, x := range a {
		for _, y := range b {
			d := y.date.Time().YearDay() - x.date.Time().YearDay()
			switch {
			case d > 183:
				d -= 365
			case d < -183:
				d += 365
			}
			if max(d, -d) < max(best, -best) {
				best = d
			}
		}
	}
	return best
}

func earlierLater(days int) string {
	if days < 0 {
		return fmt.Sprintf("%d days earlier", -days)
	}
	return fmt.Sprintf("%d days later", days)
}

// manyYears is how many years with newly named species get a line each.
const manyYears = 3

// newlyNamed notes species that are named in a year but were not in the year surveyed before: without surveys.csv they
// count as sought and absent there.
func (c *checker) newlyNamed() {
	years, named, line := c.namedByYear()
	var lists [][]string
	var at []int
	for i := 1; i < len(years); i++ {
		var fresh []string
		for id, name := range c.f.Names {
			if id > 0 && named[years[i]][id] && !named[years[i-1]][id] {
				fresh = append(fresh, name)
			}
		}
		if len(fresh) > 0 {
			lists, at = append(lists, fresh), append(at, i)
		}
	}
	const hint = "if they were not looked for, say in surveys.csv what was (species_sought)"
	if len(lists) > manyYears {
		var words []string
		for k, i := range at {
			words = append(words, fmt.Sprintf("%d in %d", len(lists[k]), years[i]))
		}
		c.found.doubt("quadrats.csv", line[years[at[0]]], "species", hint,
			"species named in a year but not in the year before count as absent in that one: %s", strings.Join(words, ", "))
		return
	}
	for k, i := range at {
		verb := "are"
		if len(lists[k]) == 1 {
			verb = "is"
		}
		c.found.doubt("quadrats.csv", line[years[i]], "species", hint,
			"%s %s named in %d but not in %d: absent there", speciesCount(lists[k]), verb, years[i], years[i-1])
	}
}

// namedByYear gives the years with visits in order, the species named in each, and the first line of each year.
func (c *checker) namedByYear() (years []int, named map[int][]bool, line map[int]int) {
	q := &c.f.Quadrats
	named, line = map[int][]bool{}, map[int]int{}
	var day Day
	var year int
	var of []bool
	for i, d := range q.Day {
		if q.Visit[i] != Done {
			continue
		}
		if of == nil || d != day {
			day, year = d, d.Year()
			if of = named[year]; of == nil {
				of = make([]bool, len(c.f.Names))
				named[year], line[year] = of, int(q.Line[i])
				years = append(years, year)
			}
		}
		of[q.Species[i]] = true
	}
	slices.Sort(years)
	return years, named, line
}
