package model

import (
	"slices"
	"sync"

	"bedstock/survey"
)

// index finds what the folder says of a bed and species without a walk through the whole of it.
type index struct {
	once      sync.Once
	cuts      map[Pair][]survey.Cut
	decisions map[Pair][]survey.Decision
	spills    survey.BedIndex[survey.Event]
	losses    survey.BedIndex[survey.Event] // all other events: they take from a stock
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
	spill := func(e survey.Event) bool { return e.Kind == "spill" }
	bed := func(e survey.Event) string { return e.Bed }
	x.spills = survey.NewBedIndex(slices.DeleteFunc(slices.Clone(f.Events), func(e survey.Event) bool { return !spill(e) }), bed)
	x.losses = survey.NewBedIndex(slices.DeleteFunc(slices.Clone(f.Events), spill), bed)
	x.landings = survey.NewUnallocatedIndex(f)
	x.closures = survey.NewBedIndex(f.Closures, func(c survey.Closure) string { return c.Bed })
}

// cutsOf are the rows of harvest.csv of a bed and species, cast weed among them.
func (a *assessor) cutsOf(p Pair) []survey.Cut { return a.indexed().cuts[p] }

// decisionsOf are the decisions in force for a bed and species.
func (a *assessor) decisionsOf(p Pair) []survey.Decision { return a.indexed().decisions[p] }
