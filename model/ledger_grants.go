package model

import (
	"fmt"
	"math"
	"slices"

	"bedstock/model/offtake"
	"bedstock/survey"
)

// grants are the decisions for one season of a bed and species.
type grants struct {
	all    []survey.Decision
	whole  float64            // granted to the bed as a whole, kg; NaN: only to permits by name, or nothing
	permit map[string]float64 // granted to a permit by name, kg
}

// grantsOf sorts decisions for one season. What is granted to a permit by name is a part of what is granted to the bed as a
// whole, where that is decided too; reading refuses permits to which more is granted.
func grantsOf(all []survey.Decision) grants {
	g := grants{all: all, whole: math.NaN(), permit: map[string]float64{}}
	for _, d := range all {
		if d.Permit == "" {
			g.whole = plusKg(g.whole, d.Kg)
		} else {
			g.permit[d.Permit] += d.Kg
		}
	}
	return g
}

// kg is what is granted to all together; NaN: nothing was decided.
func (g grants) kg() float64 {
	if len(g.all) == 0 || !math.IsNaN(g.whole) {
		return g.whole
	}
	sum := 0.0
	for _, d := range g.all { // in the order of the file
		sum += d.Kg
	}
	return sum
}

// part is what is decided for a permit: what is granted to it by name, else its share of what is granted to the bed as a
// whole. NaN: nothing.
func (g grants) part(permit string, share float64) float64 {
	if kg, named := g.permit[permit]; named {
		return kg
	}
	return share * g.whole
}

func plusKg(sum, kg float64) float64 {
	if math.IsNaN(sum) {
		return kg
	}
	return sum + kg
}

// seasonFor is the index of the season that a decision is for: the one of its name that shares most days with it, and where
// its name is that of no season of the species, the one that does so whatever its name. -1: none.
func (a *assessor) seasonFor(d survey.Decision, n int, season func(i int) (name string, from, to survey.Day)) int {
	known := slices.ContainsFunc(a.out.Rules.SeasonsOf(d.Species), func(s offtake.Season) bool { return sameName(s.Name, d.Season) })
	best, most := -1, 0
	for i := range n {
		name, from, to := season(i)
		if days := int(min(to, d.To)-max(from, d.From)) + 1; days > most && (!known || sameName(name, d.Season)) {
			best, most = i, days
		}
	}
	return best
}

// permits are those that have a share, a grant or a return, in the order of their names.
func (b *book) permits(p Pair, g grants, cuts []survey.Cut) []string {
	var out []string
	for _, x := range b.shares[p.Bed] {
		if x.Species == "" || x.Species == p.Species {
			out = append(out, x.Permit)
		}
	}
	for _, d := range g.all {
		out = append(out, d.Permit)
	}
	for _, c := range cuts {
		out = append(out, c.Permit)
	}
	slices.Sort(out)
	return slices.DeleteFunc(slices.Compact(out), func(permit string) bool { return permit == "" })
}

// share is the share of a permit in a bed and species; NaN: it has none.
func (b *book) share(p Pair, permit string) float64 {
	share := math.NaN()
	for _, x := range b.shares[p.Bed] {
		if x.Permit == permit && (x.Species == "" || x.Species == p.Species) {
			share = plusKg(share, x.Share)
		}
	}
	return share
}

// allot gives a permit its part of what was decided and of what is advised.
func (b *book) allot(row *LedgerRow, whole *LedgerRow, g grants) {
	share := b.share(row.Pair, row.Permit)
	row.DecidedKg = g.part(row.Permit, share)
	row.AdvisedKg = share * whole.AdvisedKg
	_, named := g.permit[row.Permit]
	switch {
	case named:
	case math.IsNaN(share):
		row.note("no share in permits.csv and no grant of its own")
	case !row.Issued() && len(g.all) > 0:
		row.DecidedKg = 0
		row.note("granted to others by name, nothing to this permit")
	}
}

// noteReplaced says which decisions others took the place of.
func (b *book) noteReplaced(row *LedgerRow) {
	for _, r := range b.replaced[row.Pair] {
		if r.To >= row.From && r.From <= row.To && sameName(r.Season, row.Season) && r.Permit == row.Permit {
			row.note(fmt.Sprintf("decided anew on %s: before it was %s kg (decisions.csv:%d)", r.By.DecidedOn, Kg(r.Kg), r.Line))
		}
	}
}

// PermitNames are the permits that permits.csv, harvest.csv or decisions.csv name, sorted.
func PermitNames(f *survey.Folder) []string {
	var out []string
	for _, p := range f.Permits {
		out = append(out, p.Permit)
	}
	for _, c := range f.Cuts {
		out = append(out, c.Permit)
	}
	for _, u := range f.Unallocated {
		out = append(out, u.Permit)
	}
	for _, d := range f.Decisions {
		out = append(out, d.Permit)
	}
	slices.Sort(out)
	return slices.DeleteFunc(slices.Compact(out), func(name string) bool { return name == "" })
}
