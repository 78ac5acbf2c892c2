package survey

import (
	"cmp"
	"slices"
)

// LowWater is one row of tides.csv.
type LowWater struct {
	Day    Day
	Minute int     // of the day, on the clock of the shore
	Height float64 // m above chart datum
	Line   int
}

// at is the time in minutes, to compare and subtract.
func (w LowWater) at() int { return int(w.Day)*minutesADay + w.Minute }

func (w LowWater) String() string { return isoMoment(w.Day, w.Minute) }

const (
	minutesADay = 24 * 60
	oneTide     = 8 * 60  // minutes: from a low water to a high one it is less, to the next low one more
	shortOfLows = 21 * 60 // minutes that three low waters one after the other take at least
	tidesGap    = 14      // days without a row after which rows are asked for
	evenRows    = 10      // rows at equal steps that no tide has
	heightHint  = "low waters alone belong here"
	sourceHint  = "compare it with the source"
)

// readTides reads tides.csv into the low waters of the folder, sorted by time. They lie ahead and bear on nothing but
// the days of the next survey.
func (r *reading) readTides() {
	type row struct {
		Time   momentCell `csv:"time"`
		Height numberCell `csv:"height_m"`
	}
	if r.opt.LeaveTides {
		return
	}
	rows, lines := readSmall[row](r, &tidesTable)
	seen := newKeys(&tidesTable, r.found)
	var all []LowWater
	for i, w := range rows {
		if seen.once(lines[i], w.Time.key()) && w.Time.Day != NoDay && w.Height.OK {
			all = append(all, LowWater{w.Time.Day, w.Time.Minute, w.Height.V, lines[i]})
		}
	}
	evenSteps(all, r.found)
	slices.SortFunc(all, func(a, b LowWater) int { return cmp.Compare(a.at(), b.at()) })
	r.f.LowWaters = lowsOf(all, r.found)
	oddDays(r.f.LowWaters, r.found)
}

// lowsOf keeps the lowest row of each tide, the first of several. A row with a lower one less than [oneTide] away is a
// high water, or a time between, of a table that holds more than low waters.
func lowsOf(all []LowWater, found *findings) []LowWater {
	var low []LowWater
	first, others := LowWater{}, 0
	for i, w := range all {
		if isLowest(all, i) {
			low = append(low, w)
			continue
		}
		if others++; others == 1 || w.Line < first.Line {
			first = w
		}
	}
	if others > 0 {
		found.doubt(tidesTable.file, first.Line, "height_m", heightHint,
			"%d of %d rows, this the first, lie less than 8 hours from a lower one: taken for high waters and left out", others, len(all))
	}
	return low
}

func isLowest(all []LowWater, i int) bool {
	w := all[i]
	for k := i - 1; k >= 0 && w.at()-all[k].at() < oneTide; k-- {
		if all[k].Height <= w.Height {
			return false
		}
	}
	for k := i + 1; k < len(all) && all[k].at()-w.at() < oneTide; k++ {
		if all[k].Height < w.Height {
			return false
		}
	}
	return true
}

// evenSteps notes times that rise by the same step from row to row, as a spreadsheet fills a column down. Those of a
// table of heights at fixed times do so too.
func evenSteps(rows []LowWater, found *findings) {
	for start := 0; start+1 < len(rows); {
		step := rows[start+1].at() - rows[start].at()
		end := start + 1
		for end+1 < len(rows) && rows[end+1].at()-rows[end].at() == step {
			end++
		}
		if step >= oneTide && end-start+1 >= evenRows {
			found.doubt(tidesTable.file, rows[start].Line, "time", sourceHint,
				"rises by %s hours from row to row up to line %d: filled down by mistake?", Clock(step), rows[end].Line)
		}
		start = end
	}
}

// oddDays notes days with more low waters than there can be, and stretches without any.
func oddDays(low []LowWater, found *findings) {
	for i, w := range low {
		if i >= 2 && w.Day == low[i-2].Day && w.at()-low[i-2].at() < shortOfLows {
			found.doubt(tidesTable.file, w.Line, "time", sourceHint, "is the third low water of %s", w.Day)
		}
		if i >= 1 && w.Day-low[i-1].Day > tidesGap {
			found.doubt(tidesTable.file, w.Line, "time", "add the rows between, or leave out what is older",
				"comes %d days after the low water before it, %s: are rows missing?", w.Day-low[i-1].Day, low[i-1])
		}
	}
}
