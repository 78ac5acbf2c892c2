package report

import (
	"fmt"
	"html/template"
	"slices"
	"strings"
)

// finder lets a reader narrow the first table to a bed, a species or both, and leads from a species to its stands. It works
// by style alone: the page runs no script.
type finder struct {
	Rows    int
	Beds    []choice
	Species []speciesLinks
	Style   template.CSS // hides the rows that are not asked for
}

// choice is an entry of a list to pick from.
type choice struct {
	Class, Name string
	N           int
}

// speciesLinks leads to the stands of a species.
type speciesLinks struct {
	choice
	Common string
	Stands []standLink
}

type standLink struct{ Anchor, Bed, State string }

// finderOf makes the lists for the stands of the first table, and names the classes of its rows; nil where one bed and one
// species leave nothing to pick.
func finderOf(rows []firstRow) *finder {
	f := finder{Rows: len(rows)}
	beds := map[string]int{}
	for i := range rows {
		r := &rows[i]
		b, seen := beds[r.Bed]
		if !seen {
			b = len(f.Beds)
			beds[r.Bed] = b
			f.Beds = append(f.Beds, choice{Name: r.Bed})
		}
		f.Beds[b].N++
		s := slices.IndexFunc(f.Species, func(c speciesLinks) bool { return c.Name == r.Species })
		if s < 0 {
			s = len(f.Species)
			f.Species = append(f.Species, speciesLinks{choice: choice{Name: r.Species}, Common: r.Common})
		}
		f.Species[s].N++
		f.Species[s].Stands = append(f.Species[s].Stands, standLink{r.Anchor, r.Bed, r.Badges[0].Words})
	}
	if len(f.Beds)+len(f.Species) < 3 {
		return nil
	}
	slices.SortFunc(f.Beds, func(x, y choice) int { return strings.Compare(x.Name, y.Name) })
	slices.SortFunc(f.Species, func(x, y speciesLinks) int { return strings.Compare(x.Name, y.Name) })
	var css strings.Builder
	hide := func(id, class string) {
		fmt.Fprintf(&css, ".finds:has(#%s option[value=%s]:checked) .first tbody tr:not(.%s) { display: none; }\n", id, class, class)
	}
	css.WriteString("@media screen {\n")
	for i := range f.Beds {
		f.Beds[i].Class = fmt.Sprintf("b%d", i+1)
		hide("pick-bed", f.Beds[i].Class)
	}
	for i := range f.Species {
		f.Species[i].Class = fmt.Sprintf("s%d", i+1)
		slices.SortFunc(f.Species[i].Stands, func(x, y standLink) int { return strings.Compare(x.Bed, y.Bed) })
		hide("pick-species", f.Species[i].Class)
	}
	css.WriteString("}\n")
	f.Style = template.CSS(css.String()) //nolint:gosec // made of counters alone
	for i := range f.Beds {
		beds[f.Beds[i].Name] = i
	}
	for i := range rows {
		b := beds[rows[i].Bed]
		s := slices.IndexFunc(f.Species, func(c speciesLinks) bool { return c.Name == rows[i].Species })
		rows[i].Class = f.Beds[b].Class + " " + f.Species[s].Class
	}
	return &f
}
