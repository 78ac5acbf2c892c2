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

// of are the errors of every survey of a bed that has n.
func (x sharings) of(bed, n int) [][]int {
	out := make([][]int, n)
	for j, at := range x.places {
		for _, p := range at {
			if p.bed == bed {
				out[p.survey] = append(out[p.survey], j)
			}
		}
	}
	return out
}
