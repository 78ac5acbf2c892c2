package offtake

import (
	"math"
	"slices"
)

// paths are the futures of a stand, one a draw, under chances that are the same for every take that is tried. The
// stand is followed as v = K/B, for which a year is
//
//	v -> (v e^-r / (1 - h w) + 1 - e^-r) exp(-sigma z) / storm
//
// with h the fraction cut of what stands (0 in years of rest) and w the error of that year's survey.
type paths struct {
	wider    float64 // Monte Carlo standard errors over those of independent draws
	n, years int
	every    int     // years from one cut to the next
	share    float64 // of the stock that may be cut by length
	limit    float64 // v above which the stock is below the limit
	k, b     []float64
	decay    []float64 // e^-r
	gain     []float64 // 1 - e^-r
	inv      []float64 // chances, tiled
	miss     []float64 // errors of the surveys, tiled; nil: none
	worst    []float64 // largest error of the surveys among four draws that lie together
	start    []float64 // scratch: v just after the first cut
	keep     []float64 // scratch: what the year's cut leaves, as 1/(1-h) or as h
	counts   []int     // scratch: draws below the limit, by year
}

func newPaths(s Stand, rules Rules) *paths {
	n := len(s.B)
	padded := (n + lanes - 1) / lanes * lanes
	p := &paths{n: n, years: rules.Horizon, every: rules.RestYears + 1, share: s.Exploitable, limit: 1 / rules.LimitOfK,
		k: s.K, b: s.B, inv: inverseNoise(s, rules), miss: surveyError(s, rules), wider: s.wider()}
	p.decay, p.gain, p.start = make([]float64, padded), make([]float64, padded), make([]float64, padded)
	for i, r := range s.R {
		p.decay[i] = math.Exp(-r)
		p.gain[i] = -math.Expm1(-r)
	}
	for i := 0; i < len(p.miss); i += p.years * lanes {
		p.worst = append(p.worst, slices.Max(p.miss[i:i+p.years*lanes]))
	}
	p.keep, p.counts = make([]float64, p.years), make([]int, p.years)
	return p
}

// below counts, year by year, the draws that are below the limit just before the next cut, when kg are cut at first
// and the fraction h of the exploitable stock at every later cut. The result is overwritten by the next call.
func (p *paths) below(kg, h float64) []int {
	p.cutFirst(kg)
	clear(p.counts)
	if p.miss == nil {
		for y := range p.keep {
			p.keep[y] = 1 / math.Max(1-p.fraction(y, h), nothing)
		}
		p.countExact()
	} else {
		for y := range p.keep {
			p.keep[y] = p.fraction(y, h)
		}
		p.countSurveyed()
	}
	return p.counts
}

// nothing stands for what is left where all is cut: it cannot grow back within any horizon.
const nothing = 1e-100

// fraction of the whole stock that is meant to be cut at the start of year y; the first cut is in kg.
func (p *paths) fraction(y int, h float64) float64 {
	if y == 0 || y%p.every != 0 {
		return 0
	}
	return h * p.share
}

// cutFirst sets every draw to what it is just after the same kg are cut in each; one that holds no more is empty.
func (p *paths) cutFirst(kg float64) {
	for i, b := range p.b {
		p.start[i] = p.k[i] / max(b-kg, 0)
	}
}
