package survey

import (
	"fmt"
	"slices"
	"strings"
)

// calledBed is a hint with the beds whose name in beds.csv stands where the id of one should, without regard to case and
// blanks; empty where there is none, or an id is written so.
func calledBed(text string, beds []Bed) string {
	key := foldSpecies(text)
	var words []string
	for _, b := range beds {
		if foldSpecies(b.ID) == key {
			return ""
		}
		i := slices.IndexFunc(b.Periods, func(p BedPeriod) bool { return key != "" && foldSpecies(p.Name) == key })
		if i >= 0 {
			words = append(words, fmt.Sprintf("%s (%s)", b.ID, b.Periods[i].Name))
		}
	}
	return bedHint(words)
}

// nearlyCalledBed is a hint with the bed whose name in beds.csv was perhaps meant.
func nearlyCalledBed(text string, beds []Bed) string {
	var names []string
	id := map[string]string{}
	for _, b := range beds {
		for _, p := range b.Periods {
			names = append(names, p.Name)
			id[p.Name] = b.ID
		}
	}
	best := nearest(text, names)
	if best == "" {
		return ""
	}
	return bedHint([]string{fmt.Sprintf("%s (%s)", id[best], best)})
}

func bedHint(words []string) string {
	if len(words) == 0 {
		return ""
	}
	return "did you mean bed " + strings.Join(words, " or ") + "? Write the id of the bed, not its name"
}
