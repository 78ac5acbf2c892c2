package archive

import (
	"fmt"
	"regexp"
	"strings"

	"bedstock/survey"
)

// names brings species to the spelling of the species table.
type names struct {
	byID    map[string]string
	byName  map[string]string
	unknown map[string]string // name -> AphiaID, of species that the table does not have
	renamed map[string]string // name in the archive -> name in the table
}

func newNames(table []survey.Species) names {
	n := names{map[string]string{}, map[string]string{}, map[string]string{}, map[string]string{}}
	for _, s := range table {
		if s.AphiaID.OK {
			n.byID[fmt.Sprintf("%.0f", s.AphiaID.V)] = s.Name
		}
		n.byName[folded(s.Name)] = s.Name
	}
	return n
}

func folded(name string) string { return strings.ToLower(strings.Join(strings.Fields(name), " ")) }

// of is the table's name of a species: by its number, else by its spelling, else by its first two words, without the
// author. A species that the table does not have keeps its name.
func (n names) of(name, aphia string) string {
	words := strings.Fields(name)
	as, ok := n.byName[folded(name)]
	if !ok {
		as, ok = n.byID[aphia]
	}
	if !ok && len(words) > 2 {
		as, ok = n.byName[folded(words[0]+" "+words[1])]
	}
	if !ok {
		name = strings.Join(words, " ")
		n.unknown[name] = aphia
		return name
	}
	if folded(as) != folded(name) {
		n.renamed[name] = as
	}
	return as
}

var lsid = regexp.MustCompile(`(?:taxname:|^|id=)([0-9]+)$`)

// aphiaOf is the number of a species in the World Register of Marine Species, from its scientificNameID.
func aphiaOf(id string) string {
	if m := lsid.FindStringSubmatch(strings.TrimSpace(id)); m != nil && (strings.Contains(id, "marinespecies.org") || m[0] == id) {
		return m[1]
	}
	return ""
}
