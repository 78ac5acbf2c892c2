package survey

import (
	"cmp"
	"slices"
)

// strataNames notes quadrats and fronds in strata that strata.csv does not list for their bed.
func (c *checker) strataNames() {
	if c.read(strataTable.file) && len(c.f.Strata) == 0 || c.lostRows(strataTable.file) {
		return // strata.csv is the mistake
	}
	q, f := &c.f.Quadrats, &c.f.Fronds
	none := c.strataOf("quadrats.csv", q.Bed, q.Stratum, q.Line, func(i int) bool { return q.Visit[i] == Done })
	c.noteNoStrata(none)
	c.strataOf("fronds.csv", f.Bed, f.Stratum, f.Line, func(int) bool { return false })
}

// stratumOf is a stratum of a bed, by interned text.
type stratumOf struct{ bed, stratum uint32 }

// stratumFault is what is wrong with a stratum.
type stratumFault uint8

const (
	stratumRight   stratumFault = iota
	stratumUnknown              // the bed has strata, but none of this name
	stratumBlank                // the bed has strata and none is named
	stratumIdle                 // a stratum is named and the bed has none
)

func (c *checker) judgeStratum(s stratumOf) stratumFault {
	bed, label := c.f.Names[s.bed], c.f.Names[s.stratum]
	labels := c.strata[bed]
	switch {
	case c.bed(bed) == nil:
	case len(labels) == 0 && label != "":
		return stratumIdle
	case len(labels) > 0 && label == "":
		return stratumBlank
	case len(labels) > 0 && !slices.Contains(labels, label):
		return stratumUnknown
	}
	return stratumRight
}

// strataOf looks at the strata of one file; must says which rows have to name one where the bed has strata. It returns
// the beds of which strata are named but none are listed.
func (c *checker) strataOf(file string, bed, stratum []uint32, lines []int32, must func(i int) bool) (none fold[uint32]) {
	var unknown, blank fold[stratumOf]
	known := map[stratumOf]stratumFault{}
	var last stratumOf
	var verdict stratumFault
	for i := range bed {
		s := stratumOf{bed[i], stratum[i]}
		if i == 0 || s != last { // neighbouring rows mostly agree
			var seen bool
			if verdict, seen = known[s]; !seen {
				verdict = c.judgeStratum(s)
				known[s] = verdict
			}
			last = s
		}
		switch line := int(lines[i]); {
		case verdict == stratumUnknown:
			unknown.add(s, line)
		case verdict == stratumBlank && must(i):
			blank.add(s, line)
		case verdict == stratumIdle:
			none.add(s.bed, line)
		}
	}
	unknown.each(func(s stratumOf, line int, also string) {
		bed, label := c.f.Names[s.bed], c.f.Names[s.stratum]
		hint := cmp.Or(meant(label, c.strata[bed]), "the strata of the bed: "+listed(c.strata[bed], 8))
		c.found.fault(file, line, "stratum", hint, "%q is not a stratum of bed %s in strata.csv%s", label, bed, also)
	})
	blank.each(func(s stratumOf, line int, also string) {
		bed := c.f.Names[s.bed]
		c.found.fault(file, line, "stratum", "write one of: "+listed(c.strata[bed], 8),
			"is blank, but strata.csv lists strata for bed %s%s", bed, also)
	})
	return none
}

// noteNoStrata notes beds of which quadrats name strata that have no area.
func (c *checker) noteNoStrata(none fold[uint32]) {
	if len(none.keys) == 0 {
		return
	}
	var beds []string
	for _, id := range none.keys {
		beds = append(beds, c.f.Names[id])
	}
	each := ""
	if len(beds) > 1 {
		each = " each"
	}
	c.found.doubt("quadrats.csv", none.at[none.keys[0]].lines[0], "stratum", "give the areas of the strata in strata.csv",
		"strata.csv has no strata for %s %s: taken as one stratum%s", plural("bed", len(beds)), some(beds, 8), each)
}
