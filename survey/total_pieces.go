package survey

import (
	"math"
	"slices"
)

// totaler holds what all totals of a folder share.
type totaler struct {
	e      *estimator
	visits []*fieldwork
	pieces []piece
}

// piece is a species on a bed at a survey, as it enters sums.
type piece struct {
	s       *fieldwork
	species string
	group   string
	r       readings
	w       weight // kg nil where there is none
	found   bool
	reason  string // why there is no weight
	own     []float64
	excess  float64
}

func newTotaler(f *Folder, opt Options) *totaler {
	t := &totaler{}
	t.e, t.visits = layOut(f, opt)
	for _, s := range t.visits {
		if s.design == nil {
			continue
		}
		for _, name := range t.names(s) {
			t.pieces = append(t.pieces, t.piece(s, name))
		}
	}
	return t
}

// names are the species sought or found at a survey, sorted.
func (t *totaler) names(s *fieldwork) []string {
	out := slices.Clone(t.e.sought)
	if s.declared != nil && s.declared.Sought != nil {
		out = slices.Clone(s.declared.Sought)
	}
	for id := range s.species {
		out = append(out, t.e.f.Names[id])
	}
	slices.Sort(out)
	return slices.Compact(out)
}

// speciesID is the place of a species in Folder.Names, one that no row has where it is not there.
func speciesID(f *Folder, name string) uint32 {
	if i, ok := slices.BinarySearch(f.Names, name); ok {
		return uint32(i)
	}
	return ^uint32(0)
}

// piece estimates one species of a survey.
func (t *totaler) piece(s *fieldwork, name string) piece {
	sp := t.e.species(name)
	p := piece{s: s, species: name, r: s.readings(&t.e.f.Quadrats, s.species[speciesID(t.e.f, name)])}
	if sp != nil {
		p.group = sp.Group
	}
	p.found = p.r.count(p.r.holds) > 0
	if p.found {
		p.w = s.weigh(p.r, sp, name, t.e.calibrations)
		p.reason = p.w.reason
	} else if p.reason = t.e.calibrations.never(name, sp); p.reason == "" {
		zero := make([]float64, len(s.quads))
		p.w = weight{kg: zero, summed: zero, total: s.design.total(zero), own: part{0, s.design.df()}}
	}
	if p.w.kg != nil && math.IsNaN(p.w.total.total) {
		p.w.kg, p.reason = nil, "neither cover nor weight could be used"
	}
	if p.w.kg != nil {
		p.own = p.linear()
		p.excess = p.w.own.v - s.design.cov(p.own, p.own)
	}
	return p
}

// linear are the parts of the linearised kg per sampling unit: of the quadrats as they enter the total and, where the
// survey's own weighed quadrats give the conversion, of that.
func (p *piece) linear() []float64 {
	out := slices.Clone(p.w.total.unit)
	for c, v := range p.w.linear {
		out[c] += v
	}
	return out
}

// kgAmount is the weight of a piece inside a domain. What its conversion adds to the error is in proportion to what was
// converted there.
func (p *piece) kgAmount(inside []bool) amount {
	a := newAmount(p.s, masked(p.w.summed, inside), inside)
	share := p.convertedShare(inside)
	for c, v := range p.own {
		a.unit[c] += share * (v - p.w.total.unit[c]) // what the conversion adds
	}
	a.excess = share * share * p.excess
	if base := p.s.design.dfOf(p.w.total.unit); base > 0 && p.w.own.v > 0 {
		a.v, a.fewer = p.w.own.v, p.w.own.df/base
	}
	for i, e := range p.w.errors {
		if e.CV > 0 {
			a.shared = append(a.shared, sharedPart{e.ID, share * e.CV * p.w.total.total, p.w.sharedDF(i)})
		}
	}
	return a
}

// sharedDF is the number of degrees of freedom of a shared error.
func (w weight) sharedDF(i int) float64 {
	if i < len(w.shared) {
		return w.shared[i].df
	}
	return math.Inf(1)
}

// convertedShare is the part of the converted weight that lies inside the domain: of all quadrats where the survey's own
// weighed quadrats give the conversion, else of those not weighed.
func (p *piece) convertedShare(inside []bool) float64 {
	all, in := 0.0, 0.0
	for i, y := range p.w.summed {
		if math.IsNaN(y) || !p.r.holds(i) || p.w.linear == nil && p.r.weighed(i) {
			continue
		}
		v := p.w.total.weight[i] * y
		all += v
		if inside[i] {
			in += v
		}
	}
	if all == 0 {
		return 0
	}
	return in / all
}

// coverAmount is the cover of a piece inside a domain, m2; false where a cover was not read.
func (p *piece) coverAmount(inside []bool) (amount, bool) {
	y := masked(p.r.cover, inside)
	for i, v := range y {
		if math.IsNaN(v) {
			return amount{}, false
		}
		y[i] = v / 100
	}
	a := newAmount(p.s, y, inside)
	weight := p.s.design.total(y).weight
	for _, c := range p.r.classParts(weight, func(i int, c CoverClass) float64 {
		if !inside[i] {
			return 0
		}
		return (c.Hi - c.Lo) / 100
	}) {
		a.shared = append(a.shared, sharedPart{c.id(p.species), c.se, math.Inf(1)})
	}
	return a, true
}
