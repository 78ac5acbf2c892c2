package survey

import (
	"cmp"
	"math"
	"slices"
)

// Agreement compares two observers who read the same quadrats, independently and on the same day: the reading of the
// first counts for the stock where quadrats.csv holds it, the other stands in readings.csv.
//
// A species that one of them found and the other did not has 0 with the other; species that neither found say nothing.
// With d the cover of Second less that of First, over quadrats q with m_q species each,
//
//	Mean = Σ d / Σ m_q
//	SE²  = n/(n-1) Σ_q ( Σ_(in q) d - Mean m_q )² / (Σ m_q)²,   DF = n - 1
//	SD²  = Σ (d - Mean)² / (Readings - 1)
//
// the mean as a ratio over quadrats, as the readings of one quadrat hang together (for one species it is the plain
// mean). Nine of ten differences lie within about Mean -+ 1.6 SD. A reading differs from what is there by SD/sqrt(2), if
// both read alike; that scatter is in the differences between quadrats, and so in the error of the stock, already. A
// Mean that is not 0 is in no error.
//
// OK is false, and all but the counts NaN, with fewer than three quadrats.
//
// References:
//   - Cochran, W. G.: Sampling Techniques, 3rd ed. Wiley (1977), section 6.4 (ratio), 13.3 (errors of measurement)
//   - Bland, J. M. and Altman, D. G.: Statistical methods for assessing agreement between two methods of clinical
//     measurement. Lancet 327 (1986) 307-310
type Agreement struct {
	First, Second string // observers; empty where quadrats.csv does not name one
	Species       string // empty: all species together
	Quadrats      int    // read by both
	Readings      int    // species in these quadrats that one of them found
	Cover         float64
	Mean, SE, DF  float64 // of Second less First, percent of cover
	Lo, Hi, Level float64 // t interval of Mean
	SD            float64
	OK            bool
	Line          int // of readings.csv, the first of the pair
}

// Large says whether the observers differ by more than chance, and by a tenth or more of the mean cover: by as much the
// stock would differ (a tenth: judgement, no source).
func (a Agreement) Large() bool {
	return a.OK && (a.Lo > 0 || a.Hi < 0) && math.Abs(a.Mean) >= 0.1*a.Cover
}

// fewestRead is how many quadrats must have been read by both.
const fewestRead = 3

// Observers compares the observers of readings.csv with those of quadrats.csv, and among themselves, pair by pair: all
// species together first, then each. The list is sorted by first, second and species.
func (f *Folder) Observers(level float64) []Agreement {
	type pair struct{ first, second, species string }
	pairs := map[pair]*compared{}
	add := func(first, second *reader, quad int) {
		for _, id := range bothFound(first, second) {
			a, b := first.cover(id), second.cover(id)
			if math.IsNaN(a) || math.IsNaN(b) {
				continue
			}
			for _, species := range []string{"", f.Names[id]} {
				k := pair{f.Names[first.observer], f.Names[second.observer], species}
				if pairs[k] == nil {
					pairs[k] = &compared{}
				}
				pairs[k].add(quad, a, b, second.line)
			}
		}
	}
	for quad, readers := range f.readTwice() {
		for i, second := range readers {
			for _, first := range readers[:i] {
				add(first, second, quad)
			}
		}
	}
	var out []Agreement
	for k, c := range pairs {
		a := c.agreement(level)
		a.First, a.Second, a.Species = k.first, k.second, k.species
		out = append(out, a)
	}
	slices.SortFunc(out, func(a, b Agreement) int {
		return cmp.Or(cmp.Compare(a.First, b.First), cmp.Compare(a.Second, b.Second), cmp.Compare(a.Species, b.Species))
	})
	return out
}

// compared are the readings of two observers.
type compared struct {
	quad []int
	a, b []float64
	line int
}

func (c *compared) add(quad int, a, b float64, line int) {
	if len(c.quad) == 0 || line < c.line {
		c.line = line
	}
	c.quad, c.a, c.b = append(c.quad, quad), append(c.a, a), append(c.b, b)
}

// agreement estimates how the two differ. Readings of one quadrat stand together.
func (c *compared) agreement(level float64) Agreement {
	nan := math.NaN()
	out := Agreement{Readings: len(c.a), Cover: nan, Mean: nan, SE: nan, DF: nan, Lo: nan, Hi: nan, Level: level, SD: nan, Line: c.line}
	sum, cover := 0.0, 0.0
	for i := range c.a {
		sum += c.b[i] - c.a[i]
		cover += c.a[i]
		if i == 0 || c.quad[i] != c.quad[i-1] {
			out.Quadrats++
		}
	}
	n, m := float64(out.Quadrats), float64(out.Readings)
	if out.Quadrats < fewestRead {
		return out
	}
	out.OK, out.Mean, out.Cover, out.DF = true, sum/m, cover/m, n-1
	within, between, quad := 0.0, 0.0, 0.0
	for i := range c.a {
		if i > 0 && c.quad[i] != c.quad[i-1] {
			between += quad * quad
			quad = 0
		}
		d := c.b[i] - c.a[i] - out.Mean
		quad += d
		within += d * d
	}
	between += quad * quad
	out.SD = math.Sqrt(within / (m - 1))
	out.SE = math.Sqrt(n/(n-1)*between) / m
	half := tQuantile(0.5+level/2, out.DF) * out.SE
	out.Lo, out.Hi = out.Mean-half, out.Mean+half
	return out
}
