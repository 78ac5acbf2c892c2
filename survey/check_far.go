package survey

import (
	"cmp"
	"fmt"
	"slices"
)

const (
	farDays  = 5 * 365 // a date so far from all others of its file is looked at, by days
	nearDays = 31      // dates so near one another are met together, as the first and the last day of a cut
	farRows  = 3       // rows of one mistyped day, at most, and rows beside them, at least
)

// datedCell is a date of a file.
type datedCell struct {
	day    Day
	line   int
	column string
}

// farDates notes dates that stand alone, years away from all others of their file, and with another decade would be among
// them: the year has a wrong figure. It asks the same of one that is out of the order of the rows around it and with another
// decade is in it. An old history, however far back, is no slip. Quadrats and fronds of such a day are noted as a survey of
// their own.
func (c *checker) farDates() {
	f := c.f
	var cuts, plots, events, granted, surveys []datedCell
	for _, k := range f.Landings() {
		if k.To-k.From <= aloneDays || k.From == NoDay { // others are noted as long returns
			cuts = append(cuts, datedCell{k.From, k.Line, "date"}, datedCell{k.To, k.Line, "date_to"})
		}
	}
	for _, p := range f.Regrowth {
		plots = append(plots, datedCell{p.Day, p.Line, "date"})
	}
	for _, e := range f.Events {
		events = append(events, datedCell{e.Day, e.Line, "date"})
	}
	for _, d := range f.Decisions {
		if !c.overYears(decisionsTable.file, d.Line, d.From, d.To) {
			granted = append(granted, datedCell{d.From, d.Line, "from"}, datedCell{d.To, d.Line, "to"}, datedCell{d.DecidedOn, d.Line, "decided_on"})
		}
	}
	for _, d := range f.Surveys {
		if !c.overYears(surveysTable.file, d.Line, d.From, d.To) {
			surveys = append(surveys, datedCell{d.From, d.Line, "from"}, datedCell{d.To, d.Line, "to"})
		}
	}
	c.farFrom(harvestTable.file, cuts)
	c.farFrom(regrowthTable.file, plots)
	c.farFrom(eventsTable.file, events)
	c.farFrom(decisionsTable.file, granted)
	c.farFrom(surveysTable.file, surveys)
}

// overYears notes a row from one day to another more than a year later, and says whether it is one.
func (c *checker) overYears(file string, line int, from, to Day) bool {
	if from == NoDay || to == NoDay || to-from <= aloneDays {
		return false
	}
	hint := "mend the date; a season or a survey is over within a year"
	if day, ok := otherDecade(to, from, from+aloneDays); ok {
		hint = fmt.Sprintf("did you mean %s? A season or a survey is over within a year", day)
	}
	c.found.doubt(file, line, "to", hint, "from %s to %s is %d days: a mistyped year?", from, to, to-from+1)
	return true
}

// farFrom notes the dates of a file that are far from the others. The cells are in the order of the file.
func (c *checker) farFrom(file string, cells []datedCell) {
	cells = slices.DeleteFunc(cells, func(d datedCell) bool { return d.day == NoDay })
	cells = slices.CompactFunc(cells, func(a, b datedCell) bool { return a.line == b.line && a.day == b.day })
	noted := map[int]bool{} // lines
	for _, a := range alone(cells) {
		if file == harvestTable.file && a.next == nil {
			continue // noted among the late ones
		}
		near, way := a.prev, "after"
		if near == nil || a.next != nil && a.next.day-a.at[0].day < a.at[0].day-near.day {
			near, way = a.next, "before"
		}
		var on sites
		for _, d := range a.at {
			if !noted[d.line] {
				on.add(d.line)
			}
			noted[d.line] = true
		}
		years := float64(max(near.day-a.at[0].day, a.at[0].day-near.day)) / DaysPerYear
		c.found.doubt(file, a.at[0].line, a.at[0].column, meantDay(cells, a.at[0]),
			"%s is %.0f years %s any other date of the file (%s in line %d): a mistyped year?%s", a.at[0].day, years, way, near.day, near.line, on.also())
	}
	rows := slices.CompactFunc(slices.Clone(cells), func(a, b datedCell) bool { return a.line == b.line })
	for i, d := range rows {
		if day, out := outOfOrder(rows, i); out && !noted[d.line] {
			c.found.doubt(file, d.line, d.column, dayMeant(day),
				"%s is out of the order of the rows around it, where it would be in its place in %d: a mistyped year?", d.day, day.Year())
		}
	}
}

