package survey

import "math"

// measured is what was found of numbers that are off by whole digits, one by one and by day or observer. Cover is bounded
// and read in classes: a digit too few cannot be told from a thin cover but by the weight (see [checker.oddWeights]).
type measured struct {
	quadratWeights, quadratLengths, frondLengths, frondWeights, cuts, plots *measures
}

// measureOthers looks for numbers that are off by whole digits outside quadrats.csv.
func (c *checker) measureOthers(m *measured) {
	f := &c.f.Fronds
	by := newTogether(f.Species, f.Bed, nil, f.Day)
	m.frondLengths, m.cuts, m.plots = c.frondLengths(), c.cutWeights().seek(), c.plotWeights()
	m.frondLengths.by = by
	m.frondLengths.seek()
	m.frondWeights = c.frondWeights(m.frondLengths.slipped)
	m.frondWeights.by = by
	m.frondWeights.seek()
	m.plots.find() // a plot may hold next to nothing or a thicket: single ones are not judged
}

// seek looks for units in a column of numbers, then for single ones that are off by whole digits.
func (m *measures) seek() *measures {
	m.find()
	m.digits()
	return m
}

// find makes a column of numbers ready, and looks for units in it.
func (m *measures) find() {
	if m.by == nil {
		m.by = newTogether(m.species, m.bed, m.observer, m.day)
	}
	m.takeLogs()
	m.findUnits()
}

// noteMeasured notes numbers that are off by whole digits.
func (c *checker) noteMeasured(m *measured) {
	c.noteUnits(m.quadratWeights)
	for _, one := range []*measures{m.quadratLengths, m.frondLengths, m.cuts, m.frondWeights} {
		c.noteUnits(one)
		c.noteDigits(one)
	}
	c.noteUnits(m.plots)
	c.longFronds(m.quadratLengths)
	c.longFronds(m.frondLengths)
	c.cutSlips = m.cuts.slipped
}

// noNumbers are n numbers that are missing.
func noNumbers(n int) []float64 {
	out := make([]float64, n)
	for i := range out {
		out[i] = math.NaN()
	}
	return out
}

const (
	kgForG  = "kg typed for g"
	gForKg  = "g typed for kg"
	mmForCm = "mm typed for cm"
	mForCm  = "m typed for cm"
)

// quadratWeights are the weights at full cover, kg/m2, of the rows that have one; single ones are judged by
// [checker.oddWeights].
func (c *checker) quadratWeights() *measures {
	q := &c.f.Quadrats
	n := 0
	for i := range q.Biomass {
		if q.tellsWeight(i) {
			n++
		}
	}
	m := &measures{names: c.f.Names, file: quadratsTable.file, column: "biomass_g", who: "observer", slips: map[int]string{-3: kgForG, 3: gForKg},
		rows: make([]int32, 0, n), value: make([]float64, n), line: make([]int32, n), species: make([]uint32, n), bed: make([]uint32, n),
		day: make([]Day, n), observer: make([]uint32, n), slipped: make([]bool, n)}
	for i, g := range q.Biomass {
		if q.tellsWeight(i) {
			k := len(m.rows)
			m.rows = append(m.rows, int32(i))
			m.value[k], m.line[k] = g/q.weighedArea(i)/q.Cover[i], q.Line[i]
			m.species[k], m.bed[k], m.day[k], m.observer[k] = q.Species[i], q.Bed[i], q.Day[i], q.Observer[i]
		}
	}
	return m
}

// tellsWeight says whether a row has a weight and a cover that it can be set against.
func (q *Quadrats) tellsWeight(i int) bool {
	return q.Biomass[i] > 0 && q.Cover[i] >= readableCover && q.Visit[i] == Done
}

// quadratLengths are the mean lengths of quadrats, cm.
func (c *checker) quadratLengths() *measures {
	q := &c.f.Quadrats
	return &measures{names: c.f.Names, file: quadratsTable.file, column: "frond_cm", value: q.Frond, shown: q.Frond, unit: "cm", line: q.Line,
		species: q.Species, bed: q.Bed, day: q.Day, observer: q.Observer, who: "observer", slipped: make([]bool, q.Len()),
		slips: map[int]string{1: mmForCm, -2: mForCm}, hint: "lengths are in cm: check the sheet"}
}

// frondLengths are the lengths of fronds, cm.
func (c *checker) frondLengths() *measures {
	f := &c.f.Fronds
	return &measures{names: c.f.Names, file: frondsTable.file, column: "frond_cm", value: f.Length, shown: f.Length, unit: "cm", line: f.Line,
		species: f.Species, bed: f.Bed, day: f.Day, slipped: make([]bool, f.Len()),
		slips: map[int]string{1: mmForCm, -2: mForCm}, hint: "lengths are in cm: check the sheet"}
}

// frondWeights are the weights of fronds over the square of their length, to which weight goes roughly.
// Those whose length is doubted do not count.
func (c *checker) frondWeights(doubted []bool) *measures {
	f := &c.f.Fronds
	m := &measures{names: c.f.Names, file: frondsTable.file, column: "wet_g", value: noNumbers(f.Len()), shown: f.Wet, unit: "g", line: f.Line,
		species: f.Species, bed: f.Bed, day: f.Day, slipped: make([]bool, f.Len()), slips: map[int]string{-3: kgForG, 3: gForKg},
		usualFor: " for its length", hint: "weights are in g: check the sheet"}
	for i, g := range f.Wet {
		if g > 0 && f.Length[i] > 0 && !doubted[i] {
			m.value[i] = g / (f.Length[i] * f.Length[i])
		}
	}
	return m
}

// cutWeights are the landings, kg; cast weed counts for itself, as a species of its own.
func (c *checker) cutWeights() *measures {
	n := len(c.f.Cuts)
	m := &measures{file: harvestTable.file, column: "wet_kg", value: make([]float64, n), unit: "kg", line: make([]int32, n),
		species: make([]uint32, n), bed: make([]uint32, n), day: make([]Day, n), observer: make([]uint32, n), who: "permit",
		slipped: make([]bool, n), slips: map[int]string{3: gForKg, -3: "t typed for kg"}, hint: "weights are in kg: check the return", smallIsUsual: true}
	ids := newPool()
	for i, k := range c.f.Cuts {
		m.value[i], m.line[i], m.day[i] = k.Kg, int32(k.Line), k.From
		m.species[i], m.bed[i], m.observer[i] = ids.id(k.Species), ids.id(k.Bed), ids.id(k.Permit)
		if k.Cast {
			m.value[i] = math.NaN()
		}
	}
	m.shown, m.names = m.value, ids.names
	return m
}

// plotWeights are the weights of regrowth plots, g/m2.
func (c *checker) plotWeights() *measures {
	n := len(c.f.Regrowth)
	m := &measures{file: regrowthTable.file, column: "biomass_g", value: make([]float64, n), shown: make([]float64, n), unit: "g",
		line: make([]int32, n), species: make([]uint32, n), bed: make([]uint32, n), day: make([]Day, n), slipped: make([]bool, n),
		slips: map[int]string{-3: kgForG}, hint: "weights are in g in the plot: check the sheet"}
	ids := newPool()
	for i, p := range c.f.Regrowth {
		m.value[i], m.shown[i], m.line[i], m.day[i] = p.Biomass/p.M2, p.Biomass, int32(p.Line), p.Day
		m.species[i], m.bed[i] = ids.id(p.Species), ids.id(p.Plot)
	}
	m.names = ids.names
	return m
}
