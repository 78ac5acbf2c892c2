package survey

import (
	"cmp"
	"fmt"
	"slices"
)

// round is one survey of one bed: the rows of quadrats.csv that belong together in time.
type round struct {
	bed            int // index in Folder.Beds
	label          string
	declared       *Declared // nil: recognised by its dates
	from, to, date Day
	rows           []int32   // rows that were visited, none for a survey declared but not done
	size           float64   // usual quadrat size, m2
	sizeBefore     float64   // that of the bed's survey before, 0 for none
	strata         []Stratum // rows of strata.csv of the bed
}

// rounds finds the surveys of every bed, sorted by bed and date.
//
// A survey is what surveys.csv declares; where declared surveys overlap, a quadrat belongs to the one that starts
// first. Other quadrats of the bed form runs, each date within so many days of the last; a run may cross New Year. A
// run is named by the year of its mean date, with -2, -3 within a year.
func rounds(f *Folder, window int) []round {
	declared, strata, rows := declaredByBed(f), strataByBed(f), rowsByBed(f)
	byBed := make([][]round, len(rows))
	inParallel(len(rows), func(bed int) {
		id := f.Beds[bed].ID
		byBed[bed] = bedRounds(f, bed, declared[id], rows[bed], window)
		for i := range byBed[bed] {
			byBed[bed][i].strata = strata[id]
		}
	})
	return slices.Concat(byBed...)
}

// bedRounds finds the surveys of a bed; rows are its visited rows by date.
func bedRounds(f *Folder, bed int, declared []*Declared, rows []int32, window int) []round {
	named, rest := splitDeclared(f, declared, rows)
	for i := range named {
		named[i].bed = bed
	}
	all := append(named, runs(f, bed, rest, window)...)
	for i := range all {
		all[i].date = meanDay(&f.Quadrats, &all[i])
		all[i].size = usualSize(f.Quadrats.M2, all[i].rows)
	}
	slices.SortStableFunc(all, func(a, b round) int { return cmp.Compare(a.date, b.date) })
	nameRuns(all)
	for i := 1; i < len(all); i++ {
		all[i].sizeBefore = all[i-1].size
	}
	return all
}

// rowsByBed lists the visited rows of each bed by date. Rows of a bed without a row in beds.csv are left out.
func rowsByBed(f *Folder) [][]int32 {
	q := &f.Quadrats
	bedOf := make([]int32, len(f.Names))
	for i, name := range f.Names {
		b, ok := f.BedAt(name)
		if !ok {
			b = -1
		}
		bedOf[i] = int32(b)
	}
	n := make([]int, len(f.Beds))
	counts := func(i int) bool { return bedOf[q.Bed[i]] >= 0 && q.Visit[i] == Done }
	for i := range q.Day {
		if counts(i) {
			n[bedOf[q.Bed[i]]]++
		}
	}
	out := make([][]int32, len(f.Beds))
	for b := range out {
		out[b] = make([]int32, 0, n[b])
	}
	for i := range q.Day {
		if b := bedOf[q.Bed[i]]; counts(i) {
			out[b] = append(out[b], int32(i))
		}
	}
	for _, rows := range out {
		byDay := func(a, b int32) int { return cmp.Or(cmp.Compare(q.Day[a], q.Day[b]), cmp.Compare(a, b)) }
		if !slices.IsSortedFunc(rows, byDay) {
			slices.SortFunc(rows, byDay)
		}
	}
	return out
}

// strataByBed groups strata.csv, each bed's strata in the order of the file.
func strataByBed(f *Folder) map[string][]Stratum {
	out := map[string][]Stratum{}
	for _, s := range f.Strata {
		out[s.Bed] = append(out[s.Bed], s)
	}
	return out
}

// declaredByBed groups surveys.csv, each bed's surveys by their first day.
func declaredByBed(f *Folder) map[string][]*Declared {
	out := map[string][]*Declared{}
	for i := range f.Surveys {
		d := &f.Surveys[i]
		out[d.Bed] = append(out[d.Bed], d)
	}
	for _, ds := range out {
		slices.SortStableFunc(ds, func(a, b *Declared) int { return cmp.Compare(a.From, b.From) })
	}
	return out
}

// splitDeclared gives each row to the first declared survey that covers its date and returns the rows left over.
func splitDeclared(f *Folder, ds []*Declared, rows []int32) (named []round, rest []int32) {
	if len(ds) == 0 {
		return nil, rows
	}
	for _, d := range ds {
		named = append(named, round{label: d.Survey, declared: d, from: d.From, to: d.To})
	}
	for _, r := range rows {
		day := f.Quadrats.Day[r]
		i := slices.IndexFunc(ds, func(d *Declared) bool { return d.From <= day && day <= d.To })
		if i < 0 {
			rest = append(rest, r)
			continue
		}
		named[i].rows = append(named[i].rows, r)
	}
	return named, rest
}

