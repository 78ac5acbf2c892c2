package survey

import (
	"cmp"
	"math"
	"slices"
)

// wideUnits looks at groups that may hold most of the rows: each is measured by the rows of the other people.
func (m *measures) wideUnits(s scope, g groups, usual []float64) {
	rows := m.rowsOf(g, usual)
	byFirst := func(a, b []int32) int { return cmp.Compare(a[0], b[0]) }
	rows = slices.DeleteFunc(rows, func(of []int32) bool { return len(of) < fewestUnit })
	slices.SortFunc(rows, byFirst)
	if len(rows) == 0 {
		return
	}
	rest := newOthers(m)
	for _, of := range rows {
		if m.noteUnit(of, rest.medians(m.observer[of[0]], of), s) {
			rest.leaveOut(of)
		}
	}
}

// rowsOf are the rows of each group of runs that count and whose species has enough to tell what is usual.
func (m *measures) rowsOf(g groups, usual []float64) [][]int32 {
	keep := func(i int32) bool {
		u := usual[m.by.species.of[i]]
		return u == u && m.counts(int(i))
	}
	n := make([]int32, g.n)
	sum := int32(0)
	for run, k := range g.of {
		for i := m.by.runs[run]; k >= 0 && i < m.by.runs[run+1]; i++ {
			if keep(i) {
				n[k]++
				sum++
			}
		}
	}
	all := make([]int32, sum)
	out := make([][]int32, g.n)
	for k := range out {
		out[k], all = all[:0:n[k]], all[n[k]:]
	}
	for run, k := range g.of {
		for i := m.by.runs[run]; k >= 0 && i < m.by.runs[run+1]; i++ {
			if keep(i) {
				out[k] = append(out[k], i)
			}
		}
	}
	return out
}

// others tells the medians of species with the rows of one person left out. The rows of each species are put into bins
// of like values, about as many as there are rows in each, so that only one bin is searched for a median.
type others struct {
	m          *measures
	low, scale []float64 // by species: bin = (log - low) * scale
	bins       []int32   // where the bins of each species begin, and the end
	starts     []int32   // where the rows of each bin begin, and the end
	rows       []int32
	left       []int32 // rows of each bin that count
	own        []int32 // of these the ones of the person at hand
	usual      []float64
	asked      []bool // species of the person at hand
}

func newOthers(m *measures) *others {
	species := m.by.species
	o := &others{m: m, low: make([]float64, species.n), scale: make([]float64, species.n), usual: make([]float64, species.n),
		asked: make([]bool, species.n)}
	n, high := make([]int, species.n), make([]float64, species.n)
	for i, k := range species.of {
		if !m.counts(i) {
			continue
		}
		if n[k] == 0 {
			o.low[k], high[k] = m.logs[i], m.logs[i]
		}
		n[k]++
		o.low[k], high[k] = min(o.low[k], m.logs[i]), max(high[k], m.logs[i])
	}
	o.bins = append(o.bins, 0)
	for k := range species.n {
		bins := math.Ceil(math.Sqrt(float64(n[k])))
		if o.scale[k] = (bins - 1) / (high[k] - o.low[k]); !(o.scale[k] > 0) || math.IsInf(o.scale[k], 0) {
			bins, o.scale[k] = 1, 0 // all the same, or without bounds
		}
		o.bins = append(o.bins, o.bins[k]+int32(bins))
	}
	o.fill()
	return o
}

// bin is the bin of a row. A larger value is never in an earlier one.
func (o *others) bin(i int32) int32 {
	k := o.m.by.species.of[i]
	if o.scale[k] == 0 {
		return o.bins[k]
	}
	return o.bins[k] + int32((o.m.logs[i]-o.low[k])*o.scale[k])
}

// fill puts the rows that count into their bins.
func (o *others) fill() {
	n := o.bins[len(o.bins)-1]
	o.left, o.own, o.starts = make([]int32, n), make([]int32, n), make([]int32, n+1)
	for i := range o.m.logs {
		if o.m.counts(i) {
			o.left[o.bin(int32(i))]++
		}
	}
	for b, k := range o.left {
		o.starts[b+1] = o.starts[b] + k
	}
	o.rows = make([]int32, o.starts[n])
	next := make([]int32, n)
	copy(next, o.starts)
	for i := range o.m.logs {
		if o.m.counts(i) {
			b := o.bin(int32(i))
			o.rows[next[b]] = int32(i)
			next[b]++
		}
	}
}

// leaveOut takes rows out for good.
func (o *others) leaveOut(rows []int32) {
	for _, i := range rows {
		o.left[o.bin(i)]--
	}
}

// medians are those of the rows of other people, for the species of the given rows of one; NaN where too few tell it.
func (o *others) medians(person uint32, rows []int32) []float64 {
	var species []int32
	for _, i := range rows {
		k := o.m.by.species.of[i]
		if !o.asked[k] {
			o.asked[k] = true
			species = append(species, k)
		}
		o.own[o.bin(i)]++
	}
	for _, k := range species {
		o.usual[k], o.asked[k] = o.median(person, k), false
	}
	for _, i := range rows {
		o.own[o.bin(i)] = 0
	}
	return o.usual
}

func (o *others) median(person uint32, species int32) float64 {
	n := 0
	for b := o.bins[species]; b < o.bins[species+1]; b++ {
		n += int(o.left[b] - o.own[b])
	}
	if n < fewestUsual {
		return math.NaN()
	}
	return (o.nth(person, species, (n-1)/2) + o.nth(person, species, n/2)) / 2
}

// nth is the k-th smallest log of other people.
func (o *others) nth(person uint32, species int32, k int) float64 {
	b := o.bins[species]
	for ; k >= int(o.left[b]-o.own[b]); b++ {
		k -= int(o.left[b] - o.own[b])
	}
	logs := make([]float64, 0, o.left[b])
	for _, i := range o.rows[o.starts[b]:o.starts[b+1]] {
		if !o.m.slipped[i] && o.m.observer[i] != person {
			logs = append(logs, o.m.logs[i])
		}
	}
	return nth(logs, k)
}
