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
	held, _ := f.InForce()
	x.cuts, x.decisions = CutsByPair(f.Cuts), DecisionsByPair(held)
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

// CutsByPair gathers rows of harvest.csv by bed and species, in their order.
func CutsByPair(cuts []survey.Cut) map[Pair][]survey.Cut {
	return survey.Gather(cuts, func(c survey.Cut) Pair { return Pair{c.Bed, c.Species} })
}

// DecisionsByPair gathers decisions by bed and species, in their order.
func DecisionsByPair(decisions []survey.Decision) map[Pair][]survey.Decision {
	return survey.Gather(decisions, func(d survey.Decision) Pair { return Pair{d.Bed, d.Species} })
}
