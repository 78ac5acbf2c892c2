package model

import (
	"slices"

	"bedstock/survey"
)

// lookBack works out what was advised for the seasons that are over and ended on a day or later: each by an assessment of
// the folder as it stood on the first day of the season. Seasons that begin on the same day share one; those of which
// nothing was decided or cut are left out.
func (b *book) lookBack(pairs []Pair, since survey.Day) {
	species := map[survey.Day][]string{} // by first day
	for _, p := range pairs {
		u := b.unit(p)
		if len(u.Stocks) == 0 {
			continue
		}
		for _, rule := range b.a.out.Rules.SeasonsOf(p.Species) {
			for day := max(since, u.Stocks[0].Date) - 366; ; {
				from, to := after(rule, day)
				if to >= b.out.On {
					break
				}
				if to >= since && !slices.Contains(species[from], p.Species) && b.used(p, from, to) {
					species[from] = append(species[from], p.Species)
				}
				day = from
			}
		}
	}
	days := make([]survey.Day, 0, len(species))
	for day := range species {
		days = append(days, day)
	}
	slices.Sort(days)
	for _, day := range days {
		b.lookBackTo(day, species[day])
	}
}

// used tells whether anything was decided for a bed and species or cut of it from one day to another.
func (b *book) used(p Pair, from, to survey.Day) bool {
	return slices.ContainsFunc(b.a.decisionsOf(p), func(d survey.Decision) bool { return d.From <= to && d.To >= from }) ||
		slices.ContainsFunc(b.a.cutsOf(p), func(c survey.Cut) bool { return c.From <= to && c.To >= from })
}

// lookBackTo assesses the folder of a day and keeps the seasons that begin on it.
func (b *book) lookBackTo(day survey.Day, species []string) {
	cfg := b.a.out.Config
	cfg.Ask = nil
	cfg.Rules.Survey.AsOf = day
	cfg.Only = func(p Pair) bool { return slices.Contains(species, p.Species) && b.a.out.keeps(p) }
	then := Assess(b.a.out.Folder.Until(day), cfg)
	for i := range then.Units {
		u := &then.Units[i]
		for _, s := range u.Seasons {
			if s.From != day {
				continue
			}
			at := occasion{s.Name, s.From}
			if b.before[at] == nil {
				b.before[at] = map[Pair]Season{}
			}
			b.before[at][u.Pair] = s
		}
	}
}
