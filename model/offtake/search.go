package offtake

import (
	"math"
	"slices"
)

// steps of the fraction from 0 to 1 among which the largest is sought: fine against its Monte Carlo standard error,
// which is a hundredth or so with thousands of draws.
const steps = 1 << 14

// largestFraction is the largest fraction of the exploitable stock that can be cut every time while in no year more
// than the share risk of the draws is below the limit; q (kg) is the stock whose fraction is cut first. ok is false
// where the risk is broken without any cut.
//
// As all fractions meet the same chances, a larger one never has less risk, so that there is one edge and how it is
// sought does not change it: by straight lines through the logarithm of the counts, halving the weight of an end that
// stays (the Illinois rule).
func (p *paths) largestFraction(q, risk float64) (h float64, ok bool) {
	s := newSearch(p, q, int(risk*float64(p.n)+1e-9))
	lo, hi := 0, steps
	under := s.excess(lo)
	s.raise()
	if under > 0 {
		return 0, false
	}
	above := s.excess(hi)
	s.lower()
	if above < 0 {
		return 1, true
	}
	for last := 0; hi-lo > 1; {
		mid := inside(lo, hi, under/(under-above))
		if e := s.excess(mid); e < 0 {
			s.raise()
			lo, under = mid, e
			if last < 0 {
				above /= 2
			}
			last = -1
		} else {
			s.lower()
			hi, above = mid, e
			if last > 0 {
				under /= 2
			}
			last = 1
		}
	}
	return float64(lo) / steps, true
}

// inside is the whole number the share f of the way from lo to hi, but neither of them.
func inside(lo, hi int, f float64) int {
	return min(max(lo+int(math.Round(f*float64(hi-lo))), lo+1), hi-1)
}

// search counts draws below the limit for fractions within a bracket that shrinks. A larger fraction leaves no draw better
// off, so that a group of draws that is below as often at both ends of the bracket is below in the same years at every
// fraction between: it is counted once more and then left out.
type search struct {
	p         *paths
	q         float64 // kg whose fraction is cut first
	most      int     // draws that may be below in a year
	open      []int   // groups that are not settled
	done      []int   // scratch: those that were settled last
	settled   []int   // draws below, by year, of the others
	counts    []int   // of the open ones
	low, high []int   // how often each group is below at the ends of the bracket
	at        []int   // and at the fraction tried last
}

func newSearch(p *paths, q float64, most int) *search {
	n := p.groups()
	return &search{p: p, q: q, most: most, open: slices.Clone(p.all), settled: make([]int, p.years), counts: make([]int, p.years),
		low: make([]int, n), high: slices.Repeat([]int{-1}, n), at: make([]int, n)}
}

// glance is how many groups are followed before it is asked whether the risk is broken by far.
const glance = 64

// excess is the log of the largest count of a year over what it may be, above 0 where the risk is broken. Where it is broken
// by far the rest of the draws is not followed, but taken to do as those that were.
func (s *search) excess(step int) float64 {
	h := float64(step) / steps
	s.p.plan(h*s.q, h)
	s.settle()
	clear(s.counts)
	part := 1.0
	for from := 0; from < len(s.open) && part == 1; from += glance {
		to := min(from+glance, len(s.open))
		s.p.count(s.open[from:to], s.counts, s.at)
		if to < len(s.open) && s.worst(1) > 2*float64(s.most+1) {
			for _, g := range s.open[to:] {
				s.at[g] = s.high[g] // of a larger fraction
			}
			part = float64(to) / float64(len(s.open))
		}
	}
	return math.Log((s.worst(part) + 1) / (float64(s.most) + 1.5))
}

// settle counts the groups that have become settled, and leaves the others open.
func (s *search) settle() {
	open, done := s.open[:0], s.done[:0]
	for _, g := range s.open {
		if s.low[g] == s.high[g] {
			done = append(done, g)
		} else {
			open = append(open, g)
		}
	}
	s.p.count(done, s.settled, s.at)
	s.open, s.done = open, done
}

// worst is the largest count of a year where so large a part of the open groups was followed.
func (s *search) worst(part float64) float64 {
	most := 0.0
	for y, n := range s.counts {
		most = max(most, float64(s.settled[y])+float64(n)/part)
	}
	return most
}

// raise makes the fraction tried last the lower end of the bracket, lower the upper one.
func (s *search) raise() { s.low, s.at = s.at, s.low }
func (s *search) lower() { s.high, s.at = s.at, s.high }
