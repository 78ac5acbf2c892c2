package survey

import "slices"

// slowLostZeros notes labels of one bed that differ in leading zeros alone: 07 typed as text in one year, as a number in
// another.
func (c *checker) slowLostZeros() {
	bare := make([]string, len(c.f.Names))
	for id, name := range c.f.Names {
		bare[id] = withoutZeros(name)
	}
	type label struct {
		bed  uint32
		bare string
	}
	c.labelColumns(func(file, column string, ids, bed []uint32, line []int32) {
		seen := map[label]uint32{}
		var pairs []string
		var at int
		for i, id := range ids {
			if id == 0 || bare[id] == "" {
				continue
			}
			k := label{bed[i], bare[id]}
			old, ok := seen[k]
			switch pair := c.f.Names[id] + " and " + c.f.Names[old]; {
			case !ok:
				seen[k] = id
			case old != id && !slices.Contains(pairs, pair):
				if pairs == nil {
					at = int(line[i])
				}
				pairs = append(pairs, pair)
			}
		}
		if pairs != nil {
			c.found.doubt(file, at, column, "a spreadsheet program drops leading zeros: format the column as text and write a label the same in every row",
				"labels differ in leading zeros alone: %s", some(pairs, 6))
		}
	})
}
