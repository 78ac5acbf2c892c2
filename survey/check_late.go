package survey

import (
	"cmp"
	"slices"
)

// aloneDays is how long nothing else was entered before a cut that was perhaps dated in a wrong year.
const aloneDays = 366

// lateCuts notes cuts after everything else in the folder by more than a year: a year with a figure too many or mistyped,
// which the clock alone does not tell where the folder is old.
func (c *checker) lateCuts() {
	last := NoDay // of what was seen on the shore
	for i, d := range c.f.Quadrats.Day {
		if c.f.Quadrats.Visit[i] == Done {
			last = max(last, d)
		}
	}
	if last == NoDay {
		return
	}
	rows := slices.Clone(c.f.Cuts)
	for _, u := range c.f.Unallocated {
		rows = append(rows, u.Cut)
	}
	end := func(k Cut) Day { return max(k.From, k.To) } // NoDay is the first of all
	rows = slices.DeleteFunc(rows, func(k Cut) bool { return end(k) == NoDay })
	slices.SortStableFunc(rows, func(a, b Cut) int { return cmp.Compare(end(a), end(b)) })
	for i, k := range rows {
		if end(k)-last > aloneDays {
			of := rows[i:]
			slices.SortFunc(of, func(a, b Cut) int { return cmp.Compare(a.Line, b.Line) })
			var at sites
			for _, k := range of {
				at.add(k.Line)
			}
			column := "date"
			if of[0].From <= last+aloneDays {
				column = "date_to"
			}
			c.found.doubt("harvest.csv", of[0].Line, column, "mend the date, or enter what is missing between",
				"%s is more than a year after anything else in the folder, %s: a mistyped year?%s", end(of[0]), last, at.also())
			return
		}
		last = max(last, end(k))
	}
}

// longReturns notes returns over more than a year: the year of one of their days is mistyped, or they tell little of when
// it was cut.
func (c *checker) longReturns() {
	for _, k := range c.f.Landings() {
		if k.From != NoDay && k.To != NoDay && k.To-k.From > aloneDays {
			c.found.doubt("harvest.csv", k.Line, "date", "mend the date, or write a row for each season",
				"from %s to %s is %d days: a mistyped year?", k.From, k.To, k.To-k.From+1)
		}
	}
}
