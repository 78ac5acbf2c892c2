package survey

import (
	"fmt"
	"math"
	"slices"
	"strings"
)

// permanent says whether a survey's protocol declares its transects or quadrats permanent. "not permanent",
// "non-permanent" and "semi-permanent" do not.
func (s *fieldwork) permanent() bool {
	if s.declared == nil {
		return false
	}
	words := strings.FieldsFunc(strings.ToLower(s.declared.Protocol), func(r rune) bool { return r < 'a' || r > 'z' })
	for i, w := range words {
		if (w == "permanent" || w == "permanently") && (i == 0 || !slices.Contains([]string{"not", "no", "non", "semi", "without"}, words[i-1])) {
			return true
		}
	}
	return false
}

// unitKey is what tells a sampling unit from others in both surveys: its transect, else its stratum and quadrat.
type unitKey struct{ stratum, transect, quadrat uint32 }

func keyOf(q quadKey) unitKey {
	if q.transect != 0 {
		return unitKey{transect: q.transect}
	}
	return unitKey{stratum: q.stratum, quadrat: q.quadrat}
}

// pair matches the units of two surveys whose protocols say that they are permanent.
func (g *ground) pair(a, b *fieldwork) {
	pa, pb := a.permanent(), b.permanent()
	if !pa || !pb {
		if pa != pb {
			with, without := a.label, b.label
			if pb {
				with, without = without, with
			}
			g.warnings = append(g.warnings, fmt.Sprintf("permanent in the protocol of %s but not of %s: not paired", with, without))
		}
		return
	}
	u := newUnion(g.a, g.b)
	moved := 0
	for _, key := range u.order {
		ia, ina := u.unitA[key]
		ib, inb := u.unitB[key]
		switch {
		case !ina || !inb:
		case !u.shareStratum(ia, ib):
			moved++
		default:
			g.paired = append(g.paired, twin{ia, ib})
		}
	}
	if len(g.paired) > 0 {
		g.union = u
	}
	if moved > 0 {
		g.warnings = append(g.warnings, counted(moved, a.unitName)+" in another stratum than before: not paired")
	}
	if only := len(u.order) - len(g.paired) - moved; len(g.paired) == 0 {
		g.warnings = append(g.warnings, "declared permanent, but no label is the same in both surveys: not paired")
	} else if only > 0 {
		g.warnings = append(g.warnings, fmt.Sprintf("%s visited both times, %d only once", counted(len(g.paired), a.unitName), only))
	}
}

// union is the union of the designs of two surveys of a bed: every unit visited at either, in independent groups of
// strata.
type union struct {
	a, b         *fieldwork
	order        []unitKey // in the order of the earlier survey, then those of the later alone
	unitA, unitB map[unitKey]int32
	strataA      map[int32][]string // strata of each unit of the earlier survey, by label
	strataB      map[int32][]string
	groupA       []int32 // per unit: its group
	groupB       []int32
	inside       []int // per group: units visited at either survey
}

func newUnion(a, b *fieldwork) *union {
	u := &union{a: a, b: b, unitA: map[unitKey]int32{}, unitB: map[unitKey]int32{}, strataA: map[int32][]string{}, strataB: map[int32][]string{}}
	u.add(a, u.unitA, u.strataA)
	u.add(b, u.unitB, u.strataB)
	u.gather()
	return u
}

// add enters the units of a survey.
func (u *union) add(s *fieldwork, units map[unitKey]int32, strata map[int32][]string) {
	for i, q := range s.quads {
		key, unit := keyOf(q), s.design.unit[i]
		label := s.design.strata[s.design.stratum[i]].label
		if _, known := units[key]; !known {
			units[key] = unit
			if _, before := u.unitA[key]; !before || s == u.a {
				u.order = append(u.order, key)
			}
		}
		if !slices.Contains(strata[unit], label) {
			strata[unit] = append(strata[unit], label)
		}
	}
}

// gather joins strata that share a unit at either survey into groups, and counts the units of each.
func (u *union) gather() {
	parent := map[string]string{}
	var root func(l string) string
	root = func(l string) string {
		if p, ok := parent[l]; ok && p != l {
			return root(p)
		}
		return l
	}
	strataOf := func(key unitKey) []string {
		var all []string
		if i, ok := u.unitA[key]; ok {
			all = append(all, u.strataA[i]...)
		}
		if i, ok := u.unitB[key]; ok {
			all = append(all, u.strataB[i]...)
		}
		return all
	}
	for _, key := range u.order {
		all := strataOf(key)
		for _, l := range all[1:] {
			parent[root(l)] = root(all[0])
		}
	}
	number := map[string]int32{}
	for _, key := range u.order {
		r := root(strataOf(key)[0])
		if _, known := number[r]; !known {
			number[r] = int32(len(u.inside))
			u.inside = append(u.inside, 0)
		}
		u.inside[number[r]]++
	}
	groups := func(n int, strata map[int32][]string) []int32 {
		out := make([]int32, n)
		for i := range out {
			out[i] = number[root(strata[int32(i)][0])]
		}
		return out
	}
	u.groupA, u.groupB = groups(u.a.design.units, u.strataA), groups(u.b.design.units, u.strataB)
}

// shareStratum says whether a unit of the earlier and one of the later survey lie in a common stratum.
func (u *union) shareStratum(a, b int32) bool {
	return slices.ContainsFunc(u.strataA[a], func(l string) bool { return slices.Contains(u.strataB[b], l) })
}

// cov is the covariance of two linearised totals, one of each survey, over the paired units:
//
//	Σ_g n_g/(n_g - 1) Σ_u (a_u - abar_g)(b_u - bbar_g)
//
// Units that were not paired count with 0 on the other side. A group of one unit counts as in [design.cov].
func (g *ground) cov(a, b []float64) float64 {
	u := g.union
	if u == nil {
		return 0
	}
	groups := len(u.inside)
	sumA, sumB, products := make([]float64, groups), make([]float64, groups), make([]float64, groups)
	for i, z := range a {
		sumA[u.groupA[i]] += z
	}
	for i, z := range b {
		sumB[u.groupB[i]] += z
	}
	for _, t := range g.paired {
		products[u.groupA[t.a]] += a[t.a] * b[t.b]
	}
	c, known := 0.0, 0
	for i, n := range u.inside {
		switch {
		case n > 1:
			c += (products[i] - sumA[i]*sumB[i]/float64(n)) * float64(n) / float64(n-1)
			known++
		case u.a.design.lonely == "adjust":
			c += products[i]
			known++
		case u.a.design.lonely == "certainty":
			known++
		}
	}
	if known == 0 {
		return math.NaN()
	}
	return c * float64(groups) / float64(known)
}
