package survey

import "math"

// cellSums are the quadrats of one transect in one stratum.
type cellSums struct{ n, sum, squares float64 }

func (c cellSums) mean() float64 { return c.sum / c.n }

// groupComponents takes the variances of y apart in every group of strata; pred is what their mean square is of.
func (s *fieldwork) groupComponents(y, pred []float64) []GroupComponents {
	d := s.design
	cells := make(map[[2]int32]cellSums, d.units)
	strata := make([]cellSums, len(d.strata))
	square := make([]float64, len(d.strata))
	for i, v := range y {
		h, key := d.stratum[i], [2]int32{d.unit[i], d.stratum[i]}
		c := cells[key]
		cells[key] = cellSums{c.n + 1, c.sum + v, c.squares + v*v}
		strata[h] = cellSums{strata[h].n + 1, strata[h].sum + v, 0}
		square[h] += pred[i] * pred[i]
	}
	out := make([]GroupComponents, len(d.inside))
	for g := range out {
		out[g].Units = d.inside[g]
	}
	of := s.groupOf()
	for h, st := range d.strata {
		g := &out[of[h]]
		g.Strata, g.Shares, g.Area = append(g.Strata, st.label), append(g.Shares, st.area), g.Area+st.area
		g.Mean += st.area * strata[h].mean()
		g.Square += st.area * square[h] / strata[h].n
	}
	for i := range out {
		g := &out[i]
		g.Mean, g.Square = g.Mean/g.Area, g.Square/g.Area
		for k := range g.Shares {
			g.Shares[k] /= g.Area
		}
		s.within(g, int32(i), of, cells)
		s.between(g, int32(i), of, cells, strata)
	}
	return out
}

// groupOf is the group of each stratum.
func (s *fieldwork) groupOf() []int32 {
	out := make([]int32, len(s.design.strata))
	for i, h := range s.design.stratum {
		out[h] = s.design.group[s.design.unit[i]]
	}
	return out
}

// within pools the variances of quadrats about the mean of their cell. Without transects cells are the strata.
func (s *fieldwork) within(g *GroupComponents, at int32, of []int32, cells map[[2]int32]cellSums) {
	d := s.design
	ss, df := make([]float64, len(d.strata)), make([]float64, len(d.strata))
	whole := make([]cellSums, len(d.strata))
	for unit := range int32(d.units) { // in order, so that sums have one value
		for h := range d.strata {
			c, there := cells[[2]int32{unit, int32(h)}]
			if !there || of[h] != at {
				continue
			}
			whole[h] = cellSums{whole[h].n + c.n, whole[h].sum + c.sum, whole[h].squares + c.squares}
			if s.unitName == "transect" {
				ss[h], df[h] = ss[h]+max(0, c.squares-c.sum*c.mean()), df[h]+c.n-1
			}
		}
	}
	pooledSS, per, known := 0.0, 0.0, 0.0
	for h, st := range d.strata {
		if of[h] != at {
			continue
		}
		if s.unitName != "transect" {
			ss[h], df[h] = max(0, whole[h].squares-whole[h].sum*whole[h].mean()), whole[h].n-1
		}
		g.WithinDF += df[h]
		pooledSS += ss[h]
		if df[h] > 0 {
			per += st.area / g.Area * ss[h] / df[h]
			known += st.area / g.Area
		}
	}
	switch {
	case g.WithinDF == 0:
		g.Within = math.NaN()
	case known < 1-1e-9: // a stratum without two quadrats on a transect: as the others
		g.Within = pooledSS / g.WithinDF
	default:
		g.Within = per
	}
}

// between is the variance of the means of transects and how many quadrats these are of.
func (s *fieldwork) between(g *GroupComponents, at int32, of []int32, cells map[[2]int32]cellSums, strata []cellSums) {
	d := s.design
	g.Means, g.PerMean = math.NaN(), math.NaN()
	if s.unitName != "transect" {
		return
	}
	var z []float64
	inverse := 0.0
	for unit := range int32(d.units) {
		if d.group[unit] != at {
			continue
		}
		dev := 0.0
		for h, st := range d.strata {
			c, there := cells[[2]int32{unit, int32(h)}]
			if !there || of[h] != at {
				continue
			}
			w := st.area / g.Area
			dev += w * (c.mean() - strata[h].mean())
			// Quadrats laid out by area have W_h m of m in stratum h: W_h² S²/m_h = W_h S²/m there.
			inverse += w * w / c.n
		}
		z = append(z, dev)
	}
	n := float64(len(z))
	g.PerMean = n / inverse
	if len(z) > 1 {
		g.Means, g.MeansDF = variance(z), n-1
	}
}
