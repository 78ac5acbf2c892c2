package survey

import (
	"cmp"
	"encoding/binary"
	"math"
	"slices"
)

// chanceCopies is the expected number of quadrats of a folder that are equal by chance, below which equal ones are
// taken for copies.
const chanceCopies = 1e-3

// fewestQuadrats is how many quadrats tell how often a number is met.
const fewestQuadrats = 30

// copied notes quadrats whose rows are equal in every value to those of another, and runs of quadrats equal one by one
// to an earlier run, more than chance makes them: one sheet was typed twice, or a block of rows pasted.
//
// The chance that a quadrat has given values is taken as the product, over its rows and numbers, of the share of the
// species' rows that hold the same number; that of a run is the product over its quadrats. Of n quadrats there are n
// neighbours and n (n-1) / 2 pairs to be equal by chance. Numbers go together (a thick cover weighs more), so that the
// chance is larger in truth; the limit leaves room for it (testdata/falsealarms.txt, by
// .ci/long/falsealarms).
func (c *checker) copied(first []int32) {
	order, rows := c.quadratRows(first)
	if len(order) < fewestQuadrats {
		return
	}
	share := c.sharesOfValues()
	n := float64(len(order))
	last := map[string]int{} // by the values, the last quadrat that had them
	copies := copyList{checker: c, at: map[[4]uint32]int{}}
	var texts []string
	run, chance := []int{}, 1.0 // quadrats that repeat others, one by one
	of := -1                    // what the last of them repeats
	end := func() {
		pairs := n * (n - 1) / 2
		if len(run) > 0 && run[len(run)-1]-of == 1 {
			pairs = n
		}
		if pairs*chance < chanceCopies {
			for _, j := range run {
				copies.add(order[j-(run[len(run)-1]-of)], order[j])
			}
		}
		run, chance = run[:0], 1
	}
	for j, k := range order {
		text, p := share.values(&c.f.Quadrats, rows[k])
		texts = append(texts, text)
		i, again := last[text]
		goesOn := len(run) > 0 && of+1 < j && texts[of+1] == text
		if !goesOn {
			end()
		}
		switch {
		case goesOn:
			of++
			run, chance = append(run, j), chance*p
		case again:
			of = i
			run, chance = append(run, j), p
		}
		last[text] = j
	}
	end()
	copies.note()
}

// quadratRows gives the visited rows of each quadrat by its first row, by species, and the quadrats in the order of the
// file.
func (c *checker) quadratRows(first []int32) (order []int32, rows map[int32][]int32) {
	q := &c.f.Quadrats
	rows = map[int32][]int32{}
	for i, k := range first {
		if q.Visit[i] != Done || q.Species[i] == 0 {
			continue
		}
		if rows[k] == nil {
			order = append(order, k)
		}
		rows[k] = append(rows[k], int32(i))
	}
	for _, k := range order {
		slices.SortFunc(rows[k], func(a, b int32) int { return cmp.Compare(q.Species[a], q.Species[b]) })
	}
	return order, rows
}

// valueShares are the shares of the rows of a species that hold a number, by column.
type valueShares struct {
	n     map[uint32]float64
	count map[valueKey]float64
}

type valueKey struct {
	species uint32
	column  uint8
	bits    uint64
}

func (c *checker) sharesOfValues() valueShares {
	q := &c.f.Quadrats
	s := valueShares{map[uint32]float64{}, map[valueKey]float64{}}
	for i, id := range q.Species {
		if q.Visit[i] != Done || id == 0 {
			continue
		}
		s.n[id]++
		for _, k := range q.valueKeys(int32(i)) {
			s.count[k]++
		}
	}
	return s
}

func (q *Quadrats) valueKeys(i int32) [3]valueKey {
	var out [3]valueKey
	for k, v := range [3]float64{q.Cover[i], q.Frond[i], q.Biomass[i]} {
		out[k] = valueKey{q.Species[i], uint8(k), math.Float64bits(v)}
		if math.IsNaN(v) {
			out[k].bits = math.MaxUint64
		}
	}
	return out
}

// values are the numbers of the rows of a quadrat as text, and the chance of them.
func (s valueShares) values(q *Quadrats, rows []int32) (string, float64) {
	var text []byte
	chance := 1.0
	for _, i := range rows {
		text = binary.LittleEndian.AppendUint32(text, q.Species[i])
		for _, k := range q.valueKeys(i) {
			text = binary.LittleEndian.AppendUint64(text, k.bits)
		}
		chance *= s.of(q, i)
	}
	return string(text), chance
}

// of is the chance of the numbers of a row. A number met nowhere but in the two rows counts as met twice, so that a
// single odd number is no proof.
func (s valueShares) of(q *Quadrats, i int32) float64 {
	p := 1.0
	for _, k := range q.valueKeys(i) {
		p *= max(s.count[k], 2) / s.n[k.species]
	}
	return p
}

// copyList gathers copies by the bed and day that they and their originals stand on.
type copyList struct {
	*checker

	at    map[[4]uint32]int
	order [][2]int32 // the first pair of each
	more  []sites
}

func (l *copyList) add(old, again int32) {
	q := &l.f.Quadrats
	k := [4]uint32{q.Bed[old], uint32(q.Day[old]), q.Bed[again], uint32(q.Day[again])}
	at, ok := l.at[k]
	if !ok {
		at = len(l.order)
		l.at[k] = at
		l.order, l.more = append(l.order, [2]int32{old, again}), append(l.more, sites{})
	}
	l.more[at].add(int(q.Line[again]))
}

func (l *copyList) note() {
	q := &l.f.Quadrats
	for n, pair := range l.order {
		old, again := pair[0], pair[1]
		from := ""
		if q.Bed[old] != q.Bed[again] {
			from = " of bed " + l.f.Names[q.Bed[old]]
		}
		if q.Day[old] != q.Day[again] {
			from += " on " + q.Day[old].String()
		}
		l.found.doubt("quadrats.csv", int(q.Line[again]), "quadrat", "look at the sheet: was one quadrat typed, or a block of rows pasted, twice?",
			"quadrat %s has the same values throughout as %s%s in line %d, which chance does not make%s", l.quadratName(again), l.quadratName(old),
			from, q.Line[old], l.more[n].also())
	}
}
