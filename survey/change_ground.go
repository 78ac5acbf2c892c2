package survey

import (
	"fmt"
	"math"
	"slices"
	"strings"
)

// ground is what two surveys of a bed have in common: the strata visited both times, each at the smaller of its two
// areas, and the sampling units that are the same.
type ground struct {
	a, b     *fieldwork // as surveyed, with the areas of the common ground
	area     float64    // m2; 0 where no stratum was visited both times
	part     bool       // a stratum was left out
	areaCV   float64    // of the area of all strata together, where they have none of their own
	paired   []twin     // units visited both times; nil where the surveys are independent
	union    *union     // of the two designs, where units are paired
	warnings []string
}

// twin is a sampling unit visited at both surveys, by its numbers there.
type twin struct{ a, b int32 }

// newGround finds the common ground of two surveys of a bed, the earlier first.
func newGround(a, b *fieldwork) *ground {
	g := &ground{}
	areaA, areaB, left := commonStrata(a.design, b.design)
	if areaA == nil {
		if len(a.unvisited)+len(b.unvisited) > 0 || a.noArea != b.noArea {
			return g
		}
		areaA, areaB = wholeBeds(a.design, b.design)
	}
	g.a, g.b = a.onAreas(areaA), b.onAreas(areaB)
	g.area = g.a.design.area
	g.part = len(a.unvisited)+len(b.unvisited) > 0
	if len(left) > 0 {
		g.warnings = append(g.warnings, "only on the part surveyed both times: without stratum "+strings.Join(left, ", "))
	} else if g.part {
		g.warnings = append(g.warnings, "on the surveyed part of the bed only")
	}
	g.areaCV = min(a.design.areaSE/a.design.area, b.design.areaSE/b.design.area)
	g.noteArea(a, b)
	g.pair(a, b)
	return g
}

// patch is an area with its standard error.
type patch struct{ area, se float64 }

// smaller is the patch of less area, the better known of equals.
func smaller(p, q patch) patch {
	if q.area < p.area || q.area == p.area && q.se < p.se {
		return q
	}
	return p
}

// commonStrata gives each stratum of both designs its area on the common ground, 0 where it was not visited both times,
// and the labels left out. It is nil where no stratum is common.
func commonStrata(a, b *design) (areaA, areaB []patch, left []string) {
	areaA, areaB = make([]patch, len(a.strata)), make([]patch, len(b.strata))
	found := false
	for i, s := range a.strata {
		j := slices.IndexFunc(b.strata, func(t stratum) bool { return t.label == s.label })
		if j < 0 {
			left = append(left, s.label)
			continue
		}
		areaA[i] = smaller(patch{s.area, s.areaSE}, patch{b.strata[j].area, b.strata[j].areaSE})
		areaB[j] = areaA[i]
		found = true
	}
	for _, t := range b.strata {
		if !slices.ContainsFunc(a.strata, func(s stratum) bool { return s.label == t.label }) {
			left = append(left, t.label)
		}
	}
	if !found {
		return nil, nil, nil
	}
	slices.Sort(left)
	return areaA, areaB, left
}

// wholeBeds scales two differently divided designs of the whole bed to the smaller of its two areas.
func wholeBeds(a, b *design) (areaA, areaB []patch) {
	least := min(a.area, b.area)
	scaled := func(d *design) []patch {
		out := make([]patch, len(d.strata))
		for i, s := range d.strata {
			out[i] = patch{s.area * least / d.area, s.areaSE * least / d.area}
		}
		return out
	}
	return scaled(a), scaled(b)
}

// onAreas is the survey with other areas of its strata; a stratum with area 0 stays in the design as a part outside the
// domain.
func (s *fieldwork) onAreas(areas []patch) *fieldwork {
	same := true
	for h, p := range areas {
		same = same && p.area == s.design.strata[h].area && p.se == s.design.strata[h].areaSE
	}
	if same {
		return s
	}
	out, d := *s, *s.design
	d.strata, d.area = slices.Clone(d.strata), 0
	for h, p := range areas {
		d.strata[h].area, d.strata[h].areaSE = p.area, p.se
		d.area += p.area
	}
	d.areaSE *= d.area / s.design.area
	out.design = &d
	return &out
}

// noteArea says where the bed's area changed.
func (g *ground) noteArea(a, b *fieldwork) {
	if math.Abs(a.bedArea-b.bedArea) > 1e-9*a.bedArea {
		g.warnings = append(g.warnings, fmt.Sprintf(
			"the bed was %.6g m2 and is %.6g m2 now: compared on the smaller area, as if it lay within the larger", a.bedArea, b.bedArea))
	}
}
