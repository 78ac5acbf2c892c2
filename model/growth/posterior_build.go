package growth

import (
	"fmt"
	"math"
	"slices"
)

// leastTau is the smallest sd of a log estimate: no survey of a shore is more exact.
const leastTau = 0.01

// withDefaults replaces zero values that have a default.
func (set Settings) withDefaults() Settings {
	orInt := func(v *int, d int) {
		if *v == 0 {
			*v = d
		}
	}
	orFloat := func(v *float64, d float64) {
		if *v == 0 {
			*v = d
		}
	}
	orInt(&set.Chains, 4)
	orInt(&set.Draws, 4000)
	orFloat(&set.StormSurvival, 0.7)
	orFloat(&set.SigmaProcess, 0.3)
	orFloat(&set.ReportedShare, 1)
	orFloat(&set.Level, 0.95)
	return set
}

// check panics on settings that no caller may send.
func (set Settings) check() {
	unit := func(name string, v float64) {
		if !(v > 0 && v <= 1) {
			panic(fmt.Sprintf("growth: %s %v outside (0, 1]", name, v))
		}
	}
	unit("storm survival", set.StormSurvival)
	unit("reported share", set.ReportedShare)
	unit("level", set.Level)
	if !(set.StormChance >= 0) || !(set.SigmaProcess > 0) || !(set.SigmaR >= 0) || !(set.SigmaK >= 0) || !(set.ReportedCV >= 0) ||
		set.Chains < 1 || set.Draws < 1 {
		panic(fmt.Sprintf("growth: settings out of range: %+v", set))
	}
}

// build lays out the density of a series. A reason means that the series cannot be estimated.
// The errors that cross names are shared with other beds and left out.
func build(s Series, h *hold, season Season, set Settings, cross map[string]bool) (g *target, warnings []string,
	reason string) {
	if !(s.Area > 0) || !(s.Occ > 0 && s.Occ <= 1) || math.IsInf(s.Area, 0) {
		return nil, nil, "the area where the species can grow is not known"
	}
	g = &target{n: len(s.Surveys), sigma: set.SigmaProcess}
	g.logR, g.logK = h.bedR().normal(), h.bedK(math.Log(s.Area*s.Occ)).normal()
	warnings, reason = g.addSights(s, cross, h.folds)
	if reason != "" {
		return nil, warnings, reason
	}
	return g, append(warnings, g.addLinks(s, season, set)...), ""
}

// found tells whether a survey gives a stock that can be used.
func (o Observation) found() bool {
	return o.Kg > 0 && !math.IsInf(o.Kg, 0) && o.CV >= 0 && !math.IsInf(o.CV, 0) && o.DF > 0
}

// addSights turns surveys into likelihoods. What units holding the species hold on average comes from the surveys that
// found it.
func (g *target) addSights(s Series, cross map[string]bool, made folds) (warnings []string, reason string) {
	usable, found, none, dense, nDense := 0, 0, 0, 0.0, 0
	for i, o := range s.Surveys {
		if i > 0 && !(o.T >= s.Surveys[i-1].T) {
			panic("growth: surveys not in the order of time")
		}
		var e sight
		switch {
		case o.found():
			e = sight{found: true, y: math.Log(o.Kg), tau: max(logSD(o.CV), leastTau), df: o.DF}
			found++
			if o.Dense > 0 && !math.IsInf(o.Dense, 0) {
				dense += o.Dense
				nDense++
			}
		case o.Kg == 0 && o.PSU > 0:
			e = sight{none: true}
			none++
		}
		if e.found || e.none {
			usable++
		}
		g.obs = append(g.obs, e)
	}
	switch {
	case len(s.Surveys) == 0:
		return nil, "no survey"
	case usable == 0:
		return nil, "no survey gives a stock with a standard error"
	case found == 0:
		return nil, "no survey found it"
	}
	if k := len(s.Surveys) - usable; k > 0 {
		warnings = append(warnings, fmt.Sprintf("%d surveys not used: no stock with a standard error", k))
	}
	g.addErrors(s.Surveys, cross, made)
	if nDense > 0 {
		g.addDetection(s, dense/float64(nDense))
	} else if none > 0 {
		warnings = append(warnings, fmt.Sprintf(
			"%d surveys that found none are not used: how dense the species stands where it grows is not known", none))
		for i := range g.obs {
			g.obs[i].none = false
		}
	}
	if found == 1 {
		warnings = append(warnings, "one survey found it: r and K are little more than what was held before it")
	}
	return warnings, ""
}