// runs splits rows, sorted by date, where more than window days lie between two.
func runs(f *Folder, bed int, rows []int32, window int) []round {
	var out []round
	day := f.Quadrats.Day
	for len(rows) > 0 {
		n := 1
		for n < len(rows) && int(day[rows[n]]-day[rows[n-1]]) <= window {
			n++
		}
		out = append(out, round{bed: bed, from: day[rows[0]], to: day[rows[n-1]], rows: rows[:n:n]})
		rows = rows[n:]
	}
	return out
}

// nameRuns names the surveys that were not declared, in order of date.
func nameRuns(all []round) {
	taken := map[string]bool{}
	for _, r := range all {
		taken[r.label] = true
	}
	for i := range all {
		if all[i].declared != nil {
			continue
		}
		year := fmt.Sprint(all[i].date.Year())
		label := year
		for n := 2; taken[label]; n++ {
			label = fmt.Sprintf("%s-%d", year, n)
		}
		taken[label] = true
		all[i].label = label
	}
}

// meanDay orders the rows of a survey by quadrat and is the mean date of its quadrats, rounded to a day. Without a
// quadrat it is the middle of the declared dates.
func meanDay(q *Quadrats, r *round) Day {
	if len(r.rows) == 0 {
		return r.from + (r.to-r.from)/2
	}
	sortByQuadrat(q, r.rows)
	sum, n := int64(0), int64(0)
	for i, row := range r.rows {
		if i == 0 || !sameQuadrat(q, row, r.rows[i-1]) {
			sum += int64(q.Day[row] - r.from)
			n++
		}
	}
	return r.from + Day((2*sum+n)/(2*n))
}

// sortByQuadrat orders rows by stratum, transect, quadrat, date and species, so that results do not depend on the
// order of a file; rows that agree in all of them go by their place in it.
func sortByQuadrat(q *Quadrats, rows []int32) {
	byQuadrat := func(a, b int32) int {
		switch {
		case q.Stratum[a] != q.Stratum[b]:
			return cmp.Compare(q.Stratum[a], q.Stratum[b])
		case q.Transect[a] != q.Transect[b]:
			return cmp.Compare(q.Transect[a], q.Transect[b])
		case q.Quadrat[a] != q.Quadrat[b]:
			return cmp.Compare(q.Quadrat[a], q.Quadrat[b])
		}
		return cmp.Compare(q.Day[a], q.Day[b])
	}
	bySpecies := func(a, b int32) int {
		if q.Species[a] != q.Species[b] {
			return cmp.Compare(q.Species[a], q.Species[b])
		}
		return cmp.Compare(a, b)
	}
	// Rows of a quadrat mostly stand together: these runs are sorted first, then what is in each.
	type run struct{ first, from, to int32 }
	var runs []run
	for i, row := range rows {
		if i > 0 && sameQuadrat(q, row, rows[i-1]) {
			runs[len(runs)-1].to++
		} else {
			runs = append(runs, run{row, int32(i), int32(i) + 1})
		}
	}
	slices.SortFunc(runs, func(a, b run) int {
		if c := byQuadrat(a.first, b.first); c != 0 {
			return c
		}
		return cmp.Compare(a.from, b.from)
	})
	sorted := make([]int32, 0, len(rows))
	for k, from := 0, 0; k < len(runs); k++ {
		sorted = append(sorted, rows[runs[k].from:runs[k].to]...)
		if k+1 == len(runs) || byQuadrat(runs[k].first, runs[k+1].first) != 0 {
			slices.SortFunc(sorted[from:], bySpecies)
			from = len(sorted)
		}
	}
	copy(rows, sorted)
}

// sameQuadrat says whether two rows of a bed are of one quadrat on one day.
func sameQuadrat(q *Quadrats, a, b int32) bool {
	return q.Quadrat[a] == q.Quadrat[b] && q.Transect[a] == q.Transect[b] && q.Stratum[a] == q.Stratum[b] &&
		q.Day[a] == q.Day[b]
}

// usualSize is the size that most rows have, the smaller of equals; 0 without rows. Neighbours mostly have the same.
func usualSize(m2 []float64, rows []int32) float64 {
	count := map[float64]int{}
	for len(rows) > 0 {
		size, n := m2[rows[0]], 1
		for n < len(rows) && m2[rows[n]] == size {
			n++
		}
		count[size] += n
		rows = rows[n:]
	}
	usual, most := 0.0, 0
	for size, n := range count {
		if n > most || n == most && size < usual {
			usual, most = size, n
		}
	}
	return usual
}
