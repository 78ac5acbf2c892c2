package survey

import (
	"fmt"
	"maps"
	"slices"
)

// declared notes surveys of surveys.csv that overlap on a bed, and quadrats of their beds that lie in none.
func (c *checker) declared() {
	byBed := declaredByBed(c.f)
	for _, bed := range slices.Sorted(maps.Keys(byBed)) {
		ds := byBed[bed]
		last := ds[0] // reaches furthest of those before
		for _, d := range ds[1:] {
			if last.From != NoDay && d.From != NoDay && last.To != NoDay && d.From <= last.To {
				c.found.fault("surveys.csv", d.Line, "from", "a day belongs to one survey of a bed: mend the dates",
					"survey %s of bed %s begins before survey %s of line %d has ended, on %s", d.Survey, bed, last.Survey,
					last.Line, last.To)
			}
			if d.To > last.To {
				last = d
			}
		}
	}
	if len(byBed) > 0 && !c.faulty(surveysTable.file) {
		c.outside(byBed)
	}
}

// outside notes quadrats that lie in no declared survey of their bed; those only planned may.
func (c *checker) outside(byBed map[string][]*Declared) {
	q := &c.f.Quadrats
	type visit struct {
		bed uint32
		day Day
	}
	within := map[visit]bool{}
	var lost fold[visit]
	for i, day := range q.Day {
		v := visit{q.Bed[i], day}
		if day == NoDay || q.Visit[i] == Planned {
			continue
		}
		in, seen := within[v]
		if !seen {
			ds := byBed[c.f.Names[v.bed]]
			in = len(ds) == 0 || slices.ContainsFunc(ds, func(d *Declared) bool { return d.From <= day && day <= d.To })
			within[v] = in
		}
		if !in {
			lost.add(v, int(q.Line[i]))
		}
	}
	lost.each(func(v visit, line int, also string) {
		bed := c.f.Names[v.bed]
		c.found.fault("quadrats.csv", line, "date", nearestDeclared(byBed[bed], v.day),
			"%s lies in no survey that surveys.csv lists for bed %s%s", v.day, bed, also)
	})
}

// nearestDeclared is a hint with the survey whose dates are nearest to a day.
func nearestDeclared(ds []*Declared, day Day) string {
	best := slices.MinFunc(ds, func(a, b *Declared) int {
		return int(max(a.From-day, day-a.To)) - int(max(b.From-day, day-b.To))
	})
	return fmt.Sprintf("mend the date, widen survey %s (%s to %s), or list one more survey in surveys.csv",
		best.Survey, best.From, best.To)
}
