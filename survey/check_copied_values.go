package survey

import (
	"cmp"
	"math"
	"slices"
)

// visitedRows are the visited rows of each quadrat that name a species, by species; quadrats in the order of the file.
type visitedRows struct {
	q      *Quadrats
	first  []int32 // row that names the quadrat first
	starts []int32 // of the rows of each quadrat, and the end
	rows   []int32
}

// visited gathers rows by the first row of the same quadrat.
func (q *Quadrats) visited(first []int32) *visitedRows {
	n := 0
	for i, k := range first {
		if int(k) == i {
			n++
		}
	}
	v := &visitedRows{q: q, first: make([]int32, 0, n), starts: make([]int32, 0, n+1)}
	place := zeros[int32](len(first)) // + 1, by first row
	for i, k := range first {
		if !q.isNamed(i) {
			continue
		}
		if place[k] == 0 {
			v.first, v.starts = append(v.first, k), append(v.starts, 0)
			place[k] = int32(len(v.first))
		}
		v.starts[place[k]-1]++
	}
	sum := int32(0)
	for j, n := range v.starts {
		v.starts[j] = sum
		sum += n
	}
	v.rows = make([]int32, sum)
	for i, k := range first {
		if q.isNamed(i) {
			j := place[k] - 1
			v.rows[v.starts[j]] = int32(i)
			v.starts[j]++ // to the end of the quadrat, the start of the next
		}
	}
	v.starts = slices.Insert(v.starts, 0, 0)
	for j := range v.first {
		v.sortRows(v.of(j))
	}
	return v
}

// isNamed says whether a row tells of a species in a quadrat that was visited.
func (q *Quadrats) isNamed(i int) bool { return q.Visit[i] == Done && q.Species[i] != 0 }

// of are the rows of a quadrat.
func (v *visitedRows) of(j int) []int32 { return v.rows[v.starts[j]:v.starts[j+1]] }

// sortRows orders rows by species. Most quadrats have few, in order already.
func (v *visitedRows) sortRows(rows []int32) {
	if len(rows) > 12 {
		slices.SortFunc(rows, func(a, b int32) int { return cmp.Compare(v.q.Species[a], v.q.Species[b]) })
		return
	}
	for i := 1; i < len(rows); i++ {
		for j := i; j > 0 && v.q.Species[rows[j]] < v.q.Species[rows[j-1]]; j-- {
			rows[j], rows[j-1] = rows[j-1], rows[j]
		}
	}
}

// alike is, of every quadrat, the first whose species and numbers are all the same.
func (v *visitedRows) alike() []int32 {
	hash := func(j int) uint64 {
		h := uint64(0)
		for _, i := range v.of(j) {
			h = mix(h ^ uint64(v.q.Species[i]))
			for _, bits := range v.q.valueBits(i) {
				h = mix(h ^ bits)
			}
		}
		return h
	}
	return firstsOf(len(v.first), hash, v.same)
}

func (v *visitedRows) same(a, b int) bool {
	return slices.EqualFunc(v.of(a), v.of(b), func(i, j int32) bool {
		return v.q.Species[i] == v.q.Species[j] && v.q.valueBits(i) == v.q.valueBits(j)
	})
}

// mix spreads the bits of a hash.
func mix(h uint64) uint64 {
	h *= 0x9e3779b97f4a7c15
	return h ^ h>>32
}

// valueBits are the numbers of a row as bits, those that are missing all alike.
func (q *Quadrats) valueBits(i int32) [3]uint64 {
	var out [3]uint64
	for k, x := range [3]float64{q.Cover[i], q.Frond[i], q.Biomass[i]} {
		if out[k] = math.Float64bits(x); x != x {
			out[k] = missingBits
		}
	}
	return out
}

const missingBits = math.MaxUint64

// valueKey is a number of a species in a column.
type valueKey struct {
	bits    uint64
	species uint32
	column  uint32
}

// valueShares count the rows of a species, and those of them that hold a number, by column. Only numbers of quadrats
// that are like another are counted.
type valueShares struct {
	q     *Quadrats
	n     []float64    // by species
	blank [][3]float64 // by species: rows without a number
	keys  []valueKey   // open addressing; species 0 is free
	count []float64
}

// sharesOf counts numbers; like is the first quadrat that each is like.
func sharesOf(v *visitedRows, like []int32) *valueShares {
	s := &valueShares{q: v.q}
	repeated := make([]bool, len(like))
	cells := 0
	for j, first := range like {
		if int(first) != j && !repeated[first] {
			repeated[first] = true
			cells += 3 * len(v.of(int(first)))
		}
	}
	if cells == 0 {
		return s
	}
	size := 1
	for size < 2*cells {
		size *= 2
	}
	s.keys, s.count = make([]valueKey, size), make([]float64, size)
	for j, yes := range repeated {
		if yes {
			s.enter(v.of(j))
		}
	}
	s.countAll(v.rows)
	return s
}

// enter makes room for the numbers of rows.
func (s *valueShares) enter(rows []int32) {
	for _, i := range rows {
		for column, bits := range s.q.valueBits(i) {
			if k := (valueKey{bits, s.q.Species[i], uint32(column)}); bits != missingBits {
				s.keys[s.slot(k)] = k
			}
		}
	}
}

// slot is where a number stands, or a free place.
func (s *valueShares) slot(k valueKey) int {
	last := len(s.keys) - 1
	at := int(mix(mix(k.bits^uint64(k.species)<<2^uint64(k.column)))) & last
	for s.keys[at] != k && s.keys[at].species != 0 {
		at = (at + 1) & last
	}
	return at
}

// countAll counts numbers for which there is room.
func (s *valueShares) countAll(rows []int32) {
	most := uint32(0)
	for _, i := range rows {
		most = max(most, s.q.Species[i])
	}
	s.n, s.blank = make([]float64, most+1), make([][3]float64, most+1)
	for _, i := range rows {
		id := s.q.Species[i]
		s.n[id]++
		for column, bits := range s.q.valueBits(i) {
			if bits == missingBits {
				s.blank[id][column]++
			} else if at := s.slot(valueKey{bits, id, uint32(column)}); s.keys[at].species != 0 {
				s.count[at]++
			}
		}
	}
}

// chance is that of the numbers of rows. A number met nowhere but in the two rows counts as met twice, so that a single
// odd number is no proof.
func (s *valueShares) chance(rows []int32) float64 {
	p := 1.0
	for _, i := range rows {
		id, of := s.q.Species[i], 1.0
		for column, bits := range s.q.valueBits(i) {
			count := s.blank[id][column]
			if bits != missingBits {
				count = s.count[s.slot(valueKey{bits, id, uint32(column)})]
			}
			of *= max(count, 2) / s.n[id]
		}
		p *= of
	}
	return p
}
