package model

import (
	"sync"

	"bedstock/survey"
)

// index finds what the folder says of a bed and species without a walk through the whole of it.
type index struct {
	once      sync.Once
	cuts      map[Pair][]survey.Cut
	decisions map[Pair][]survey.Decision
	events    survey.BedIndex[survey.Event]
	closures  survey.BedIndex[survey.Closure]
	landings  survey.UnallocatedIndex
}

func (a *assessor) indexed() *index {
	a.index.once.Do(func() { a.index.fill(a.out.Folder) })
	return &a.index
}

func (x *index) fill(f *survey.Folder) {
	x.cuts, x.decisions = map[Pair][]survey.Cut{}, map[Pair][]survey.Decision{}
	for _, c := range f.Cuts {
		p := Pair{c.Bed, c.Species}
		x.cuts[p] = append(x.cuts[p], c)
	}
	held, _ := f.InForce()
	for _, d := range held {
		p := Pair{d.Bed, d.Species}
		x.decisions[p] = append(x.decisions[p], d)
	}
	x.events = survey.NewBedIndex(f.Events, func(e survey.Event) string { return e.Bed })
	x.landings = survey.NewUnallocatedIndex(f)
	x.closures = survey.NewBedIndex(f.Closures, func(c survey.Closure) string { return c.Bed })
}

// cutsOf are the rows of harvest.csv of a bed and species, cast weed among them.
func (a *assessor) cutsOf(p Pair) []survey.Cut { return a.indexed().cuts[p] }

// decisionsOf are the decisions in force for a bed and species.
func (a *assessor) decisionsOf(p Pair) []survey.Decision { return a.indexed().decisions[p] }

// lossesOf are the events of a bed that take from its stock: all but spills.
func (a *assessor) lossesOf(bed string) []survey.Event {
	var out []survey.Event
	for _, e := range a.indexed().events.Of(bed) {
		if e.Kind != "spill" {
			out = append(out, e)
		}
	}
	return out
}
