package survey

import (
	"fmt"
	"math"
	"slices"
	"strings"
)

// total writes one total.
func (t *totaler) total(c *totalCell) Total {
	out := Total{Shore: c.shore, Zone: c.zone, Bed: c.bed, Stratum: c.stratum, Species: c.species, Group: c.group,
		Survey: c.label, Area: missing(), Kg: missing(), KgM2: missing(), Cover: missing(), Held: missing(),
		KgM2Held: missing(), Known: missing(), DesignEffect: math.NaN(), OwnCV: math.NaN(), Status: OK}
	t.label(c, &out)
	a := t.amounts(c, c.in, c.pieces)
	var reasons []string
	if a.quadrats == 0 {
		reasons = append(reasons, a.empty(c))
	} else {
		a.counts(&out)
		t.areaAndHeld(c, a, &out)
		t.cover(a, &out)
		reasons = append(reasons, t.kg(c, a, &out)...)
	}
	out.Status, out.Reason = concluded(reasons, c.missed)
	out.Warnings = t.warnings(c, a, &out)
	return out
}

// concluded is the status and reason by what cannot be estimated and what is left out.
func concluded(reasons, missed []string) (Status, string) {
	status := OK
	switch {
	case len(reasons) > 0:
		status = NotEstimable
	case len(missed) > 0:
		status = SurveyedPart
	}
	return status, strings.Join(append(reasons, missed...), "; ")
}

// label fills in beds, species and dates.
func (t *totaler) label(c *totalCell, out *Total) {
	out.From, out.To = c.beds[0].from, c.beds[0].to
	days := 0
	for _, s := range c.beds {
		out.Beds = append(out.Beds, s.bedID)
		out.From, out.To = min(out.From, s.from), max(out.To, s.to)
		days += int(s.date - c.beds[0].date)
	}
	out.Date = c.beds[0].date + Day(math.Round(float64(days)/float64(len(c.beds))))
	for _, p := range c.pieces {
		out.Summed = append(out.Summed, p.species)
	}
	slices.Sort(out.Beds)
	slices.Sort(out.Summed)
	out.Beds, out.Summed = slices.Compact(out.Beds), slices.Compact(out.Summed)
}

// ingredients are the amounts of a cell, by kind.
type ingredients struct {
	kg, cover, area, held []amount
	terms                 []amount // those of a ratio
	inside                [][]bool // of each amount of area, a bed each
	quadrats              int
	split                 bool     // the domain is known by the sample alone
	lacking               []*piece // without weight
	noCover               []*piece
	noArea, lonely        []string // beds
	single                []string // beds where the domain is a stratum of one sampling unit
	readings              [][]readings
	beds                  []*fieldwork
}

// amounts lays out all terms of a cell inside a domain, of the given pieces.
func (t *totaler) amounts(c *totalCell, in Domain, pieces []*piece) *ingredients {
	a := &ingredients{beds: c.beds, split: in.split()}
	for _, s := range c.beds {
		inside := in.inside(t.e.f, s)
		a.inside = append(a.inside, inside)
		if s.noArea {
			a.noArea = append(a.noArea, s.bedID)
		}
		if s.design.single(in.Stratum) {
			a.single = append(a.single, s.bedID)
		}
		if t.e.opt.Lonely == "fail" && len(s.design.lonelyIn(inside)) > 0 {
			a.lonely = append(a.lonely, s.bedID)
		}
		for _, in := range inside {
			if in {
				a.quadrats++
			}
		}
		a.area = append(a.area, newAmount(s, indicator(inside), inside))
		var rs []readings
		for _, p := range pieces {
			if p.s == s {
				rs = append(rs, p.r)
				a.species(p, inside)
			}
		}
		a.readings = append(a.readings, rs)
		a.held = append(a.held, newAmount(s, indicator(anyHolds(rs, inside)), inside))
	}
	return a
}

// species adds the amounts of a species on a bed.
func (a *ingredients) species(p *piece, inside []bool) {
	if p.w.kg != nil {
		a.kg = append(a.kg, p.kgAmount(inside))
	} else {
		a.lacking = append(a.lacking, p)
	}
	if cover, ok := p.coverAmount(inside); ok {
		a.cover = append(a.cover, cover)
	} else {
		a.noCover = append(a.noCover, p)
	}
}

// sum adds amounts up over the beds.
func (a *ingredients) sum(terms []amount) *grandSum {
	out := &grandSum{}
	for _, term := range terms {
		i := slices.Index(a.beds, term.s)
		out.add(term, a.inside[i])
	}
	for _, b := range out.beds {
		b.noVariance = slices.Contains(a.single, b.s.bedID)
	}
	return out
}

// mean is the ratio of amounts to the ground, times a factor. Areas of the ground that are uncertain enter as the shares
// that strata and beds have in it.
func (a *ingredients) mean(num []amount, factor float64, opt Options) Estimate {
	return a.ratio(num, a.area, factor, !a.split, opt)
}

// ratio is the ratio of two sums of amounts, times a factor.
func (a *ingredients) ratio(num, den []amount, factor float64, mean bool, opt Options) Estimate {
	num = slices.Clone(num)
	for i := range num {
		num[i].by *= factor
	}
	r, terms, ground := ratioTerms(num, den)
	if math.IsNaN(r) || math.IsInf(r, 0) {
		return missing()
	}
	s := a.sum(terms)
	s.value = r
	if mean {
		s.ground = ground
	}
	return bounded(s.estimate(opt), r == 0)
}

// bounded takes error and bounds off an estimate of nothing found, of which the sample says nothing.
func bounded(e Estimate, nothing bool) Estimate {
	if nothing {
		nan := math.NaN()
		e.SE, e.Lo, e.Hi = nan, nan, nan
	}
	return e
}

// counts fills in quadrats and sampling units.
func (a *ingredients) counts(out *Total) {
	for b, s := range a.beds {
		held := anyHolds(a.readings[b], a.inside[b])
		units, _ := s.design.domainUnits(a.inside[b])
		with, _ := s.design.domainUnits(held)
		out.PSU += units
		out.PSUWith += with
		for i, in := range a.inside[b] {
			if in {
				out.Quadrats++
			}
			if held[i] {
				out.QuadratsWith++
			}
		}
	}
}

// empty says why nothing lies in the domain.
func (a *ingredients) empty(c *totalCell) string {
	switch {
	case c.in.split():
		return fmt.Sprintf("no quadrat of the domain (%s)", c.in.words())
	case c.in.Stratum != "" && len(c.missed) > 0:
		return "no quadrat: reach the stratum first next time"
	}
	return "no quadrat there"
}

// words describe what a domain holds.
func (in Domain) words() string {
	var out []string
	if in.Holding != "" {
		out = append(out, "holding "+in.Holding)
	}
	if in.Without != "" {
		out = append(out, "without "+in.Without)
	}
	return strings.Join(out, ", ")
}

// lonelyIn are the strata of a single sampling unit with a quadrat in the domain.
func (d *design) lonelyIn(inside []bool) []string {
	lonely := d.lonelyStrata()
	var out []string
	for i, in := range inside {
		if label := d.strata[d.stratum[i]].label; in && slices.Contains(lonely, label) && !slices.Contains(out, label) {
			out = append(out, label)
		}
	}
	return out
}
