package survey

import (
	"fmt"
	"slices"
	"strconv"
	"strings"
)

// manySpecies is how many species without a row are named on a line each.
const manySpecies = 5

// fileLine is a cell of a file.
type fileLine struct {
	file, column string
	line         int
}

const rowHint = "give the species a row in species.csv"

// speciesNames notes species that have no row in the species table, each where it is named first.
func (c *checker) speciesNames() {
	order, places := c.namedSpecies()
	unknown := slices.DeleteFunc(order, func(name string) bool { return c.species[name] != nil })
	right := c.rightNames()
	var rest []string
	for _, name := range unknown {
		at := places[name][0]
		switch near, hint := right(name); {
		case noSeaweed(name) && at.file == quadratsTable.file:
			c.found.doubt(at.file, at.line, at.column, "leave species blank where there was nothing, with cover_pct 0; a row of rock or animals beside others can go, or be left out: rules.toml, [species]: "+
				strconv.Quote(name)+" = false", "%s is no seaweed, and is counted as a species", name)
		case near != "":
			c.misnamed(name, near, hint, places)
		case len(unknown) <= manySpecies:
			c.found.doubt(at.file, at.line, at.column, mixtureToo(at.file, name, rowHint), "%s has no row in the species table: no offtake for it", name)
		default:
			rest = append(rest, name)
		}
	}
	if len(rest) > 0 {
		at := places[rest[0]][0]
		hint := "give those that are cut a row in species.csv"
		if i := slices.IndexFunc(rest, func(name string) bool { return places[name][0].file == harvestTable.file && mixture(name) }); i >= 0 {
			hint += fmt.Sprintf("; is %s a mixture? Write mixed", rest[i])
		}
		c.found.doubt(at.file, at.line, at.column, hint,
			"%d species have no row in the species table, no offtake for them: %s", len(rest), some(rest, 12))
	}
}

// rightNames gives a function that finds, for a name without a row, the species that was perhaps meant, by its common
// name or a letter or two, and a hint; both are empty where there is none.
func (c *checker) rightNames() func(name string) (right, hint string) {
	var known []string
	common := map[string][]string{}
	for i := range c.f.Species {
		s := &c.f.Species[i]
		known = append(known, s.Name)
		if s.CommonName != "" {
			common[foldSpecies(s.CommonName)] = append(common[foldSpecies(s.CommonName)], s.Name)
		}
	}
	return func(name string) (right, hint string) {
		if noSeaweed(name) {
			return "", ""
		}
		if names := common[foldSpecies(name)]; len(names) > 0 {
			return names[0], "write " + strings.Join(names, " or ")
		}
		if right = inFull(name, known); right != "" {
			return right, "write the genus in full: " + right
		}
		if clean := unhidden(name); clean != name && slices.Contains(known, clean) {
			return clean, meant(name, known)
		}
		if right = nearest(name, known); right != "" {
			hint = "did you mean " + right + "? Otherwise " + rowHint
		}
		return right, hint
	}
}

// inFull is the one species that a name with a shortened genus stands for, as F. serratus or Lam. digitata; empty where it
// stands for none or several.
func inFull(name string, known []string) string {
	genus, epithet, two := strings.Cut(foldSpecies(name), " ")
	genus, short := strings.CutSuffix(genus, ".")
	if !two || genus == "" || !short && len(genus) > 1 {
		return ""
	}
	var out string
	for _, k := range known {
		g, e, _ := strings.Cut(foldSpecies(k), " ")
		if e != epithet || !strings.HasPrefix(g, genus) {
			continue
		}
		if out != "" {
			return ""
		}
		out = k
	}
	return out
}

// misnamed notes a name for which another was perhaps meant. Where the folder names that too, one species is split in
// two: a mistake in every file.
func (c *checker) misnamed(name, right, hint string, places map[string][]fileLine) {
	if other := places[right]; other != nil {
		for _, at := range places[name] {
			c.found.fault(at.file, at.line, at.column, mixtureToo(at.file, name, hint), "%s has no row in the species table, and %s of line %d of %s does",
				name, right, other[0].line, other[0].file)
		}
		return
	}
	at, absent := places[name][0], ""
	if at.file == quadratsTable.file {
		absent = fmt.Sprintf(", and %s counts as absent there", right)
	}
	c.found.doubt(at.file, at.line, at.column, mixtureToo(at.file, name, hint), "%s has no row in the species table: no offtake for it%s", name, absent)
}

// namedSpecies lists the species of all files, with the row of each file that names each first. What is found counts
// before what is sought or cut.
func (c *checker) namedSpecies() (order []string, places map[string][]fileLine) {
	f := c.f
	places = map[string][]fileLine{}
	add := func(name, file string, line int) {
		at := places[name]
		if name == "" || len(at) > 0 && at[len(at)-1].file == file {
			return
		}
		if at == nil {
			order = append(order, name)
		}
		column := "species"
		if file == surveysTable.file {
			column = "species_sought"
		}
		places[name] = append(at, fileLine{file, column, line})
	}
	columnar := func(file string, species []uint32, lines []int32) {
		seen := make([]bool, len(f.Names))
		for i, id := range species {
			if !seen[id] {
				seen[id] = true
				add(f.Names[id], file, int(lines[i]))
			}
		}
	}
	columnar("quadrats.csv", f.Quadrats.Species, f.Quadrats.Line)
	columnar("readings.csv", f.Readings.Species, f.Readings.Line)
	columnar("fronds.csv", f.Fronds.Species, f.Fronds.Line)
	for _, k := range f.Cuts {
		add(k.Species, "harvest.csv", k.Line)
	}
	for _, p := range f.Regrowth {
		add(p.Species, "regrowth.csv", p.Line)
	}
	for _, d := range f.Surveys {
		for _, s := range d.Sought {
			add(s, "surveys.csv", d.Line)
		}
	}
	for _, d := range f.Decisions {
		add(d.Species, "decisions.csv", d.Line)
	}
	for _, k := range f.Closures {
		add(k.Species, "closures.csv", k.Line)
	}
	for _, p := range f.Permits {
		add(p.Species, "permits.csv", p.Line)
	}
	return order, places
}

// speciesCount is a number of species in words with some of their names.
func speciesCount(names []string) string {
	if len(names) == 1 {
		return names[0]
	}
	return fmt.Sprintf("%d species (%s)", len(names), some(names, 3))
}
