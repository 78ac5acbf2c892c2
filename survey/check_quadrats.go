package survey

import "math"

const (
	seriesRows  = 4  // rows of a run, rising by equal steps, that show a cell filled down as a series
	heaviest    = 30 // kg/m2 wet, more than any intertidal weed is known to reach; judgement, no source
	gramsInKilo = 1000
)

// noRows notes a table of quadrats of which every row is set aside.
func (c *checker) noRows() {
	if c.read(quadratsTable.file) && c.f.Quadrats.Len() == 0 && !c.faulty(quadratsTable.file) {
		c.found.fault("quadrats.csv", 0, "", "", "every row is set aside: there is no quadrat left")
	}
}

// quadrats notes what rows of quadrats.csv contradict in one another, and what no quadrat is likely to hold.
func (c *checker) quadrats(first []int32) {
	c.filledSeries()
	c.filledDates()
	c.largeBeds()
	c.largeQuadrats()
	c.sameQuadrats(first)
	c.crowded(first)
}

// filledSeries notes sizes that rise by equal steps from row to row, as a spreadsheet fills a column down.
func (c *checker) filledSeries() {
	q := &c.f.Quadrats
	for start := 0; start+1 < q.Len(); {
		step := q.M2[start+1] - q.M2[start]
		end := start + 1
		for end+1 < q.Len() && math.Abs(q.M2[end+1]-q.M2[end]-step) <= 1e-9*math.Abs(step) {
			end++
		}
		if step > 0 && end-start+1 >= seriesRows {
			c.found.fault("quadrats.csv", int(q.Line[start]), "quadrat_m2", "copy the size down instead of filling it as a series",
				"rises by %.4g from row to row, from %.4g to %.4g in line %d: filled down by mistake?", step, q.M2[start],
				q.M2[end], q.Line[end])
		}
		start = end
	}
}

// sameQuadrats notes rows that give their quadrat another size or visit than its first row does.
func (c *checker) sameQuadrats(first []int32) {
	q := &c.f.Quadrats
	type clash struct {
		quad   int32
		visit  bool
		m2     float64
		became Visit
	}
	var clashes fold[clash]
	for i, k := range first {
		switch {
		case q.Day[i] == NoDay && q.Visit[i] != Planned && q.Visit[k] != Planned: // noted already
		case q.Visit[i] != q.Visit[k]:
			clashes.add(clash{quad: k, visit: true, became: q.Visit[i]}, int(q.Line[i]))
		case q.M2[i] != q.M2[k] && !math.IsNaN(q.M2[i]) && !math.IsNaN(q.M2[k]):
			clashes.add(clash{quad: k, m2: q.M2[i]}, int(q.Line[i]))
		}
	}
	clashes.each(func(k clash, line int, also string) {
		name := c.f.Names[q.Quadrat[k.quad]]
		if k.visit && (k.became == Planned || q.Visit[k.quad] == Planned) {
			c.found.fault("quadrats.csv", line, "visit", "fill in every row of a quadrat: 0 where a species was looked for and absent, and done; or delete the row",
				"is %s, but line %d says %s of the same quadrat %s%s", visitWords[k.became], q.Line[k.quad],
				visitWords[q.Visit[k.quad]], name, also)
			return
		}
		if k.visit {
			c.found.fault("quadrats.csv", line, "visit", "all rows of a quadrat and day say the same",
				"is %s, but line %d says %s of the same quadrat %s%s", visitWords[k.became], q.Line[k.quad],
				visitWords[q.Visit[k.quad]], name, also)
			return
		}
		c.found.fault("quadrats.csv", line, "quadrat_m2", "all rows of a quadrat and day have the same size; give two quadrats two labels",
			"is %.6g, but line %d gives %.6g for the same quadrat %s%s", k.m2, q.Line[k.quad], q.M2[k.quad], name, also)
	})
}

// crowdedCover is what species of one group may cover together, percent: fronds of two layers overlap.
const crowdedCover = 150

// crowded notes quadrats in which species of one group, which share their space, cover far more than all of it.
func (c *checker) crowded(first []int32) {
	q := &c.f.Quadrats
	group, groups := c.groups()
	sums := make([]float64, q.Len())
	for k := 1; k < len(groups); k++ {
		clear(sums)
		var over sites
		for i, at := range first {
			if group[q.Species[i]] != k || !(q.Cover[i] > 0) || q.Day[i] == NoDay {
				continue
			}
			was := sums[at]
			sums[at] += q.Cover[i]
			if was <= crowdedCover && sums[at] > crowdedCover*(1+1e-9) {
				over.add(int(q.Line[i]))
			}
		}
		if over.n > 0 {
			c.found.doubt("quadrats.csv", over.lines[0], "cover_pct", "layers may overlap; else check the figures",
				"species of the group %s cover more than %d %% of a quadrat together%s", groups[k], crowdedCover, over.also())
		}
	}
}

// groups gives the group of every interned species by its number, and the names of the groups; number 0 is none.
func (c *checker) groups() (of []int, names []string) {
	of, names = make([]int, len(c.f.Names)), []string{""}
	place := map[string]int{"": 0}
	for id, name := range c.f.Names {
		s := c.species[name]
		if s == nil {
			continue
		}
		k, ok := place[s.Group]
		if !ok {
			k = len(names)
			place[s.Group] = k
			names = append(names, s.Group)
		}
		of[id] = k
	}
	return of, names
}
