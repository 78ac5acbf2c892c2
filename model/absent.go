package model

import (
	"fmt"
	"slices"
	"strings"
)

// fewAbsent is how many species are named that were never found; of more only the number is told.
const fewAbsent = 6

// AbsentNotes says of each species that was sought on a bed and never found there in how many surveys, a sentence a
// species without its end.
func (a *Assessment) AbsentNotes() []string {
	surveys := map[Pair]int{}
	for _, s := range a.Stocks {
		surveys[Pair{s.Bed, s.Species}]++
	}
	beds := map[string][]string{}
	var names []string
	for _, p := range a.Absent {
		if beds[p.Species] == nil {
			names = append(names, p.Species)
		}
		beds[p.Species] = append(beds[p.Species], fmt.Sprintf("%s (%s)", p.Bed, counted(surveys[p], "survey", "surveys")))
	}
	slices.Sort(names)
	if len(names) > fewAbsent {
		return []string{fmt.Sprintf("sought and never found: %d species on one bed or more; there is no stock, regrowth or offtake of what was never found", len(names))}
	}
	var out []string
	for _, n := range names {
		out = append(out, fmt.Sprintf("%s: sought and never found on %s: nothing to cut, and nothing known of how it would grow there", n, strings.Join(beds[n], ", ")))
	}
	return out
}
