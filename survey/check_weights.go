package survey

import (
	"fmt"
	"math"
	"slices"
)

const (
	readableCover = 5    // percent: below it cover is read too coarsely to judge a weight by
	fewestWeighed = 8    // weighed quadrats of a species that tell what is usual
	fewestTold    = 3    // weighed quadrats whose median tells the unit
	oddFactor     = 5    // times off the usual weight
	oddSpreads    = 4    // robust standard deviations, on the log, off the usual weight
	lightest      = 0.05 // kg/m2 wet at full cover: less than any weed that is cut has; judgement, no source
)

// weights notes weights that do not go with their cover, or that no shore carries; those whose unit is noted are passed
// over.
func (c *checker) weights(m *measures) {
	c.traces()
	c.heavyWeights()
	byCover := weighedRows{rows: make([][]int32, len(c.f.Names)), full: make([][]float64, len(c.f.Names))}
	for k, i := range m.rows {
		if !m.slipped[k] {
			byCover.add(&c.f.Quadrats, i)
		}
	}
	if !c.lightWeights(&byCover) {
		c.oddWeights(&byCover)
	}
	c.coverFractions()
}

// traces notes weight where cover is 0, and no weight where there is cover.
func (c *checker) traces() {
	q := &c.f.Quadrats
	var trace, none fold[uint32]
	for i, grams := range q.Biomass {
		switch {
		case q.Visit[i] != Done:
		case grams > 0 && q.Cover[i] == 0:
			trace.add(q.Species[i], int(q.Line[i]))
		case grams == 0 && q.Cover[i] >= readableCover:
			none.add(q.Species[i], int(q.Line[i]))
		}
	}
	trace.each(func(id uint32, line int, also string) {
		c.found.doubt("quadrats.csv", line, "biomass_g", "a trace: cover may be given as 0.5",
			"%s was weighed where its cover is 0%s", c.f.Names[id], also)
	})
	none.each(func(id uint32, line int, also string) {
		c.found.doubt("quadrats.csv", line, "biomass_g", "0 means weighed and nothing there: leave the cell blank if it was not weighed",
			"is 0 where %s covers %d %% or more%s", c.f.Names[id], readableCover, also)
	})
}

// weighedArea is the area that the weight of a row stands for, m2.
func (q *Quadrats) weighedArea(i int) float64 {
	if m2 := q.Weighed[i]; !math.IsNaN(m2) {
		return m2
	}
	return q.M2[i]
}

// heavyWeights notes more weight than grows anywhere.
func (c *checker) heavyWeights() {
	q := &c.f.Quadrats
	var heavy fold[uint32]
	most := map[uint32]float64{}
	for i, grams := range q.Biomass {
		if !(grams > 0) || q.Visit[i] != Done {
			continue
		}
		if kg := grams / q.weighedArea(i) / gramsInKilo; kg > heaviest {
			heavy.add(q.Species[i], int(q.Line[i]))
			most[q.Species[i]] = max(most[q.Species[i]], kg)
		}
	}
	heavy.each(func(id uint32, line int, also string) {
		c.found.doubt("quadrats.csv", line, "biomass_g", "weights are in g, per quadrat or per weighed_m2 of it",
			"%s weighs over %d kg/m2, up to %.3g%s", c.f.Names[id], heaviest, most[id], also)
	})
}

// weighedRows are the rows with a weight and a cover that can be read, by species.
type weighedRows struct {
	species []uint32    // in the order of the file
	rows    [][]int32   // by species
	full    [][]float64 // kg/m2 that the rows would have at full cover
}

// add takes a row that [Quadrats.tellsWeight], unless more is said to be weighed than its quadrat.
func (w *weighedRows) add(q *Quadrats, row int32) {
	i := int(row)
	if !(q.weighedArea(i) <= q.M2[i]*(1+1e-9)) {
		return
	}
	id := q.Species[i]
	if w.rows[id] == nil {
		w.species = append(w.species, id)
	}
	w.rows[id] = append(w.rows[id], row)
	w.full[id] = append(w.full[id], q.Biomass[i]/gramsInKilo/q.weighedArea(i)*100/q.Cover[i])
}

// lightWeights notes a folder, else species, weighing next to nothing: kg typed for g. It says whether it is the folder.
func (c *checker) lightWeights(w *weighedRows) bool {
	q := &c.f.Quadrats
	var all []float64
	var light []string
	var first uint32
	for _, id := range w.species {
		all = append(all, w.full[id]...)
		if usual := middleQuantile(slices.Clone(w.full[id])); len(w.full[id]) >= fewestTold && usual < lightest {
			if light == nil {
				first = id
			}
			light = append(light, fmt.Sprintf("%s (%.2g kg/m2, %d weights)", c.f.Names[id], usual, len(w.full[id])))
		}
	}
	const hint = "biomass_g is in g: kg typed for g?"
	if usual := middleQuantile(all); len(all) >= fewestTold && usual < lightest {
		c.found.doubt("quadrats.csv", int(q.Line[w.rows[w.species[0]][0]]), "biomass_g", hint,
			"the median of the %d weights of the folder is %.2g kg/m2 at full cover, less than any weed that is cut", len(all), usual)
		return true
	}
	if len(light) > 0 {
		c.found.doubt("quadrats.csv", int(q.Line[w.rows[first][0]]), "biomass_g", hint,
			"by the median of their weights less stands at full cover than of any weed that is cut: %s", some(light, 6))
	}
	return false
}

// oddWeights notes weights that are several times off what the species weighs in the folder at such a cover, and lie
// outside its spread.
func (c *checker) oddWeights(w *weighedRows) {
	q := &c.f.Quadrats
	for _, id := range w.species {
		full := w.full[id]
		if len(full) < fewestWeighed {
			continue
		}
		usual := middleQuantile(slices.Clone(full))
		off := make([]float64, len(full))
		for i, v := range full {
			off[i] = math.Abs(math.Log(v / usual))
		}
		most := max(math.Log(oddFactor), oddSpreads*1.4826*middleQuantile(slices.Clone(off))) // 1.4826: from the median to the sd of a normal
		var odd sites
		var first float64
		for i, row := range w.rows[id] {
			if off[i] > most && q.Biomass[row]/q.weighedArea(int(row)) <= heaviest*gramsInKilo { // those above are noted already
				if odd.n == 0 {
					first = full[i] / usual
				}
				odd.add(int(q.Line[row]))
			}
		}
		if odd.n > 0 {
			c.found.doubt("quadrats.csv", odd.lines[0], "biomass_g", "kg typed for g, or a digit too many or too few here, in cover_pct or in quadrat_m2?",
				"%s weighs %.2g times what is usual for its cover in this folder%s", c.f.Names[id], first, odd.also())
		}
	}
}

// fewestCovers is how many covers tell that all are typed as fractions.
const fewestCovers = 10

// coverFractions notes a folder all of whose covers look like fractions.
func (c *checker) coverFractions() {
	n, first := 0, 0
	for i, v := range c.f.Quadrats.Cover {
		switch {
		case v > 1:
			return
		case v > 0:
			if n == 0 {
				first = int(c.f.Quadrats.Line[i])
			}
			n++
		}
	}
	if n >= fewestCovers {
		c.found.doubt("quadrats.csv", first, "cover_pct", "cover is in percent: fractions typed for percent, or 1 for present?",
			"none of the %d covers is above 1 %%", n)
	}
}
