package archive

import (
	"fmt"
	"slices"

	"bedstock/survey"
)

// lacking says what those who take in archives will ask for and the folder does not have, and what it says without having
// been asked.
func (a *Archive) lacking(visits []survey.Visited) []string {
	var out []string
	taxa := a.taxa()
	var unnumbered, nowhere []string
	for _, name := range a.Species() {
		if taxa[name].id == "" {
			unnumbered = append(unnumbered, name)
		}
	}
	for _, e := range a.Events {
		if lat, _, _, _, _, _ := a.position(e, a.bed(e.Bed, e.From)); lat == "" && !slices.Contains(nowhere, e.Bed) {
			nowhere = append(nowhere, e.Bed)
		}
	}
	if len(unnumbered) > 0 {
		out = append(out, fmt.Sprintf("no number in the World Register of Marine Species for %s: registers ask for it; aphia_id of species.csv", someOf(unnumbered)))
	}
	if len(nowhere) > 0 {
		out = append(out, fmt.Sprintf("no position of bed %s: registers ask for it; lat and lon of beds.csv", someOf(nowhere)))
	}
	unsaid := 0
	for _, v := range visits {
		if len(v.Rows) > 0 && v.AllSought {
			unsaid++
		}
	}
	if unsaid > 0 {
		out = append(out, fmt.Sprintf("%s of which is not said what was looked for: every species of the folder is written as absent where it was not named; "+
			"species_sought of surveys.csv", counted(unsaid, "survey")))
	}
	return out
}
