package report

import (
	"bedstock/model"
	"bedstock/survey"
)

// byBed finds what the parts of a bed tell without a walk through the whole assessment for each of them.
type byBed struct {
	a         *model.Assessment
	units     map[string][]int   // places in Units
	folds     map[string][][]int // stands that share a line, see alike
	decisions map[model.Pair][]survey.Decision
	closures  survey.BedIndex[survey.Closure]
	events    survey.BedIndex[survey.Event]
	surveyed  map[string]bool
}

func newByBed(a *model.Assessment, groups [][]int) *byBed {
	x := &byBed{a: a, units: unitsByBed(a), folds: map[string][][]int{}, decisions: model.DecisionsByPair(a.Folder.Decisions), surveyed: surveyed(a),
		closures: survey.NewBedIndex(a.Folder.Closures, func(c survey.Closure) string { return c.Bed }),
		events:   survey.NewBedIndex(a.Folder.Events, func(e survey.Event) string { return e.Bed })}
	for _, g := range groups {
		bed := a.Units[g[0]].Bed
		x.folds[bed] = append(x.folds[bed], g)
	}
	return x
}

// unitsByBed are the places of the stands of each bed.
func unitsByBed(a *model.Assessment) map[string][]int {
	out := map[string][]int{}
	for i := range a.Units {
		out[a.Units[i].Bed] = append(out[a.Units[i].Bed], i)
	}
	return out
}

// surveyed are the beds of which any quadrat was visited.
func surveyed(a *model.Assessment) map[string]bool {
	q := &a.Folder.Quadrats
	seen := make([]bool, len(a.Folder.Names))
	for i := range q.Len() {
		if q.Visit[i] == survey.Done {
			seen[q.Bed[i]] = true
		}
	}
	out := map[string]bool{}
	for id, ok := range seen {
		if ok {
			out[a.Folder.Names[id]] = true
		}
	}
	return out
}