// aloneDay is a date that stands alone, the cells that hold it or days near it, and the dates next to it; nil: none.
type aloneDay struct {
	at         []datedCell // in the order of the file
	prev, next *datedCell
}

// alone finds the dates that are far from all others, each of one row, or of a few on one day.
func alone(cells []datedCell) []aloneDay {
	sorted := slices.Clone(cells)
	slices.SortStableFunc(sorted, func(a, b datedCell) int { return cmp.Compare(a.day, b.day) })
	var out []aloneDay
	for start, end := 0, 0; start < len(sorted); start = end {
		for end = start + 1; end < len(sorted) && sorted[end].day-sorted[end-1].day <= nearDays; end++ {
		}
		a := aloneDay{at: slices.Clone(sorted[start:end])}
		if start > 0 {
			a.prev = &sorted[start-1]
		}
		if end < len(sorted) {
			a.next = &sorted[end]
		}
		if a.far() && a.few() && len(cells)-len(a.at) >= farRows && a.slip(sorted) {
			slices.SortStableFunc(a.at, func(a, b datedCell) int { return cmp.Compare(a.line, b.line) })
			out = append(out, a)
		}
	}
	return out
}

func (a *aloneDay) far() bool {
	first, last := a.at[0].day, a.at[len(a.at)-1].day
	return (a.prev == nil || first-a.prev.day > farDays) && (a.next == nil || a.next.day-last > farDays)
}

// slip says whether the day of another decade is among the others, which are sorted with it.
func (a *aloneDay) slip(sorted []datedCell) bool {
	first, last := sorted[0], sorted[len(sorted)-1]
	if a.prev == nil {
		first = *a.next
	}
	if a.next == nil {
		last = *a.prev
	}
	_, ok := otherDecade(a.at[0].day, first.day-aloneDays, last.day+aloneDays)
	return ok
}

// few says whether the cells are of one row, or of a few that have the same day.
func (a *aloneDay) few() bool {
	oneRow, oneDay := true, true
	for _, d := range a.at {
		oneRow = oneRow && d.line == a.at[0].line
		oneDay = oneDay && d.day == a.at[0].day
	}
	return oneRow || oneDay && len(a.at) <= farRows
}

// meantDay is a hint with the day that was perhaps meant: one of another decade, near a date of its row or of those around.
func meantDay(cells []datedCell, d datedCell) string {
	i := slices.Index(cells, d)
	for _, k := range []int{i - 1, i + 1, i - 2, i + 2, i - 3, i + 3} {
		if k < 0 || k >= len(cells) {
			continue
		}
		if day, ok := otherDecade(d.day, cells[k].day-aloneDays, cells[k].day+aloneDays); ok {
			return dayMeant(day)
		}
	}
	return "mend the year; where the date is right, leave it"
}

func dayMeant(day Day) string {
	return fmt.Sprintf("did you mean %s? Where the date is right, leave it", day)
}

// outOfOrder gives the day of another decade that a date would have to be for its row to stand in order, where it is out of
// that by years and two rows before it and two after it are in it.
func outOfOrder(cells []datedCell, i int) (Day, bool) {
	if i < 2 || i+2 >= len(cells) {
		return NoDay, false
	}
	around := []Day{cells[i-2].day, cells[i-1].day, cells[i+1].day, cells[i+2].day}
	lo, hi := slices.Min(around), slices.Max(around)
	if hi-lo > aloneDays || !slices.IsSorted(around) || lo-cells[i].day < farDays && cells[i].day-hi < farDays {
		return NoDay, false
	}
	return otherDecade(cells[i].day, around[1]-nearDays, around[2]+nearDays)
}

// otherDecade moves a day into a time, by ten or twenty years, or by a century or more.
func otherDecade(d, from, to Day) (Day, bool) {
	for _, years := range []int{10, -10, 20, -20, 100, -100, 1000, -1000} {
		t := d.Time()
		if day := MakeDay(t.Year()+years, t.Month(), t.Day()); from <= day && day <= to {
			return day, true
		}
	}
	return NoDay, false
}
