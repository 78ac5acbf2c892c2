package survey

import "slices"

// filling fills blank cells from the row above, where the rules of a folder ask for it.
type filling struct {
	places []int    // of the columns to be filled
	above  []string // what stood there last
	bed    int      // which of them is the bed; -1: none
	within []int    // which of them are places within a bed
}

// fillDown has the blank cells of the given columns filled from the row above. Columns that the table does not have are
// passed over: what is said of all tables need not fit each.
func (r *rowReader) fillDown(names []string) {
	for k := range r.spec.columns {
		c := &r.spec.columns[k]
		if ours := r.spec.ours[c.name]; ours != nil {
			c = ours
		}
		if i := r.columns[k]; i >= 0 && c.fillable() && slices.Contains(names, c.name) {
			if r.fill == nil {
				spec := *r.spec
				spec.columns = slices.Clone(spec.columns)
				r.fill, r.spec = &filling{bed: -1}, &spec
			}
			r.spec.columns[k].fills = true
			switch n := len(r.fill.places); c.name {
			case "bed":
				r.fill.bed = n
			case "stratum", "transect", "quadrat":
				r.fill.within = append(r.fill.within, n)
			}
			r.fill.places = append(r.fill.places, i)
			r.fill.above = append(r.fill.above, "")
		}
	}
}

// fillRow fills the blank cells of a record, or keeps those that are not for the next. The strata, transects and quadrats
// of a bed are not those of the next.
func (r *rowReader) fillRow(record []string) {
	for k, i := range r.fill.places {
		if i >= len(record) {
			continue
		}
		if s := record[i]; s != "" && !isDitto(s) {
			if k == r.fill.bed && s != r.fill.above[k] {
				for _, j := range r.fill.within {
					r.fill.above[j] = ""
				}
			}
			r.fill.above[k] = s
		} else if above := r.fill.above[k]; above != "" {
			record[i] = above
			r.dialect.Filled++
		}
	}
}
