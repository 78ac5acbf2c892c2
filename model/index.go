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
	events    map[string][]survey.Event // by bed, those of all beds ("*") among them
}

func (a *assessor) indexed() *index {
	a.index.once.Do(func() { a.index.fill(a.out.Folder) })
	return &a.index
}

func (x *index) fill(f *survey.Folder) {
	x.cuts, x.decisions, x.events = map[Pair][]survey.Cut{}, map[Pair][]survey.Decision{}, map[string][]survey.Event{}
	for _, c := range f.Cuts {
		p := Pair{c.Bed, c.Species}
		x.cuts[p] = append(x.cuts[p], c)
	}
	held, _ := f.InForce()
	for _, d := range held {
		p := Pair{d.Bed, d.Species}
		x.decisions[p] = append(x.decisions[p], d)
	}
	for _, e := range f.Events {
		if e.Bed != "*" {
			x.events[e.Bed] = nil
		}
	}
	x.events["*"] = nil
	for _, e := range f.Events { // in the order of the file, so that the first is the first for every bed
		for bed := range x.events {
			if e.Bed == bed || e.Bed == "*" {
				x.events[bed] = append(x.events[bed], e)
			}
		}
	}
}

// cutsOf are the rows of harvest.csv of a bed and species, cast weed among them.
func (a *assessor) cutsOf(p Pair) []survey.Cut { return a.indexed().cuts[p] }

// decisionsOf are the decisions in force for a bed and species.
func (a *assessor) decisionsOf(p Pair) []survey.Decision { return a.indexed().decisions[p] }

// lossesOf are the events of a bed that take from its stock: all but spills.
func (a *assessor) lossesOf(bed string) []survey.Event {
	x := a.indexed()
	events, own := x.events[bed]
	if !own {
		events = x.events["*"]
	}
	var out []survey.Event
	for _, e := range events {
		if e.Kind != "spill" {
			out = append(out, e)
		}
	}
	return out
}
