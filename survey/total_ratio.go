package survey

import (
	"fmt"
	"math"
	"slices"
)

// Quantity is what an [Amount] measures.
type Quantity string

const (
	InKg    Quantity = "kg"    // kg wet
	InCover Quantity = "cover" // m2 covered, species added up
	InHeld  Quantity = "held"  // m2 that hold any of the species
	InArea  Quantity = "area"  // m2 of the ground
)

// Amount is one side of a ratio: a quantity of some species on a part of the ground. Without species and group it is of
// all species, or of those that By asks for; Whole says that it is of all species whatever By asks for, as where the
// share of a species in all is wanted.
type Amount struct {
	Of      Quantity
	Species string
	Group   string
	Whole   bool
	In      Domain
}

// Ratio is the ratio of two totals of one place and survey.
type Ratio struct {
	Shore, Zone, Bed, Stratum string
	Species, Group            string
	Survey                    string
	Date                      Day
	Value                     Estimate // OK false where the lower total is 0 or one of the two is not known
	Num, Den                  float64  // the two totals; NaN unknown
	Quadrats, PSU             int      // of all quadrats of the place
	Status                    Status
	Reason                    string
	Warnings                  []string
}

// Ratios estimates the ratio of two totals, each of them as in [Totals], for every place and survey:
//
//	R = Y/X,   v = [Σ_b v_b(z_y - R z_x) + Σ_id (e_y,id - R e_x,id)²]/X²
//
// with z the linearised parts per sampling unit of bed b and e the shared errors in the units of the total. An error
// that bears on both (the same calibration, the area of the bed) cancels as far as it does. Kg per m2 covered, the share
// of a species in the weight of all, kg per m2 where it was found: all are ratios. The bias is of order 1/n.
//
// Nothing of Y gives 0 without error or bounds, nothing of X no ratio. It panics as [Stocks] does and on an unknown
// quantity.
//
// References:
//   - Cochran, W. G.: Sampling Techniques, 3rd ed. Wiley (1977), sections 6.4 and 6.11
//   - Särndal, C.-E., Swensson, B. and Wretman, J.: Model Assisted Survey Sampling. Springer (1992), section 5.6
func Ratios(f *Folder, opt Options, by By, num, den Amount) []Ratio {
	for _, a := range []Amount{num, den} {
		if !slices.Contains([]Quantity{InKg, InCover, InHeld, InArea}, a.Of) {
			panic(fmt.Sprintf("survey: unknown quantity %q", a.Of))
		}
	}
	t := newTotaler(f, opt)
	var out []Ratio
	for _, c := range t.cells(by, Domain{}) {
		out = append(out, t.ratio(c, num, den))
	}
	slices.SortStableFunc(out, func(a, b Ratio) int { return compareTotals(a.key(), b.key()) })
	return out
}

// key is the ratio's place as a total.
func (r Ratio) key() Total {
	return Total{Shore: r.Shore, Zone: r.Zone, Bed: r.Bed, Stratum: r.Stratum, Species: r.Species, Group: r.Group,
		Survey: r.Survey, Date: r.Date}
}

// ratio estimates one ratio.
func (t *totaler) ratio(c *totalCell, num, den Amount) Ratio {
	var all Total
	t.label(c, &all)
	out := Ratio{Shore: c.shore, Zone: c.zone, Bed: c.bed, Stratum: c.stratum, Species: c.species, Group: c.group,
		Survey: c.label, Date: all.Date, Value: missing(), Num: math.NaN(), Den: math.NaN()}
	for _, s := range c.beds {
		out.Quadrats += len(s.quads)
		out.PSU += s.design.units
	}
	y, whyY := t.side(c, num)
	x, whyX := t.side(c, den)
	reasons := slices.Concat(whyY, whyX)
	slices.Sort(reasons)
	reasons = slices.Compact(reasons)
	if len(reasons) == 0 {
		out.Num, out.Den = y.sum(y.terms).value, x.sum(x.terms).value
		if !(out.Den > 0) {
			reasons = append(reasons, "nothing below the line: no ratio")
		} else {
			out.Value = x.ratioOf(y, t.e.opt)
		}
	}
	out.Status, out.Reason = concluded(reasons, c.missed)
	out.Warnings = t.warnings(c, x, &Total{Summed: all.Summed, QuadratsWith: 1})
	return out
}

// ratioOf is the ratio of the terms of y to those of a. Degrees of freedom are those of the larger domain.
func (a *ingredients) ratioOf(y *ingredients, opt Options) Estimate {
	ground := *a
	ground.inside = nil
	for i := range a.inside {
		both := make([]bool, len(a.inside[i]))
		for q := range both {
			both[q] = a.inside[i][q] || y.inside[i][q]
		}
		ground.inside = append(ground.inside, both)
	}
	r, terms, _ := ratioTerms(y.terms, a.terms)
	s := ground.sum(terms)
	s.value = r
	return bounded(s.estimate(opt), r == 0)
}

// side lays out one side of a ratio; it returns why it is not known.
func (t *totaler) side(c *totalCell, side Amount) (*ingredients, []string) {
	in := side.In
	if in.Stratum == "" {
		in.Stratum = c.in.Stratum
	}
	var pieces []*piece
	for i := range t.pieces {
		p := &t.pieces[i]
		if slices.Contains(c.beds, p.s) && (side.Whole || slices.Contains(c.pieces, p)) &&
			(side.Species == "" || side.Species == p.species) && (side.Group == "" || side.Group == p.group) {
			pieces = append(pieces, p)
		}
	}
	if len(pieces) == 0 && side.Of != InArea {
		return &ingredients{}, []string{fmt.Sprintf("%s not looked for", orAll(side))}
	}
	a := t.amounts(c, in, pieces)
	why := a.noStock()
	switch side.Of {
	case InKg:
		a.terms = a.kg
		if len(a.lacking) > 0 {
			why = append(why, t.whyLacking(c, a.lacking)...)
		}
	case InCover:
		a.terms = a.cover
		for _, p := range a.noCover {
			why = append(why, fmt.Sprintf("%s: cover blank in a quadrat that holds it; read it there", p.species))
		}
	case InHeld:
		a.terms = a.held
	case InArea:
		a.terms = a.area
	}
	return a, why
}

// orAll names the species of an amount.
func orAll(a Amount) string {
	switch {
	case a.Species != "":
		return a.Species
	case a.Group != "":
		return "group " + a.Group
	}
	return "species"
}
