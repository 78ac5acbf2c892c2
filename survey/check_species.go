package survey

import "fmt"

// manySpecies is how many species without a row are named on a line each.
const manySpecies = 5

// fileLine is a cell of a file.
type fileLine struct {
	file, column string
	line         int
}

// speciesNames notes species that have no row in the species table, each where it is named first.
func (c *checker) speciesNames() {
	order, first := c.namedSpecies()
	var unknown []string
	for _, name := range order {
		if c.species[name] == nil {
			unknown = append(unknown, name)
		}
	}
	var known []string
	for i := range c.f.Species {
		known = append(known, c.f.Species[i].Name)
	}
	const hint = "give the species a row in species.csv"
	var rest []string
	for _, name := range unknown {
		at := first[name]
		switch near := meant(name, known); {
		case near != "":
			c.found.doubt(at.file, at.line, at.column, near+" Otherwise "+hint, "%s has no row in the species table: no offtake for it", name)
		case len(unknown) <= manySpecies:
			c.found.doubt(at.file, at.line, at.column, hint, "%s has no row in the species table: no offtake for it", name)
		default:
			rest = append(rest, name)
		}
	}
	if len(rest) > 0 {
		at := first[rest[0]]
		c.found.doubt(at.file, at.line, at.column, "give those that are cut a row in species.csv",
			"%d species have no row in the species table, no offtake for them: %s", len(rest), some(rest, 12))
	}
}

// namedSpecies lists the species of all files, with the row that names each first. What is found counts before what is
// sought or cut.
func (c *checker) namedSpecies() ([]string, map[string]fileLine) {
	f := c.f
	var order []string
	first := map[string]fileLine{}
	add := func(name, file string, line int) {
		if _, seen := first[name]; !seen && name != "" {
			column := "species"
			if file == surveysTable.file {
				column = "species_sought"
			}
			first[name] = fileLine{file, column, line}
			order = append(order, name)
		}
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
	return order, first
}

// speciesCount is a number of species in words with some of their names.
func speciesCount(names []string) string {
	if len(names) == 1 {
		return names[0]
	}
	return fmt.Sprintf("%d species (%s)", len(names), some(names, 3))
}
