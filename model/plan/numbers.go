package plan

import (
	"math"
	"slices"
)

const (
	manyLayers = 5       // layers above which allocations are not tried all
	manyTries  = 500_000 // parts of allocations tried for one number of quadrats and weighings before it is left at that
)

// run finds the least numbers that meet all targets at no more than a cost.
func (s *search) run(most float64) (n []int, ratio float64, ok bool) {
	for all := s.from; all <= s.to && float64(all)*s.cost <= most; all++ {
		s.best, s.ratio = nil, math.Inf(1)
		if len(s.n) <= manyLayers && s.tries <= manyTries {
			s.try(0, all, make([]float64, len(s.q)))
		}
		if s.best == nil && (len(s.n) > manyLayers || s.tries > manyTries) {
			s.climb(all)
		}
		if s.best != nil {
			return s.best, s.ratio, true
		}
	}
	return nil, 0, false
}

// try lays out the layers from h on over so many transects; spent is the variance of the layers before, by subject.
func (s *search) try(h, left int, spent []float64) {
	if h == len(s.n) {
		if r := s.worst(spent); r <= 1 && r < s.ratio {
			s.best, s.ratio = slices.Clone(s.n), r
		}
		return
	}
	if s.tries++; s.tries > manyTries {
		return
	}
	lo, hi := max(s.lo[h], left-s.hiTail[h+1]), min(s.hi[h], left-s.loTail[h+1])
	for n := lo; n <= hi; n++ {
		now, good := make([]float64, len(spent)), true
		for i := range spent {
			now[i] = spent[i] + s.q[i][h]/float64(n)
			rest := s.tail[i][h+1] * s.tail[i][h+1]
			if left > n {
				rest /= float64(left - n)
			}
			good = good && now[i]+rest*(1-1e-9) <= s.room[i]
		}
		if good {
			s.n[h] = n
			s.try(h+1, left-n, now)
		}
	}
}

// climb adds transects one by one where the subject furthest from its target gains most.
func (s *search) climb(all int) {
	copy(s.n, s.lo)
	for left := all - s.loTail[0]; left > 0; left-- {
		spent := s.spent()
		i := s.worstOf(spent)
		at, gain := -1, -1.0
		for h, n := range s.n {
			if d := s.q[i][h] / float64(n*(n+1)); n < s.hi[h] && d > gain {
				at, gain = h, d
			}
		}
		s.n[at]++
	}
	if r := s.worst(s.spent()); r <= 1 {
		s.best, s.ratio = slices.Clone(s.n), r
	}
}

func (s *search) spent() []float64 {
	out := make([]float64, len(s.q))
	for i := range out {
		for h, n := range s.n {
			out[i] += s.q[i][h] / float64(n)
		}
	}
	return out
}

// worst is the largest share of the room that a subject takes.
func (s *search) worst(spent []float64) float64 {
	if len(spent) == 0 {
		return 0
	}
	i := s.worstOf(spent)
	return share(spent[i], s.room[i])
}

func (s *search) worstOf(spent []float64) int {
	at := 0
	for i := range spent {
		if share(spent[i], s.room[i]) > share(spent[at], s.room[at]) {
			at = i
		}
	}
	return at
}

func share(v, room float64) float64 {
	if v == 0 {
		return 0
	}
	return v / room
}

// tails are the sums of a list from each of its places on.
func tails(n []int) []int {
	out := make([]int, len(n)+1)
	for h := len(n) - 1; h >= 0; h-- {
		out[h] = out[h+1] + n[h]
	}
	return out
}

func total(n []int) int { return tails(n)[0] }
