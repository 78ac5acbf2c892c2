package offtake

import (
	"math"
	"slices"

	"bedstock/model/internal/elementary"
)

// paths are the futures of a stand, one a draw, under chances that are the same for every take that is tried. The
// stand is followed as v = limit K/B, which is above 1 where the stock is below the limit. A year is
//
//	v -> v keep / (1 - h w) + gain,  keep = e^-r c,  gain = limit (1 - e^-r) c,  c = exp(-sigma z) / storm
//
// with h the fraction cut of what stands (0 in years of rest) and w the error of that year's survey.
type paths struct {
	wider    float64 // Monte Carlo standard errors over those of independent draws
	level    float64 // of intervals
	n, years int
	every    int       // years from one cut to the next
	share    float64   // of the stock that may be cut by length
	all      []int     // groups of draws that are followed side by side
	b, floor []float64 // stock and limit K, kg; beyond the last draw, to the end of its group, endless and 0
	year     []year    // what the years do to four draws side by side: all years of the first four, then the next
	miss     []tile    // errors of the surveys, in the same order; nil: none
	worst    []float64 // largest error of the surveys among four draws that lie together
	kg       float64   // scratch: the first cut
	cut      []float64 // scratch: the later years' cuts, as 1/(1-h) or as h
	most     float64   // scratch: the largest of them
	counts   []int     // scratch: draws below the limit, by year
	often    []int     // scratch: and by group
	tally    []tally   // scratch: by year, while they are counted

	spared, best, seen []float64 // scratch: by draw
	factors            []float64 // scratch: of the years of a group
}

// year is v -> v keep + gain for four draws, with the chances in it: one line of the cache.
type year struct{ keep, gain tile }

// at is what year y does to draw i.
func (p *paths) at(i, y int) (keep, gain float64) {
	t := &p.year[i/lanes*p.years+y]
	return t.keep[i%lanes], t.gain[i%lanes]
}

func newPaths(s Stand, rules Rules) *paths {
	p := idle()
	p.n, p.years, p.every, p.share, p.level = len(s.B), rules.Horizon, rules.RestYears+1, s.Exploitable, rules.Level
	p.wider = s.wider()
	p.cut, p.counts, p.often = sized(p.cut, p.years), sized(p.counts, p.years), sized(p.often, p.groups())
	p.tally = sized(p.tally, p.years)
	p.stands(s, rules)
	c := drawn.of(chancesOf(s, rules))
	p.grow(c, s, rules)
	p.survey(c, s.SurveyCV)
	return p
}

// stands sets where the draws stand.
func (p *paths) stands(s Stand, rules Rules) {
	p.all, p.b, p.floor = sized(p.all, p.groups()), sized(p.b, p.groups()*lanes), sized(p.floor, p.groups()*lanes)
	for g := range p.all {
		p.all[g] = g
	}
	copy(p.b, s.B)
	for i, k := range s.K {
		p.floor[i] = rules.LimitOfK * k
	}
	for i := p.n; i < len(p.b); i++ {
		p.b[i], p.floor[i] = math.Inf(1), 0
	}
}

// grow sets what the years do to the draws, with chances
//
//	c = exp(-sigma z) / storm,  storm = survival with probability chance, else 1
//
// whose median is 1 without storms.
func (p *paths) grow(c *luck, s Stand, rules Rules) {
	p.year, p.factors = sized(p.year, p.groups()*p.years), sized(p.factors, p.years*lanes)
	hits := hitsOf(-math.Log(rules.StormSurvival))
	for g := range p.groups() {
		var sigma, decay, gain tile
		copy(sigma[:], s.Sigma[g*lanes:])
		for l, r := range s.R[g*lanes : g*lanes+p.inGroup(g)] {
			decay[l], gain[l] = -r, -r
		}
		elementary.Exp(decay[:])
		elementary.Expm1(gain[:])
		for l := range gain {
			gain[l] *= -rules.LimitOfK
		}
		years, noise, storm := p.year[g*p.years:(g+1)*p.years], c.noise[g*p.years:], c.storm[g*p.years:]
		for y := range years {
			x, z, hit := (*tile)(p.factors[y*lanes:]), &noise[y], &hits[storm[y]]
			x[0], x[1] = hit[0]-float64(sigma[0]*z[0]), hit[1]-float64(sigma[1]*z[1])
			x[2], x[3] = hit[2]-float64(sigma[2]*z[2]), hit[3]-float64(sigma[3]*z[3])
		}
		elementary.Exp(p.factors)
		for y := range years {
			x, t := (*tile)(p.factors[y*lanes:]), &years[y]
			t.keep = tile{decay[0] * x[0], decay[1] * x[1], decay[2] * x[2], decay[3] * x[3]}
			t.gain = tile{gain[0] * x[0], gain[1] * x[1], gain[2] * x[2], gain[3] * x[3]}
		}
	}
}

// hitsOf is what storms in any of four draws, a bit each, add to the exponents.
func hitsOf(one float64) (hits [1 << lanes]tile) {
	for storm := range hits {
		for l := range hits[storm] {
			hits[storm][l] = one * float64(storm>>l&1)
		}
	}
	return hits
}

// survey sets the errors exp(c z) by which the surveys before later cuts miss the stock, and the largest among four draws.
func (p *paths) survey(c *luck, cv float64) {
	if cv == 0 {
		p.miss = nil
		return
	}
	p.miss, p.worst = sized(p.miss, p.groups()*p.years), sized(p.worst, p.groups())
	for g := range p.worst {
		tiles, x := p.miss[g*p.years:(g+1)*p.years], p.factors[:0]
		for y := p.every; y < p.years; y += p.every {
			z := &c.survey[g*p.years+y]
			x = append(x, cv*z[0], cv*z[1], cv*z[2], cv*z[3])
		}
		elementary.Exp(x)
		clear(tiles)
		for y := p.every; y < p.years; y += p.every {
			tiles[y], x = tile(x), x[lanes:]
		}
		p.worst[g] = cv * c.highest[g]
	}
	elementary.Exp(p.worst)
}

// below counts, year by year, the draws that are below the limit just before the next cut, when kg are cut at first
// and the fraction h of the exploitable stock at every later cut. The result is overwritten by the next call.
func (p *paths) below(kg, h float64) []int {
	p.plan(kg, h)
	clear(p.counts)
	p.count(p.all, p.counts, p.often)
	return p.counts
}

// plan sets the cuts under which draws are counted.
func (p *paths) plan(kg, h float64) {
	p.kg = kg
	for y := range p.cut {
		p.cut[y] = p.fraction(y, h)
		if p.miss == nil {
			p.cut[y] = 1 / math.Max(1-p.cut[y], nothing)
		}
	}
	p.most = slices.Max(p.cut)
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
