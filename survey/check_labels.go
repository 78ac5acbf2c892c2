package survey

import (
	"cmp"
	"maps"
	"slices"
	"strings"
)

// bareLabel is a label without regard to case and blanks.
func bareLabel(s string) string { return strings.ToLower(strings.Join(strings.Fields(s), "")) }

// alikeLabels notes beds, and strata and transects of one bed, whose labels differ only in case and blanks.
func (c *checker) alikeLabels() {
	seen := map[string]Bed{}
	beds := slices.SortedFunc(slices.Values(c.f.Beds), func(a, b Bed) int { return cmp.Compare(firstLine(a), firstLine(b)) })
	for _, b := range beds {
		if old, ok := seen[bareLabel(b.ID)]; ok {
			c.found.fault("beds.csv", firstLine(b), "bed", "write the name of a bed the same in every row",
				"%q differs only in case and blanks from %q of line %d", b.ID, old.ID, firstLine(old))
			continue
		}
		seen[bareLabel(b.ID)] = b
	}
	strata := map[string][]spelled{}
	for _, s := range c.f.Strata {
		strata[s.Bed] = append(strata[s.Bed], spelled{s.Stratum, s.Line})
	}
	for _, bed := range slices.Sorted(maps.Keys(strata)) {
		c.noteAlike(strataTable.file, "stratum", bed, strata[bed])
	}
	q := &c.f.Quadrats
	c.alikeIn("stratum", q.Stratum, func(bed string) bool { return len(c.strata[bed]) == 0 })
	c.alikeIn("transect", q.Transect, func(string) bool { return true })
}

func firstLine(b Bed) int {
	line := b.Periods[0].Line
	for _, p := range b.Periods {
		line = min(line, p.Line)
	}
	return line
}

// spelled is a label and the line where it was met first.
type spelled struct {
	label string
	line  int
}

// alikeIn looks at the labels in a column of quadrats.csv, bed by bed.
func (c *checker) alikeIn(column string, ids []uint32, of func(bed string) bool) {
	q := &c.f.Quadrats
	type label struct{ bed, id uint32 }
	seen := map[label]bool{}
	byBed := map[uint32][]spelled{}
	var last label
	for i, id := range ids {
		if l := (label{q.Bed[i], id}); l != last && id != 0 {
			last = l
			if !seen[l] {
				seen[l] = true
				byBed[l.bed] = append(byBed[l.bed], spelled{c.f.Names[id], int(q.Line[i])})
			}
		}
	}
	for _, bed := range slices.Sorted(maps.Keys(byBed)) {
		if name := c.f.Names[bed]; of(name) {
			c.noteAlike(quadratsTable.file, column, name, byBed[bed])
		}
	}
}

// noteAlike notes labels of a bed, in the order of the file, that differ only in case and blanks.
func (c *checker) noteAlike(file, column, bed string, labels []spelled) {
	first := map[string]string{}
	var pairs []string
	line := 0
	for _, s := range labels {
		old, ok := first[bareLabel(s.label)]
		if !ok {
			first[bareLabel(s.label)] = s.label
			continue
		}
		if pairs == nil {
			line = s.line
		}
		pairs = append(pairs, s.label+" and "+old)
	}
	if pairs != nil {
		c.found.doubt(file, line, column, "write a label the same in every row", "labels of bed %s differ only in case and blanks: %s",
			bed, some(pairs, 6))
	}
}
