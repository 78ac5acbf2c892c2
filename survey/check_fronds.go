package survey

import "math"

// fronds notes fronds of quadrats that quadrats.csv does not list.
func (c *checker) fronds() {
	f := &c.f.Fronds
	if f.Len() == 0 || c.faulty(quadratsTable.file) {
		return
	}
	type place struct {
		bed uint32
		day Day
	}
	known := c.knownBeds()
	var lost fold[place]
	for i, ok := range frondsPlaced(&c.f.Quadrats, f) {
		if !ok && known[f.Bed[i]] && f.Day[i] != NoDay {
			lost.add(place{f.Bed[i], f.Day[i]}, int(f.Line[i]))
		}
	}
	lost.each(func(p place, line int, also string) {
		c.found.doubt("fronds.csv", line, "quadrat", "date, stratum, transect and quadrat must be as in quadrats.csv",
			"quadrats.csv has no such quadrat on bed %s on %s: the frond is not counted with the stock%s", c.f.Names[p.bed], p.day, also)
	})
}

// frondsPlaced says of every frond whether quadrats.csv lists its quadrat on that day. Quadrats and fronds are looked
// through as one list, the fronds last.
func frondsPlaced(q *Quadrats, f *Fronds) []bool {
	n := q.Len()
	at := func(i int) (Day, [4]uint32) {
		if i < n {
			return q.Day[i], [4]uint32{q.Bed[i], q.Stratum[i], q.Transect[i], q.Quadrat[i]}
		}
		i -= n
		return f.Day[i], [4]uint32{f.Bed[i], f.Stratum[i], f.Transect[i], f.Quadrat[i]}
	}
	hash := func(i int) uint64 {
		day, ids := at(i)
		return hashPlace(day, ids[:]...)
	}
	same := func(i, j int) bool {
		d, a := at(i)
		e, b := at(j)
		return d == e && a == b
	}
	placed := make([]bool, f.Len())
	firstOfEach(n+f.Len(), hash, same, func(i, first int) {
		if i >= n {
			placed[i-n] = first < n
		}
	})
	return placed
}

// longFronds notes lengths above what the species table expects, but for those that are noted already.
func (c *checker) longFronds(m *measures) {
	limit := make([]float64, len(m.names))
	for id, name := range m.names {
		limit[id] = math.Inf(1)
		if s := c.species[name]; s != nil {
			limit[id] = s.MaxFrond.Or(math.Inf(1))
		}
	}
	var long fold[uint32]
	for i, id := range m.species {
		if m.value[i] > limit[id] && !m.slipped[i] {
			long.add(id, int(m.line[i]))
		}
	}
	long.each(func(id uint32, line int, also string) {
		c.found.doubt(m.file, line, m.column, "lengths are in cm; max_frond_cm stands in the species table",
			"%s is longer than the %.4g cm to be expected of it%s", m.names[id], limit[id], also)
	})
}
