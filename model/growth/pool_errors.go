package growth

import (
	"maps"
	"math"
	"slices"
)

// place is one survey of one bed.
type place struct{ bed, survey int }

// sharings are the errors that surveys of several beds share.
type sharings struct {
	ids    map[string]bool
	sd     []float64
	users  [][]int   // beds, rising
	places [][]place // surveys
}

// portion is an error and the portion of a bed's surveys that it concerns.
type portion struct {
	error int
	of    float64
}

// crossErrors finds the errors that several beds share. Errors that concern the same surveys cannot be told apart and are
// one, with the sum of the variances; one with several CVs has the largest.
func crossErrors(beds []BedSeries) sharings {
	type sharing struct {
		variance float64
		at       []place
	}
	byID := map[string]*sharing{}
	for b, bed := range beds {
		for i, o := range bed.Surveys {
			for _, e := range o.Shared {
				if !o.found() || !(e.CV > 0) || math.IsInf(e.CV, 0) {
					continue
				}
				s := byID[e.ID]
				if s == nil {
					s = &sharing{}
					byID[e.ID] = s
				}
				s.variance = max(s.variance, math.Log1p(e.CV*e.CV))
				if p := (place{b, i}); !slices.Contains(s.at, p) {
					s.at = append(s.at, p)
				}
			}
		}
	}
	x := sharings{ids: map[string]bool{}}
	var merged []*sharing
	for _, id := range slices.Sorted(maps.Keys(byID)) {
		s := byID[id]
		if s.at[0].bed == s.at[len(s.at)-1].bed {
			continue
		}
		x.ids[id] = true
		if k := slices.IndexFunc(merged, func(m *sharing) bool { return slices.Equal(m.at, s.at) }); k >= 0 {
			merged[k].variance += s.variance
			continue
		}
		merged = append(merged, s)
	}
	for _, s := range merged {
		x.sd = append(x.sd, math.Sqrt(s.variance))
		x.places = append(x.places, s.at)
		var users []int
		for _, p := range s.at {
			users = append(users, p.bed)
		}
		x.users = append(x.users, slices.Compact(users))
	}
	return x
}

// of are the errors of every survey of every bed.
func (x sharings) of(beds []BedSeries) [][][]int {
	out := make([][][]int, len(beds))
	for b := range beds {
		out[b] = make([][]int, len(beds[b].Surveys))
	}
	for j, at := range x.places {
		for _, p := range at {
			of := &out[p.bed][p.survey]
			*of = append(*of, j)
		}
	}
	return out
}

// lasting are the errors, given by survey, of most surveys of a bed: where they are larger, all that stands there and K are
// smaller.
func lasting(cross [][]int, g *target) (out []portion) {
	found, n := 0, map[int]int{}
	for t, errs := range cross {
		if g.obs[t].found {
			found++
		}
		for _, j := range errs {
			n[j]++
		}
	}
	for _, j := range slices.Sorted(maps.Keys(n)) {
		if k := n[j]; k > 1 && 2*k > found {
			out = append(out, portion{j, float64(k) / float64(found)})
		}
	}
	return out
}

// wide are the errors that last on most beds.
func (x sharings) wide(beds []poolBed) (out []int) {
	n := make([]int, len(x.sd))
	for _, b := range beds {
		for _, e := range b.lasting {
			n[e.error]++
		}
	}
	for j, k := range n {
		if 2*k > len(beds) {
			out = append(out, j)
		}
	}
	return out
}

// heavy are the errors of which the surveys, were the stocks known, would tell more than was held before: drawn given the
// stocks they hardly move.
func (x sharings) heavy(beds []poolBed) (out []int) {
	for j, at := range x.places {
		tell := 0.0
		for _, p := range at {
			w := beds[p.bed].g.obs[p.survey].width
			tell += 1 / (w * w)
		}
		if tell*x.sd[j]*x.sd[j] > 1 {
			out = append(out, j)
		}
	}
	return out
}
