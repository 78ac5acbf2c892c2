package survey

import (
	"cmp"
	"fmt"
	"math"
	"slices"
)

// lacks is what a landing does not say.
type lacks struct {
	bed, species, cast bool
	shore              string
}

// unallocated notes landings without a bed or species, once for each thing that they lack, and those that look like a row
// of totals. Nil returns say the same wherever they are from.
func (c *checker) unallocated() {
	totals := c.looseTotals()
	var on fold[lacks]
	kg, blank := map[lacks]float64{}, map[lacks]bool{}
	for _, u := range c.f.Unallocated {
		if !(u.Kg > 0) || u.Bed != "" && c.bed(u.Bed) == nil || totals[u.Line] {
			continue // noted already, or nil
		}
		l := lacks{u.Bed == "", u.Species == "", u.Cast, u.Shore}
		on.add(l, u.Line)
		kg[l] += u.Kg
		blank[l] = blank[l] || u.BedText == ""
	}
	on.each(func(l lacks, line int, also string) {
		rows := fmt.Sprintf("%s%s without a %s", counted(on.at[l].n, "row"), l.where(), l.words())
		if l.cast {
			c.found.doubt("harvest.csv", line, l.column(), "give them where they are known",
				"%s, %.6g kg of cast weed%s: shown with the cast weed of all beds alone", rows, kg[l], also)
			return
		}
		hint := l.hint()
		if blank[l] {
			hint += `; where a blank means the same as above, rules.toml, [input]: fill_down = ["bed"]`
		}
		c.found.doubt("harvest.csv", line, l.column(), hint,
			"%s, %.6g kg cut%s: unallocated; where it may be from, what was cut cannot be set against what grew", rows, kg[l], also)
	})
}

// words are what is lacking.
func (l lacks) words() string {
	switch {
	case l.bed && l.species:
		return "bed and species"
	case l.bed:
		return "bed"
	}
	return "species"
}

func (l lacks) where() string {
	if l.shore == "" {
		return ""
	}
	return " of shore " + l.shore
}

func (l lacks) column() string {
	if l.bed {
		return "bed"
	}
	return "species"
}

func (l lacks) hint() string {
	switch {
	case l.bed && l.species:
		return "ask the cutter for bed and species, and write a row for each"
	case l.bed && l.shore == "":
		return "ask the cutter for the bed, and write a row for each; the name of a shore in its place helps"
	case l.bed:
		return "ask the cutter for the bed, and write a row for each"
	}
	return "ask the cutter for the species, and write a row for each"
}

// looseTotals notes rows without bed and species whose weight is the sum of the rows above them, of all or of those since
// the last such row: they would be counted with the rows that they add up. It gives their lines.
func (c *checker) looseTotals() map[int]bool {
	totals := map[int]bool{}
	rows := slices.Clone(c.f.Cuts)
	bare := map[int]bool{}
	for _, u := range c.f.Unallocated {
		rows = append(rows, u.Cut)
		bare[u.Line] = u.BedText == "" && u.SpeciesText == ""
	}
	slices.SortFunc(rows, func(a, b Cut) int { return cmp.Compare(a.Line, b.Line) })
	all, since, n, m := 0.0, 0.0, 0, 0
	for _, k := range rows {
		same := func(sum float64) bool { return math.Abs(sum-k.Kg) < 1e-6*sum }
		if bare[k.Line] && k.Kg > 0 && (n > 1 && same(all) || m > 1 && same(since)) {
			of := m
			if same(all) {
				of = n
			}
			c.found.fault("harvest.csv", k.Line, "wet_kg", "delete the row, or set it aside in setaside.csv",
				"%.6g kg is the sum of the %d rows above: a row of totals would be counted with the rows that it adds up", k.Kg, of)
			totals[k.Line] = true
			since, m = 0, 0
			continue
		}
		if k.Kg > 0 {
			all, since, n, m = all+k.Kg, since+k.Kg, n+1, m+1
		}
	}
	return totals
}

// cutsOnBeds are the cuts of which the bed is known, those without a species among them.
func (c *checker) cutsOnBeds() []Cut {
	if len(c.f.Unallocated) == 0 {
		return c.f.Cuts
	}
	out := slices.Clone(c.f.Cuts)
	for _, u := range c.f.Unallocated {
		if u.Bed != "" {
			out = append(out, u.Cut)
		}
	}
	slices.SortStableFunc(out, func(a, b Cut) int { return cmp.Compare(a.Line, b.Line) })
	return out
}

// meantShore is a hint with the shore that was perhaps meant in the place of a bed of harvest.csv.
func (c *checker) meantShore(file, name string) string {
	if file != harvestTable.file {
		return ""
	}
	var shores []string
	for _, b := range c.f.Beds {
		for _, p := range b.Periods {
			shores = append(shores, p.Shore)
		}
	}
	return meant(name, shores)
}
