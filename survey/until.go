package survey

import "slices"

// Until is the folder as it stood at the end of a day: without the rows of quadrats, readings, fronds, harvest, regrowth,
// events and decisions that are dated later. A return over several days is there from its last day on, a survey that
// surveys.csv declares from its last day on, with all its quadrats. What bears no date of its own (strata, species,
// permits) and what may be announced ahead (beds.csv by from, closures, planned quadrats) stays; so do the warnings.
// The folder itself is left as it is.
func (f *Folder) Until(day Day) *Folder {
	out := *f
	out.AsOf = day
	late := func(d Day) bool { return d != NoDay && d > day }
	unfinished := map[string][]Declared{} // by bed
	out.Surveys = keepRows(f.Surveys, func(s Declared) bool {
		if late(s.To) && !late(s.From) {
			unfinished[s.Bed] = append(unfinished[s.Bed], s)
		}
		return !late(s.To)
	})
	later := func(bed uint32, d Day) bool {
		return late(d) || slices.ContainsFunc(unfinished[f.Names[bed]], func(s Declared) bool { return s.From <= d && d <= s.To })
	}
	out.Quadrats = f.Quadrats.keep(func(i int) bool {
		return f.Quadrats.Visit[i] == Planned || !later(f.Quadrats.Bed[i], f.Quadrats.Day[i])
	})
	out.Readings = f.Readings.keep(func(i int) bool { return !later(f.Readings.Bed[i], f.Readings.Day[i]) })
	out.Fronds = f.Fronds.keep(func(i int) bool { return !later(f.Fronds.Bed[i], f.Fronds.Day[i]) })
	out.Cuts = keepRows(f.Cuts, func(c Cut) bool { return !late(max(c.From, c.To)) })
	out.Unallocated = keepRows(f.Unallocated, func(u Unallocated) bool { return !late(max(u.From, u.To)) })
	out.CutsKnown = len(out.Cuts)+len(out.Unallocated) > 0
	out.Regrowth = keepRows(f.Regrowth, func(r PlotRow) bool { return !late(r.Day) })
	out.Events = keepRows(f.Events, func(e Event) bool { return !late(e.Day) })
	out.Decisions = keepRows(f.Decisions, func(d Decision) bool { return !late(d.DecidedOn) })
	out.settlePermits() // a permit's later rows tell nothing yet
	return &out
}

// Rows is how many rows of quadrats, readings, fronds, harvest, regrowth, events and decisions the folder holds.
func (f *Folder) Rows() int {
	return f.Quadrats.Len() + f.Readings.Len() + f.Fronds.Len() + len(f.Cuts) + len(f.Unallocated) + len(f.Regrowth) + len(f.Events) + len(f.Decisions)
}

func keepRows[T any](rows []T, keep func(T) bool) []T {
	return slices.DeleteFunc(slices.Clone(rows), func(r T) bool { return !keep(r) })
}

// keep are the rows that are asked for.
func (q *Quadrats) keep(asked func(i int) bool) Quadrats {
	rows := askedRows(q.Len(), asked)
	return Quadrats{
		Bed: pickRows(q.Bed, rows), Stratum: pickRows(q.Stratum, rows), Transect: pickRows(q.Transect, rows),
		Quadrat: pickRows(q.Quadrat, rows), Species: pickRows(q.Species, rows), Observer: pickRows(q.Observer, rows),
		Day: pickRows(q.Day, rows), Visit: pickRows(q.Visit, rows), M2: pickRows(q.M2, rows), Cover: pickRows(q.Cover, rows),
		Frond: pickRows(q.Frond, rows), Biomass: pickRows(q.Biomass, rows), Weighed: pickRows(q.Weighed, rows), Line: pickRows(q.Line, rows),
		Class: pickClasses(q.Class, rows), Classes: q.Classes,
	}
}

// pickClasses is pickRows for a column that may not be there.
func pickClasses(column []uint8, rows []int) []uint8 {
	if column == nil {
		return nil
	}
	return pickRows(column, rows)
}

// keep are the rows that are asked for.
func (f *Fronds) keep(asked func(i int) bool) Fronds {
	rows := askedRows(f.Len(), asked)
	return Fronds{
		Bed: pickRows(f.Bed, rows), Stratum: pickRows(f.Stratum, rows), Transect: pickRows(f.Transect, rows),
		Quadrat: pickRows(f.Quadrat, rows), Species: pickRows(f.Species, rows), Stage: pickRows(f.Stage, rows),
		Day: pickRows(f.Day, rows), Length: pickRows(f.Length, rows), Wet: pickRows(f.Wet, rows), Line: pickRows(f.Line, rows),
	}
}

func askedRows(n int, asked func(i int) bool) []int {
	var rows []int
	for i := range n {
		if asked(i) {
			rows = append(rows, i)
		}
	}
	return rows
}

func pickRows[T any](column []T, rows []int) []T {
	out := make([]T, len(rows))
	for i, row := range rows {
		out[i] = column[row]
	}
	return out
}
