package survey

// filledDates notes dates that rise by a day from row to row of a bed, as a spreadsheet fills a column down.
func (c *checker) filledDates() {
	q, f := &c.f.Quadrats, &c.f.Fronds
	c.filledDays("quadrats.csv", q.Bed, q.Day, q.Line, func(i int) bool { return q.Visit[i] != Planned })
	c.filledDays("fronds.csv", f.Bed, f.Day, f.Line, func(int) bool { return true })
}

func (c *checker) filledDays(file string, bed []uint32, day []Day, lines []int32, counts func(i int) bool) {
	rises := func(i int) bool {
		return bed[i] == bed[i-1] && day[i-1] != NoDay && day[i] == day[i-1]+1 && counts(i) && counts(i-1)
	}
	for start := 0; start < len(day); {
		end := start
		for end+1 < len(day) && rises(end+1) {
			end++
		}
		if end-start+1 >= seriesRows {
			c.found.fault(file, int(lines[start]), "date", "copy the date down instead of filling it as a series",
				"rises by a day from row to row, from %s to %s in line %d: filled down by mistake?", day[start], day[end], lines[end])
		}
		start = end + 1
	}
}
