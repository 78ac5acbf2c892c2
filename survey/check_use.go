package survey

import (
	"cmp"
	"slices"
)

// permitNames notes permits that permits.csv, where it has rows, does not list. They may have ended since.
func (c *checker) permitNames() {
	if len(c.f.Permits) == 0 {
		return
	}
	var names []string
	for _, p := range c.f.Permits {
		names = append(names, p.Permit)
	}
	slices.Sort(names)
	names = slices.Compact(names)
	note := func(file string, unknown *fold[string]) {
		unknown.each(func(permit string, line int, also string) {
			hint := cmp.Or(meant(permit, names), "mend its name here if the permit has not ended")
			c.found.doubt(file, line, "permit", hint, "%q holds no share in permits.csv%s", permit, also)
		})
	}
	var cut, granted fold[string]
	for _, k := range c.f.Cuts {
		if k.Permit != "" && !slices.Contains(names, k.Permit) {
			cut.add(k.Permit, k.Line)
		}
	}
	for _, d := range c.f.Decisions {
		if d.Permit != "" && !slices.Contains(names, d.Permit) {
			granted.add(d.Permit, d.Line)
		}
	}
	note("harvest.csv", &cut)
	note("decisions.csv", &granted)
}

// cuts notes cuts that are not known, and those larger than any stock.
func (c *checker) cuts() {
	if !c.f.CutsKnown && !c.faulty(harvestTable.file) {
		const hint = "enter what was cut; a nil return is a row with wet_kg 0"
		if c.read(harvestTable.file) {
			c.found.doubt("harvest.csv", 0, "", hint, "no rows: cuts are not known")
		} else {
			c.found.doubt("harvest.csv", 0, "", hint, "is missing: cuts are not known")
		}
	}
	for _, k := range c.f.Cuts {
		bed := c.bed(k.Bed)
		if bed == nil || k.From == NoDay || k.Cast {
			continue
		}
		if area := bed.At(k.From).Area; k.Kg > heaviest*area {
			c.found.doubt("harvest.csv", k.Line, "wet_kg", "weights are in kg wet",
				"%.6g kg is more than %d kg from every m2 of bed %s, %.6g m2", k.Kg, heaviest, k.Bed, area)
		}
	}
}
