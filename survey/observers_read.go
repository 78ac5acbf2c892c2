package survey

import (
	"cmp"
	"fmt"
	"maps"
	"math"
	"slices"
)

// reader is what one observer read in one quadrat.
type reader struct {
	observer uint32
	covers   map[uint32]float64 // by species
	line     int                // of the first row
	again    bool               // in readings.csv
}

// cover is the cover of a species; 0 where it was not found, NaN where it was found and not read.
func (r *reader) cover(species uint32) float64 { return r.covers[species] }

// bothFound lists the species that either found, sorted.
func bothFound(a, b *reader) []uint32 {
	all := maps.Clone(a.covers)
	maps.Copy(all, b.covers)
	return slices.Sorted(maps.Keys(all))
}

// readPlace is a quadrat on a day.
type readPlace struct {
	bed, stratum, transect, quadrat uint32
	day                             Day
}

func (q *Quadrats) readPlace(i int) readPlace {
	return readPlace{q.Bed[i], q.Stratum[i], q.Transect[i], q.Quadrat[i], q.Day[i]}
}

// readTwice lists the quadrats that were read by several: the reader of quadrats.csv first, then those of readings.csv
// by name.
func (f *Folder) readTwice() [][]*reader {
	again := &f.Readings
	var order []readPlace
	readers := map[readPlace][]*reader{}
	for i := range again.Day {
		if again.Visit[i] != Done {
			continue
		}
		p := again.readPlace(i)
		if readers[p] == nil {
			order = append(order, p)
		}
		readers[p] = enter(readers[p], again, i, again.Observer[i])
		readers[p][len(readers[p])-1].again = true
	}
	first := map[readPlace][]*reader{}
	for i := range f.Quadrats.Day {
		if p := f.Quadrats.readPlace(i); readers[p] != nil && f.Quadrats.Visit[i] == Done {
			first[p] = enter(first[p], &f.Quadrats, i, 0)
			if r := first[p][0]; r.observer == 0 {
				r.observer = f.Quadrats.Observer[i]
			}
		}
	}
	out := make([][]*reader, 0, len(order))
	for _, p := range order {
		slices.SortStableFunc(readers[p], func(a, b *reader) int { return cmp.Compare(a.observer, b.observer) })
		out = append(out, append(first[p], readers[p]...))
	}
	return out
}

// enter puts a row to the reader it belongs to; the whole of a quadrat in quadrats.csv is one reader's, of number 0
// until one is named.
func enter(list []*reader, q *Quadrats, i int, observer uint32) []*reader {
	k := slices.IndexFunc(list, func(r *reader) bool { return observer == 0 || r.observer == observer })
	if k < 0 {
		k = len(list)
		list = append(list, &reader{observer: observer, covers: map[uint32]float64{}, line: int(q.Line[i])})
	}
	if q.Species[i] != 0 {
		list[k].covers[q.Species[i]] = q.Cover[i]
	}
	return list
}

// observers notes readings of quadrats that are not there, and observers who differ much.
func (c *checker) observers(level float64) {
	f := c.f
	if f.Readings.Len() == 0 {
		return
	}
	var lost fold[uint32]
	for _, r := range f.readTwice() {
		if r[0].again {
			lost.add(r[0].observer, r[0].line)
		}
	}
	lost.each(func(observer uint32, line int, also string) {
		c.found.doubt(readingsTable.file, line, "quadrat", "bed, date, stratum, transect and quadrat must be as in quadrats.csv",
			"quadrats.csv has no such quadrat on that day: what %s read is compared with nothing%s", f.Names[observer], also)
	})
	all := map[[2]string]bool{}
	for _, a := range f.Observers(level) {
		if !a.Large() || all[[2]string{a.First, a.Second}] {
			continue
		}
		all[[2]string{a.First, a.Second}] = a.Species == "" // then the species are not named one by one
		c.found.doubt(readingsTable.file, a.Line, "cover_pct", "read quadrats together until you agree; where one observer reads whole beds, beds differ by it",
			"%s", a.words())
	}
}

// words says in a sentence how two observers differ.
func (a Agreement) words() string {
	of, more := "", "more"
	if a.Species != "" {
		of = " of " + a.Species
	}
	if a.Mean < 0 {
		more = "less"
	}
	return fmt.Sprintf("%s reads %.3g %% cover%s %s than %s on average (%.4g %% interval %.2g to %.2g; SD %.2g; %d %s, %d %s), where %.3g %% is the mean: stocks differ by as much",
		cmp.Or(a.Second, "another"), math.Abs(a.Mean), of, more, cmp.Or(a.First, "the observer of quadrats.csv"), 100*a.Level, a.Lo, a.Hi,
		a.SD, a.Quadrats, plural("quadrat", a.Quadrats), a.Readings, plural("reading", a.Readings), a.Cover)
}
