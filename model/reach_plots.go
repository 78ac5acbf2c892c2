package model

import (
	"slices"
	"sync"

	"bedstock/model/growth"
	"bedstock/survey"
)

// ReachPlots is the number of regrowth plots that are to speak for a reach of a long coast: the mean of twenty is known to a fifth of
// the spread between them. Where its own are fewer those of the reaches beside it speak too.
const ReachPlots = 20

// plotWord is what the regrowth plots say of the beds of a species, or of those of a reach.
type plotWord struct {
	fits     []int // in Plots, of those that tell of r
	evidence []growth.PlotEvidence
	together func() growth.PlotsTogether // worked out once
}

// wordOf is the word of some fits of one species, by their places.
func (a *Assessment) wordOf(fits []int) *plotWord {
	var w plotWord
	for _, k := range fits {
		if e, ok := a.Plots[k].Evidence(); ok {
			w.fits, w.evidence = append(w.fits, k), append(w.evidence, e)
		}
	}
	w.together = sync.OnceValue(func() growth.PlotsTogether {
		all := make([]growth.PlotFit, len(fits))
		for i, k := range fits {
			all[i] = a.Plots[k]
		}
		return growth.Together(all, a.Rules.Survey.Confidence)
	})
	return &w
}

// wordsOfSpecies are what all plots of each species say.
func (a *Assessment) wordsOfSpecies() map[runKey]*plotWord {
	fits, out := map[runKey][]int{}, map[runKey]*plotWord{}
	for k, f := range a.Plots {
		key := runKey{f.Species, "", survey.NoDay}
		fits[key] = append(fits[key], k)
	}
	for key, of := range fits {
		out[key] = a.wordOf(of)
	}
	return out
}

// wordsOfReaches adds what the plots say for each reach of a species.
func (a *Assessment) wordsOfReaches(parts [][]*Unit) {
	for i, fits := range plotsOfReaches(parts, a.Plots) {
		a.words[parts[i][0].run(survey.NoDay)] = a.wordOf(fits)
	}
}

// plotsOfReaches are, of fits of plots, those that speak for each reach of a species, by their places: those on its beds, those on
// beds of no reach or on none, and where less than [ReachPlots] of them tell of r those on the reaches next to it on either side, and
// so on along the coast.
func plotsOfReaches(parts [][]*Unit, fits []growth.PlotFit) [][]int {
	bed := map[string]int{}
	for i, part := range parts {
		for _, u := range part {
			bed[u.Bed] = i
		}
	}
	own, tell := make([][]int, len(parts)+1), make([]int, len(parts)+1) // the last: on no reach
	for k, f := range fits {
		if f.Species != parts[0][0].Species {
			continue
		}
		i, ok := bed[f.Bed]
		if !ok {
			i = len(parts)
		}
		own[i] = append(own[i], k)
		if _, ok := f.Evidence(); ok {
			tell[i]++
		}
	}
	out := make([][]int, len(parts))
	for i := range parts {
		speak, n := slices.Concat(own[i], own[len(parts)]), tell[i]+tell[len(parts)]
		for d := 1; n < ReachPlots && d < len(parts); d++ {
			for _, j := range []int{i - d, i + d} {
				if j >= 0 && j < len(parts) {
					speak, n = append(speak, own[j]...), n+tell[j]
				}
			}
		}
		slices.Sort(speak)
		out[i] = speak
	}
	return out
}

// plotWord is what the plots say for a unit: those of the species, of a long coast those of its reach; of no fits where there are none.
func (a *Assessment) plotWord(u *Unit) *plotWord {
	words := a.words
	if words == nil { // not made by Assess
		words = a.wordsOfSpecies()
	}
	if w := words[u.run(survey.NoDay)]; w != nil {
		return w
	}
	return a.wordOf(nil)
}

// PlotsOf are the regrowth plots that say something of a unit's r.
func (a *Assessment) PlotsOf(u *Unit) []growth.PlotFit {
	w := a.plotWord(u)
	out := make([]growth.PlotFit, len(w.fits))
	for i, k := range w.fits {
		out[i] = a.Plots[k]
	}
	return out
}

// PlotsUsed is their number.
func (a *Assessment) PlotsUsed(u *Unit) int { return len(a.plotWord(u).fits) }
