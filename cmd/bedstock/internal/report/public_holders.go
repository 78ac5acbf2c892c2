package report

import (
	"fmt"
	"maps"
	"math"
	"slices"
	"strings"

	"bedstock/model"
	"bedstock/survey"
)

// taking is a row of harvest.csv: who took it and when.
type taking struct {
	from, to survey.Day
	permit   string
}

// holders knows who cut and to whom was granted, by stand.
type holders struct {
	cuts    map[model.Pair][]taking
	granted map[model.Pair]map[string]bool // named by permits.csv or a decision
}

func holdersOf(a *model.Assessment) holders {
	h := holders{map[model.Pair][]taking{}, map[model.Pair]map[string]bool{}}
	for _, c := range a.Folder.Cuts {
		if c.Kg > 0 {
			key := model.Pair{Bed: c.Bed, Species: c.Species}
			h.cuts[key] = append(h.cuts[key], taking{c.From, max(c.From, c.To), strings.ToLower(strings.TrimSpace(c.Permit))})
		}
	}
	for i := range a.Units {
		names := map[string]bool{}
		u := &a.Units[i]
		for _, p := range a.Folder.Permits {
			if p.Bed == u.Bed && (p.Species == "" || p.Species == u.Species) {
				names[strings.ToLower(p.Permit)] = true
			}
		}
		for _, d := range a.Folder.Decisions {
			if d.Bed == u.Bed && d.Species == u.Species && d.Permit != "" {
				names[strings.ToLower(d.Permit)] = true
			}
		}
		h.granted[u.Pair] = names
	}
	return h
}

// few tells whether the weights of a stand must be withheld.
func (h holders) few(a *model.Assessment, u *model.Unit) bool {
	if n := len(h.granted[u.Pair]); n > 0 && n < leastHolders && h.decided(a, u.Pair) {
		return true
	}
	cuts := h.cuts[u.Pair]
	bounds := boundsOf(a, u, cuts)
	for i := range len(bounds) - 1 {
		if n := len(between(cuts, bounds[i], bounds[i+1]-1)); n > 0 && n < leastHolders {
			return true
		}
	}
	return false
}

// decided tells whether anything was granted.
func (h holders) decided(a *model.Assessment, key model.Pair) bool {
	return slices.ContainsFunc(a.Folder.Decisions, func(d survey.Decision) bool { return d.Bed == key.Bed && d.Species == key.Species })
}

// between are the permits that cut from one day to another, both included; rows without one count as one.
func between(cuts []taking, from, to survey.Day) map[string]bool {
	out := map[string]bool{}
	for _, c := range cuts {
		if c.from <= to && from <= c.to {
			out[c.permit] = true
		}
	}
	return out
}

// boundsOf are the days at which anything shown of a stand begins or ends: surveys, seasons, years; first and last lie
// outside all cuts.
func boundsOf(a *model.Assessment, u *model.Unit, cuts []taking) []survey.Day {
	if len(cuts) == 0 {
		return nil
	}
	first, last := cuts[0].from, cuts[0].to
	for _, c := range cuts {
		first, last = min(first, c.from), max(last, c.to)
	}
	days := map[survey.Day]bool{first: true, last + 1: true, a.Folder.AsOf + 1: true}
	for _, s := range u.Stocks {
		days[s.Date] = true
	}
	for _, s := range u.Seasons {
		days[s.From], days[s.To+1] = true, true
	}
	for year := first.Year() + 1; year <= last.Year(); year++ {
		days[survey.MakeDay(year, 1, 1)] = true
	}
	return slices.DeleteFunc(slices.Sorted(maps.Keys(days)), func(d survey.Day) bool { return d < first || d > last+1 })
}

// sum tells what all withheld stands come to together, a row a season, and what the sums over all stands may say.
func (p *publicEdition) sum(a, shown *model.Assessment, who holders, hidden map[model.Pair]bool) {
	p.uses = a.Uses()
	for k := range p.uses {
		use := &p.uses[k]
		use.GrantedKg = math.NaN()
		if told := sumAdvised(shown, *use); told != use.AdvisedKg {
			use.AdvisedKg, use.LeftKg = told, math.NaN()
		}
		row := joinedUse{Season: fmt.Sprintf("%s %d", use.Name, use.From.Year())}
		permits, kg := map[string]bool{}, 0.0
		for i := range a.Units {
			u := &a.Units[i]
			s := headed(u, row.Season)
			if !hidden[u.Pair] || s == nil || !(s.CutKg > 0) {
				continue
			}
			row.Stands++
			kg += s.CutKg
			maps.Copy(permits, between(who.cuts[u.Pair], s.From, s.To))
		}
		if row.Stands == 0 {
			continue
		}
		row.Permits, row.Kg = len(permits), kilos(kg)+" kg"
		if len(permits) < leastHolders {
			row.Kg, use.CutKg, use.LeftKg = "withheld too: fewer than 3 permits", math.NaN(), math.NaN()
		}
		p.Joined = append(p.Joined, row)
	}
}

// sumAdvised is what is advised for a season as far as it is shown, in the order in which [model.Assessment.Uses] adds; NaN:
// nothing is.
func sumAdvised(shown *model.Assessment, use model.Use) float64 {
	for _, u := range shown.Uses() {
		if u.Name == use.Name && u.From == use.From && u.To == use.To {
			return u.AdvisedKg
		}
	}
	return math.NaN()
}
