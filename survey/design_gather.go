package survey

// gather numbers the sampling units and joins strata that share a transect into groups. It returns what the units are.
func (d *design) gather(quads []quadKey) string {
	name := "quadrat"
	byTransect := map[uint32]int32{}
	var first []int32 // per unit: the first stratum it was seen in
	parent := make([]int32, len(d.strata))
	for h := range parent {
		parent[h] = int32(h)
	}
	root := func(h int32) int32 {
		for parent[h] != h {
			h = parent[h]
		}
		return h
	}
	seen := map[[2]int32]bool{}
	for i, k := range quads {
		unit, known := byTransect[k.transect]
		if k.transect == 0 || !known {
			unit = int32(len(first))
			first = append(first, d.stratum[i])
		}
		if k.transect != 0 {
			byTransect[k.transect], name = unit, "transect"
		}
		d.unit = append(d.unit, unit)
		if key := [2]int32{d.stratum[i], unit}; k.transect == 0 || !seen[key] {
			seen[key] = true
			d.strata[d.stratum[i]].units++
		}
		a, b := root(first[unit]), root(d.stratum[i])
		parent[max(a, b)] = min(a, b)
	}
	d.units = len(first)
	d.number(first, parent, root)
	return name
}

// number numbers the groups in the order of the strata and counts their units.
func (d *design) number(first, parent []int32, root func(int32) int32) {
	number := make([]int32, len(parent))
	for h := range parent {
		if r := root(int32(h)); int(r) == h {
			number[h] = int32(len(d.inside))
			d.inside = append(d.inside, 0)
		}
	}
	d.group = make([]int32, d.units)
	for c, h := range first {
		d.group[c] = number[root(h)]
		d.inside[d.group[c]]++
	}
}
