package main

import (
	"bedstock/cmd/bedstock/internal/report"
	"bedstock/model"
)

// inWords is what to do next for each bed and species that is shown; where one bed leaves room for it, after the advice
// in a sentence.
func (c quotaCmd) inWords(a *model.Assessment, shown func(*model.Unit) bool) []string {
	var out []string
	var steps noter
	for i := range a.Units {
		u := &a.Units[i]
		switch next := u.Next(); {
		case !c.keep(u.Bed, u.Species) || !shown(u):
		case c.limits():
			out = append(out, u.Bed+" "+u.Species+": "+report.InWords(u, model.Kg))
		case next != "":
			steps.add(u.Bed+" "+u.Species, next)
		}
	}
	out = append(out, steps.lines()...)
	for _, bed := range a.Unsurveyed() {
		if c.keep(bed, "") {
			out = append(out, bed+": "+model.UnsurveyedSentence())
		}
	}
	return out
}
