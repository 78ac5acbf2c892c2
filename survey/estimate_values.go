package survey

import "math"

// readings is what a survey of a bed read of one species, an entry a quadrat. A visited quadrat without a row of the
// species holds none: cover 0, kg 0.
type readings struct {
	cover []float64 // percent; NaN: not read
	kg    []float64 // kg/m2; NaN: not weighed
	frond []float64 // mean length, cm; NaN: not read

	class   []uint8 // where cover was read as a letter, 1 the first of classes; nil: nowhere
	classes []CoverClass
}

// readings lays out the rows of a species over the quadrats. Biomass is divided by the part of the quadrat that was
// clipped, where that is given. A blank cover where 0 g were weighed is 0.
func (s *fieldwork) readings(q *Quadrats, rows []placed) readings {
	n := len(s.quads)
	r := readings{cover: make([]float64, n), kg: make([]float64, n), frond: make([]float64, n), classes: q.Classes}
	if q.Class != nil {
		r.class = make([]uint8, n)
	}
	for i := range r.frond {
		r.frond[i] = math.NaN()
	}
	for _, at := range rows {
		m2 := q.Weighed[at.row]
		if math.IsNaN(m2) {
			m2 = s.design.m2[at.quad]
		}
		r.cover[at.quad] = q.Cover[at.row]
		if r.class != nil {
			r.class[at.quad] = q.Class[at.row]
		}
		r.kg[at.quad] = q.Biomass[at.row] / m2 / 1000
		r.frond[at.quad] = q.Frond[at.row]
		if math.IsNaN(q.Cover[at.row]) && q.Biomass[at.row] == 0 {
			r.cover[at.quad] = 0
		}
	}
	return r
}

// holds says whether the species was found in the quadrat. With neither cover nor weight it counts as found: it was
// written down.
func (r readings) holds(i int) bool {
	return r.cover[i] > 0 || r.kg[i] > 0 || math.IsNaN(r.cover[i]) && math.IsNaN(r.kg[i])
}

// weighed says whether the quadrat holds the species and it was weighed.
func (r readings) weighed(i int) bool { return r.holds(i) && !math.IsNaN(r.kg[i]) }

// paired says whether the quadrat holds the species and both cover and weight are known.
func (r readings) paired(i int) bool { return r.weighed(i) && !math.IsNaN(r.cover[i]) }

// count is the number of quadrats of which is true.
func (r readings) count(is func(int) bool) int {
	n := 0
	for i := range r.cover {
		if is(i) {
			n++
		}
	}
	return n
}
