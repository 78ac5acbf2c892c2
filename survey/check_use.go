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
	listed := func(permit string) bool {
		_, ok := slices.BinarySearch(names, permit)
		return ok
	}
	var cut, granted fold[string]
	for _, k := range c.f.Cuts {
		if k.Permit != "" && !listed(k.Permit) {
			cut.add(k.Permit, k.Line)
		}
	}
	for _, k := range c.f.Unallocated {
		if k.Permit != "" && !slices.Contains(names, k.Permit) {
			cut.add(k.Permit, k.Line)
		}
	}
	for _, d := range c.f.Decisions {
		if d.Permit != "" && !listed(d.Permit) {
			granted.add(d.Permit, d.Line)
		}
	}
	note("harvest.csv", &cut)
	note("decisions.csv", &granted)
}
