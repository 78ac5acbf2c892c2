package survey

import (
	"cmp"
	"encoding/binary"
	"math"
	"slices"
)

// slowCopied notes quadrats whose rows are equal in every value to those of another, and runs of quadrats equal one by one
// to an earlier run, more than chance makes them: one sheet was typed twice, or a block of rows pasted.
//
// The chance that a quadrat has given values is taken as the product, over its rows and numbers, of the share of the
// species' rows that hold the same number; that of a run is the product over its quadrats. Of n quadrats there are n
// neighbours and n (n-1) / 2 pairs to be equal by chance. Numbers go together (a thick cover weighs more), so that the
// chance is larger in truth; the limit leaves room for it (testdata/falsealarms.txt, by
// .ci/long/falsealarms).
func (c *checker) slowCopied(first []int32) *copyList {
	order, rows := c.slowQuadratRows(first)
	if len(order) < fewestQuadrats {
		return &copyList{checker: c}
	}
	share := c.slowShares()
	n := float64(len(order))
	last := map[string]int{} // by the values, the last quadrat that had them
	copies := &copyList{checker: c, at: map[[4]uint32]int{}}
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
	return copies
}

// slowQuadratRows gives the visited rows of each quadrat by its first row, by species, and the quadrats in the order of the
// file.
func (c *checker) slowQuadratRows(first []int32) (order []int32, rows map[int32][]int32) {
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

// slowValueShares are the shares of the rows of a species that hold a number, by column.
type slowValueShares struct {
	n     map[uint32]float64
	count map[slowValueKey]float64
}

type slowValueKey struct {
	species uint32
	column  uint8
	bits    uint64
}

func (c *checker) slowShares() slowValueShares {
	q := &c.f.Quadrats
	s := slowValueShares{map[uint32]float64{}, map[slowValueKey]float64{}}
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

func (q *Quadrats) valueKeys(i int32) [3]slowValueKey {
	var out [3]slowValueKey
	for k, v := range [3]float64{q.Cover[i], q.Frond[i], q.Biomass[i]} {
		out[k] = slowValueKey{q.Species[i], uint8(k), math.Float64bits(v)}
		if math.IsNaN(v) {
			out[k].bits = math.MaxUint64
		}
	}
	return out
}

// values are the numbers of the rows of a quadrat as text, and the chance of them.
func (s slowValueShares) values(q *Quadrats, rows []int32) (string, float64) {
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
func (s slowValueShares) of(q *Quadrats, i int32) float64 {
	p := 1.0
	for _, k := range q.valueKeys(i) {
		p *= max(s.count[k], 2) / s.n[k.species]
	}
	return p
}
