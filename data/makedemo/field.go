package makedemo

import (
	"math"
	"math/rand/v2"
)

const (
	strips       = 80   // places for a transect in a stratum
	occupancySD  = 0.5  // of the logit of a strip's occupancy
	stripSD      = 0.3  // of the logit of a strip's cover, for good
	stripYearSD  = 0.2  // the same, new every year
	patchiness   = 5.0  // concentration of the cover of an occupied quadrat around its strip's mean
	highestShare = 0.96 // of a strip that all wracks together may occupy
)

// rock is where the species of one bed can stand: occ[species][stratum][strip] is the share of quadrats occupied,
// lean[species][stratum][strip] how much thicker than elsewhere the species stands there (on the logit of cover).
type rock struct {
	occ, lean map[string][][]float64
}

func makeRock(seed uint64, b bed) rock {
	r := rock{map[string][][]float64{}, map[string][][]float64{}}
	for _, st := range b.stands {
		rng := stream(seed, "rock|"+b.id+"|"+st.species)
		occ, lean := make([][]float64, len(b.strata)), make([][]float64, len(b.strata))
		for h, s := range b.strata {
			occ[h], lean[h] = make([]float64, strips), make([]float64, strips)
			for j := range strips {
				e, l := rng.NormFloat64(), rng.NormFloat64()
				if p := s.occ[st.species]; p > 0 {
					occ[h][j] = logistic(logit(p) + occupancySD*e)
				}
				lean[h][j] = stripSD * l
			}
		}
		r.occ[st.species], r.lean[st.species] = occ, lean
	}
	r.share(b)
	return r
}

// share keeps the wracks of a strip, which never share a quadrat, from occupying more than there is.
func (r rock) share(b bed) {
	for h := range b.strata {
		for j := range strips {
			sum := 0.0
			for _, sp := range kindNames {
				if kinds[sp].wrack && r.occ[sp] != nil {
					sum += r.occ[sp][h][j]
				}
			}
			if sum <= highestShare {
				continue
			}
			for _, sp := range kindNames {
				if kinds[sp].wrack && r.occ[sp] != nil {
					r.occ[sp][h][j] *= highestShare / sum
				}
			}
		}
	}
}

// occupied is the share of the bed that a species occupies.
func (r rock) occupied(b bed, species string) float64 {
	sum := 0.0
	for h, s := range b.strata {
		for _, p := range r.occ[species][h] {
			sum += s.m2 / strips * p
		}
	}
	return sum / b.area()
}

// cover is the mean cover (0-1) of occupied quadrats in every stratum and strip of a bed in one year.
type cover [][]float64

// spread lays kg of a species over the bed: the cover of a strip is logistic(alpha + lean), with alpha such that
//
//	sum over strips of area * occupied * full * cover = kg
//
// full is the weight at full cover (kg/m2). It also returns the kg of each stratum. Without kg there is no cover.
// More than full cover everywhere could hold is a mistake in this package.
func (r rock) spread(rng *rand.Rand, b bed, species string, kg, full float64) (cover, []float64) {
	lean := make(cover, len(b.strata))
	for h := range lean {
		lean[h] = make([]float64, strips)
		for j := range lean[h] {
			lean[h][j] = r.lean[species][h][j] + stripYearSD*rng.NormFloat64()
		}
	}
	if kg <= 0 {
		return nil, make([]float64, len(b.strata))
	}
	if top := full * b.area() * r.occupied(b, species); kg >= top {
		panic("makedemo: more of " + species + " than " + b.id + " can hold")
	}
	lo, hi := -30.0, 30.0
	for hi-lo > 1e-12 {
		mid := (lo + hi) / 2
		if sum(r.weigh(b, species, lean, mid, full)) < kg {
			lo = mid
		} else {
			hi = mid
		}
	}
	parts := r.weigh(b, species, lean, hi, full)
	for h := range lean {
		for j := range lean[h] {
			lean[h][j] = logistic(hi + lean[h][j])
		}
	}
	return lean, parts
}

// weigh is the kg of each stratum at a given alpha.
func (r rock) weigh(b bed, species string, lean cover, alpha, full float64) []float64 {
	parts := make([]float64, len(b.strata))
	for h, s := range b.strata {
		for j, p := range r.occ[species][h] {
			if p > 0 {
				parts[h] += s.m2 / strips * p * full * logistic(alpha+lean[h][j])
			}
		}
	}
	return parts
}

func sum(xs []float64) float64 {
	s := 0.0
	for _, x := range xs {
		s += x
	}
	return s
}

// roundTo rounds to a multiple of step.
func roundTo(x, step float64) float64 { return math.Round(x/step) * step }
