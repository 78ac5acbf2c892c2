package survey

import (
	"cmp"
	"fmt"
	"maps"
	"slices"
	"strings"
)

// CoverClass is a class of cover that an observer names by a letter: from Lo to Hi percent.
type CoverClass struct {
	Scale, Letter string
	Lo, Hi        float64
}

// Mid is the middle of the class, which stands for the covers in it.
func (c CoverClass) Mid() float64 { return (c.Lo + c.Hi) / 2 }

// Scale is a set of ordered classes.
type Scale struct {
	Name    string
	Classes []CoverClass
	Source  string
	At      Place // of one of the folder's own
}

func newScale(name, source string, letters string, limits ...float64) Scale {
	s := Scale{Name: name, Source: source}
	for i, letter := range strings.Fields(letters) {
		s.Classes = append(s.Classes, CoverClass{name, letter, limits[i], limits[i+1]})
	}
	return s
}

// scales are the classes that need no table in rules.toml. Those of SACFOR are the cover part of the abundance scales of
// the Marine Nature Conservation Review by growth form; letters given by counts of individuals have no cover and are not
// read. L is less than rare; P, present, says nothing of how much and is refused.
//
// References (class limits from memory):
//   - Hiscock, K. (ed.): Marine Nature Conservation Review: rationale and methods. JNCC (1996)
//   - Braun-Blanquet, J.: Pflanzensoziologie, 3rd ed. Springer (1964)
//   - Daubenmire, R.: A canopy-coverage method of vegetational analysis. Northwest Science 33 (1959) 43-64
var scales = []Scale{
	newScale("sacfor massive", "MNCR SACFOR, massive and turf forms: wracks, kelps, leafy weeds", "L O F C A S", 0, 1, 5, 10, 20, 40, 100),
	newScale("sacfor crust", "MNCR SACFOR, crusts and meadows", "L R O F C A S", 0, 1, 5, 10, 20, 40, 80, 100),
	newScale("braun-blanquet", "Braun-Blanquet 1964", "+ 1 2 3 4 5", 0, 1, 5, 25, 50, 75, 100),
	newScale("daubenmire", "Daubenmire 1959", "1 2 3 4 5 6", 0, 5, 25, 50, 75, 95, 100),
}

// FindScale is the scale of that name, of the mapping or built in; nil where there is none.
func (m *Mapping) FindScale(name string) *Scale {
	for _, list := range [][]Scale{m.Scales, scales} {
		if i := slices.IndexFunc(list, func(s Scale) bool { return strings.EqualFold(s.Name, name) }); i >= 0 {
			return &list[i]
		}
	}
	return nil
}

// ScaleNames lists the scales.
func (m *Mapping) ScaleNames() []string {
	var out []string
	for _, s := range slices.Concat(scales, m.Scales) {
		out = append(out, s.Name)
	}
	return out
}

// find is the class of a letter, whatever its case; nil where it is none.
func (s *Scale) find(letter string) *CoverClass {
	i := slices.IndexFunc(s.Classes, func(c CoverClass) bool { return strings.EqualFold(c.Letter, letter) })
	if i < 0 {
		return nil
	}
	return &s.Classes[i]
}

// numbered says whether letters of the scale are numbers, so that a number in its column is no measured cover.
func (s *Scale) numbered() bool {
	return slices.ContainsFunc(s.Classes, func(c CoverClass) bool {
		_, bad := parseNumber(c.Letter)
		return bad == nil
	})
}

// String lists the classes with their limits.
func (s *Scale) String() string {
	parts := make([]string, len(s.Classes))
	for i, c := range s.Classes {
		parts[i] = fmt.Sprintf("%s %g-%g", c.Letter, c.Lo, c.Hi)
	}
	return strings.Join(parts, ", ")
}

// Check says what is wrong with a scale of the folder's own.
func (s *Scale) Check() error {
	slices.SortStableFunc(s.Classes, func(a, b CoverClass) int { return cmp.Or(cmp.Compare(a.Lo, b.Lo), cmp.Compare(a.Hi, b.Hi)) })
	for i, c := range s.Classes {
		switch {
		case !(0 <= c.Lo && c.Lo < c.Hi && c.Hi <= 100):
			return fmt.Errorf("%s: %g to %g is no part of 0 to 100 percent", c.Letter, c.Lo, c.Hi)
		case i > 0 && c.Lo < s.Classes[i-1].Hi:
			return fmt.Errorf("%s and %s overlap", s.Classes[i-1].Letter, c.Letter)
		case slices.ContainsFunc(s.Classes[:i], func(o CoverClass) bool { return strings.EqualFold(o.Letter, c.Letter) }):
			return fmt.Errorf("%s stands twice", c.Letter)
		}
	}
	if len(s.Classes) < 2 {
		return fmt.Errorf("one class tells nothing apart")
	}
	return nil
}

// SpeciesScale is the scale by which the letters of a species are read.
type SpeciesScale struct {
	Species string // "": all others
	Scale   string
}

// classifier reads letters of cover.
type classifier struct {
	scales map[string]*Scale // by folded species; "" all others
	places map[CoverClass]uint8
	list   []CoverClass // classes met, in the order in which they were met
}

// newClassifier makes the scales of a column ready.
func newClassifier(of []SpeciesScale, m *Mapping) (*classifier, *flaw) {
	c := &classifier{scales: map[string]*Scale{}, places: map[CoverClass]uint8{}}
	for _, s := range of {
		scale := m.FindScale(s.Scale)
		if scale == nil {
			return nil, newFlaw("scales: "+strings.Join(m.ScaleNames(), ", ")+"; [classes.NAME] makes others", "classes: no scale is named %q", s.Scale)
		}
		c.scales[foldSpecies(s.Species)] = scale
	}
	return c, nil
}

// of is the scale of a species, nil where it has none: its cells hold percent.
func (c *classifier) of(species string) *Scale {
	if s := c.scales[foldSpecies(species)]; s != nil {
		return s
	}
	return c.scales[""]
}

// read turns a letter into the middle of its class and its place in the list, 1 for the first. A number is a measured
// cover, place 0, but for scales whose letters are numbers, where 0 alone is one. What is neither is refused.
func (c *classifier) read(species, cell string) (string, uint8, bool) {
	scale := c.of(species)
	if cell == "" || scale == nil {
		return cell, 0, true
	}
	class := scale.find(cell)
	if class == nil {
		_, bad := parseNumber(cell)
		return cell, 0, bad == nil && (!scale.numbered() || cell == "0")
	}
	at, known := c.places[*class]
	if !known {
		c.list = append(c.list, *class)
		at = uint8(len(c.list))
		c.places[*class] = at
	}
	return fmt.Sprintf("%g", class.Mid()), at, true
}

// hint lists the letters.
func (c *classifier) hint() string {
	var parts []string
	for _, key := range slices.Sorted(maps.Keys(c.scales)) {
		if s := c.scales[key]; !slices.Contains(parts, s.Name+": "+s.String()) {
			parts = append(parts, s.Name+": "+s.String())
		}
	}
	return strings.Join(parts, "; ") + "; a letter that does not say how much, as P for present, gives no cover"
}

// ClassOf is the class in which the cover of a row was read; false where it was read in percent.
func (q *Quadrats) ClassOf(row int) (CoverClass, bool) {
	if q.Class == nil || q.Class[row] == 0 {
		return CoverClass{}, false
	}
	return q.Classes[q.Class[row]-1], true
}