// addErrors lays out the errors that surveys of the bed share, without those shared with other beds. Errors that concern the same surveys cannot be told apart and are
// one, with the sum of the variances; one with several CVs has the largest. What only one survey has is folded into that
// survey's likelihood.
func (g *target) addErrors(surveys []Observation, cross map[string]bool, made folds) {
	type sharing struct {
		variance float64
		surveys  []int
	}
	byID := map[string]*sharing{}
	var ids []string
	for i, o := range surveys {
		for _, e := range o.Shared {
			if !g.obs[i].found || !(e.CV > 0) || math.IsInf(e.CV, 0) || cross[e.ID] {
				continue
			}
			s := byID[e.ID]
			if s == nil {
				s = &sharing{}
				byID[e.ID] = s
				ids = append(ids, e.ID)
			}
			s.variance = max(s.variance, math.Log1p(e.CV*e.CV))
			if !slices.Contains(s.surveys, i) {
				s.surveys = append(s.surveys, i)
			}
		}
	}
	var merged []*sharing
	for _, id := range ids {
		s := byID[id]
		k := slices.IndexFunc(merged, func(m *sharing) bool { return slices.Equal(m.surveys, s.surveys) })
		if k >= 0 {
			merged[k].variance += s.variance
			continue
		}
		merged = append(merged, s)
	}
	alone := make([]float64, len(surveys))
	for _, s := range merged {
		if len(s.surveys) == 1 {
			alone[s.surveys[0]] = math.Sqrt(s.variance)
			continue
		}
		j := len(g.errSD)
		g.errSD = append(g.errSD, math.Sqrt(s.variance))
		for _, i := range s.surveys {
			g.obs[i].errs = append(g.obs[i].errs, j)
		}
	}
	for i := range g.obs {
		if g.obs[i].found {
			g.obs[i].own(alone[i], made)
		}
	}
}

// own adds a normal error of the survey's own.
func (o *sight) own(sd float64, made folds) {
	o.width = math.Hypot(o.tau, sd)
	if !math.IsInf(o.df, 1) {
		o.fold = made.of(o.tau, o.df, sd)
	}
}

// addDetection sets how many units of each survey are expected to hold the species per kg of stock.
func (g *target) addDetection(s Series, dense float64) {
	for i, o := range s.Surveys {
		area := o.Area
		if !(area > 0) {
			area = s.Area
		}
		if o.PSU > 0 {
			g.obs[i].rate = float64(o.PSU) / (area * dense)
			g.obs[i].logRate = math.Log(g.obs[i].rate)
		}
	}
}

// addLinks lays the paths between surveys.
func (g *target) addLinks(s Series, season Season, set Settings) (warnings []string) {
	if !s.CutsKnown && g.n > 1 {
		warnings = append(warnings, "cuts are not known: the surveys tell the stock, and r stays as held before them")
	}
	cuts := slices.Clone(s.Cuts)
	for i := range cuts {
		cuts[i].Kg /= set.ReportedShare
	}
	at := 0
	g.free = true
	for i := 1; i < g.n; i++ {
		t1, t2 := s.Surveys[i-1].T, s.Surveys[i].T
		l := link{free: !s.Told(i), dt: max(t2-t1, 1/365.25), logQ: math.Log(set.StormSurvival)}
		if !l.free {
			l.path = NewPath(season, t1, t2, cuts, s.Events, set.StormSurvival)
			l.p = min(set.StormChance*(t2-t1), maxStormP)
			for _, e := range s.Events {
				if math.IsNaN(e.Left) && e.T >= t1 && e.T < t2 {
					l.p = 0 // the storm that came is on the path
					l.extra += unknownSD * unknownSD
				}
			}
		}
		if set.StormSurvival == 1 {
			l.p = 0
		}
		l.odds = math.Log(l.p / (1 - l.p))
		l.at = at
		if !l.free {
			at += l.path.stretches()
			g.free = false
		}
		g.links = append(g.links, l)
	}
	return warnings
}
