package report

import (
	"maps"
	"math"
	"slices"
	"strings"

	"bedstock/model"
	"bedstock/survey"
)

// amounts are weights by permit, in lower case; rows without one are those of one holder.
type amounts map[string]float64

func holderName(permit string) string { return strings.ToLower(strings.TrimSpace(permit)) }

// tells says whether a sum of these weights would tell what one holder took: fewer than [leastHolders] hold them, or the
// second largest, who knows its own, could tell the largest to within percent of it, as what the others hold is less,
//
//	x_3 + x_4 + ... < percent/100 x_1,   x_1 >= x_2 >= ... (p%-rule)
//
// What this is false of stays so of any sum of such sums, even where a holder is in several of them: the excess of one side
// over the other, max over a and b of percent/100 x_a + x_a + x_b - sum, is subadditive.
//
// References:
//   - Hundepool, A. et al.: Statistical Disclosure Control. Wiley (2012), chapter 4 (from memory)
//   - Cox, L. H.: Linear sensitivity measures in statistical disclosure control. Journal of Statistical Planning and
//     Inference 5 (1981) 153-164
func (x amounts) tells(percent float64) bool {
	kg := slices.Sorted(maps.Values(x))
	n := len(kg)
	if n < leastHolders {
		return n > 0
	}
	rest := 0.0
	for _, v := range kg[:n-2] {
		rest += v
	}
	return rest < percent/100*kg[n-1]
}

// holders knows who cut and to whom was granted, by stand.
type holders struct {
	percent float64
	cuts    map[model.Pair][]survey.Cut
	granted map[model.Pair]map[grantKey]amounts // where a permit is named by permits.csv or a decision
}

// grantKey is a season for which something was granted.
type grantKey struct {
	season   string
	from, to survey.Day
}

func holdersOf(a *model.Assessment) holders {
	cuts := drop(a.Folder.Cuts, func(c survey.Cut) bool { return !(c.Kg > 0) })
	h := holders{a.Rules.DisclosurePercent, model.CutsByPair(cuts), map[model.Pair]map[grantKey]amounts{}}
	decisions, permits := model.DecisionsByPair(a.Folder.Decisions), survey.Gather(a.Folder.Permits, func(p survey.Permit) string { return p.Bed })
	for i := range a.Units {
		u := &a.Units[i]
		h.granted[u.Pair] = grantedOf(u.Species, decisions[u.Pair], permits[u.Bed])
	}
	return h
}

// grantedOf are the grants of a stand by season and permit, of its decisions and the permits of its bed: those by name, and the
// shares of what was granted to all.
func grantedOf(species string, decisions []survey.Decision, permits []survey.Permit) map[grantKey]amounts {
	whole, named := map[grantKey]float64{}, map[grantKey]amounts{}
	for _, d := range decisions {
		key := grantKey{d.Season, d.From, d.To}
		if named[key] == nil {
			named[key] = amounts{}
		}
		if d.Permit == "" {
			whole[key] += d.Kg
		} else {
			named[key][holderName(d.Permit)] += d.Kg
		}
	}
	for key, x := range named {
		shares := amounts{}
		for _, p := range permits {
			if p.Species == "" || p.Species == species {
				shares[holderName(p.Permit)] += p.Share
			}
		}
		for permit, share := range shares {
			if _, own := x[permit]; !own {
				x[permit] = share * whole[key]
			}
		}
	}
	return named
}

// few tells whether the weights of a stand must be withheld.
func (h holders) few(a *model.Assessment, u *model.Unit) bool {
	for _, x := range h.granted[u.Pair] {
		if x.tells(h.percent) {
			return true
		}
	}
	for _, x := range h.stretches(a, u) {
		if x.tells(h.percent) {
			return true
		}
	}
	return false
}

// stretch is the smallest part of what a stand gave that can be told from sums and differences of what is shown of it.
type stretch struct {
	cast  bool
	after int // bounds of surveys and seasons before it
	year  int
}

// stretches are the parts of what was cut (and of what was gathered as cast) that shown figures leave between them: seasons and
// times between surveys count the parts of a return at their own days, see [model.Pulses], cast its first day, and years
// the middle of the return.
func (h holders) stretches(a *model.Assessment, u *model.Unit) map[stretch]amounts {
	out := map[stretch]amounts{}
	surveys := map[survey.Day]bool{a.Folder.AsOf + 1: true}
	for _, s := range u.Stocks {
		surveys[s.Date] = true
	}
	bounds := maps.Clone(surveys)
	for _, s := range u.Seasons {
		bounds[s.From], bounds[s.To+1] = true, true
	}
	add := func(c survey.Cut, days map[survey.Day]bool, t, kg float64) {
		key := stretch{cast: c.Cast, year: middleYear(c)}
		for d := range days {
			if t >= d.Years() {
				key.after++
			}
		}
		if out[key] == nil {
			out[key] = amounts{}
		}
		out[key][holderName(c.Permit)] += kg
	}
	for _, c := range h.cuts[u.Pair] {
		if c.Cast {
			add(c, surveys, c.From.Years(), c.Kg)
			continue
		}
		for _, p := range model.Pulses(c) {
			add(c, bounds, p.T, p.Kg)
		}
	}
	return out
}

// during adds what was cut of a stand in a season, by permit.
func (h holders) during(x amounts, pair model.Pair, s *model.Season) {
	for _, c := range h.cuts[pair] {
		for _, p := range model.Pulses(c) {
			if !c.Cast && p.T >= s.From.Years() && p.T < (s.To+1).Years() {
				x[holderName(c.Permit)] += p.Kg
			}
		}
	}
}

// sum tells what all withheld stands come to together, a row a season, and what the sums over all stands may say: the sum
// over all less the shown stands is that of the withheld ones, so it is told only of two of them or more, and only where it
// tells nothing of one holder.
func (p *publicEdition) sum(a, shown *model.Assessment, who holders, hidden map[model.Pair]bool) {
	p.uses = a.Uses()
	for k := range p.uses {
		use := &p.uses[k]
		use.GrantedKg, use.UnallocatedKg = math.NaN(), 0
		if told := sumAdvised(shown, *use); told != use.AdvisedKg {
			use.AdvisedKg, use.LeftKg = told, math.NaN()
			for i := range shown.Units {
				if s := seasonOf(&shown.Units[i], *use); s != nil && withheldAdviceOf(*s) {
					use.Withheld++
				}
			}
		}
		row := joinedUse{Season: use.Title()}
		by, kg, masked := amounts{}, 0.0, false
		for i := range a.Units {
			u := &a.Units[i]
			s := seasonOf(u, *use)
			if !hidden[u.Pair] || s == nil {
				continue
			}
			masked = true
			if s.CutKg > 0 {
				row.Stands++
				kg += s.CutKg
				who.during(by, u.Pair, s)
			}
		}
		if masked { // the advice, or the grant, less what is left is what a stand was cut
			use.LeftKg = math.NaN()
		}
		if row.Stands == 0 {
			continue
		}
		row.Permits, row.Kg = len(by), kilos(kg)+" kg"
		if row.Stands < 2 || by.tells(who.percent) {
			row.Kg, use.CutKg = "withheld too: "+fewWords, math.NaN()
		}
		p.Joined = append(p.Joined, row)
	}
}

// seasonOf is the season of a stand that a sum is of; nil: it has none.
func seasonOf(u *model.Unit, use model.Use) *model.Season {
	for i := range u.Seasons {
		if s := &u.Seasons[i]; s.Name == use.Name && s.From == use.From && s.To == use.To {
			return s
		}
	}
	return nil
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
