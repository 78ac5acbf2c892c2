package survey

import "math"

// measured looks for numbers that are off by whole digits, one by one and by day or observer. Cover is bounded and read
// in classes: a digit too few cannot be told from a thin cover but by the weight (see [checker.oddWeights]).
func (c *checker) measured() {
	weights := c.quadratWeights()
	c.units(weights)
	c.unitSlips = weights.slipped
	quadrats, fronds := c.quadratLengths(), c.frondLengths()
	cuts := c.cutWeights()
	for _, m := range []*measures{quadrats, fronds, cuts} {
		c.units(m)
		c.digits(m)
	}
	weights = c.frondWeights(fronds.slipped)
	c.units(weights)
	c.digits(weights)
	c.cutSlips = cuts.slipped
	c.units(c.plotWeights()) // a plot may hold next to nothing or a thicket: single ones are not judged
	c.longFronds(quadrats)
	c.longFronds(fronds)
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

// quadratWeights are the weights at full cover, kg/m2; single ones are judged by [checker.oddWeights].
func (c *checker) quadratWeights() *measures {
	q := &c.f.Quadrats
	m := &measures{names: c.f.Names, file: quadratsTable.file, column: "biomass_g", value: noNumbers(q.Len()), line: q.Line, species: q.Species,
		bed: q.Bed, day: q.Day, observer: q.Observer, who: "observer", slips: map[int]string{-3: kgForG, 3: gForKg}}
	for i, g := range q.Biomass {
		if g > 0 && q.Cover[i] >= readableCover && q.Visit[i] == Done {
			m.value[i] = g / q.weighedArea(i) / q.Cover[i]
		}
	}
	m.slipped = make([]bool, len(m.value))
	return m
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
