package survey

import (
	"cmp"
	"slices"
)

// By says what a [Total] is taken for each of. Values are joined with |: ByShore|BySpecies is every species on every
// shore. Without a place all beds are summed; without species or group all species are.
type By uint8

const (
	ByBed     By = 1 << iota
	ByStratum    // of each bed
	ByZone       // beds of a zone
	ByShore      // beds of a shore
	BySpecies
	ByGroup // species of a group of the species table; those without one together
)

// Total is what stands of some species on some ground at one survey, summed over both.
type Total struct {
	Shore, Zone, Bed, Stratum string // filled where asked for by By
	Species, Group            string
	Survey                    string
	From, To, Date            Day      // of all quadrats; mean over beds
	Beds                      []string // summed, sorted
	Summed                    []string // species summed, sorted

	Area     Estimate // m2 of the ground: surveyed strata, or the part of them in the domain
	Kg       Estimate // kg wet
	KgM2     Estimate // Kg per m2 of the ground
	Cover    Estimate // percent of the ground, species added up: above 100 where they grow over each other
	Held     Estimate // percent of the ground that holds any of the species
	KgM2Held Estimate // kg per m2 of the ground that holds any of them: a domain of the sample
	Known    Estimate // Kg of what could be estimated; differs from Kg where that is not OK

	Quadrats     int     // visited, in the domain
	QuadratsWith int     // holding any of the species
	PSU          int     // sampling units with a quadrat in the domain
	PSUWith      int     // sampling units holding any of the species
	DesignEffect float64 // variance of Kg between units over that of a simple random sample; NaN unknown
	OwnCV        float64 // CV of Kg without Shared; NaN unknown
	Shared       []SharedError

	Status   Status
	Reason   string // why there is no Kg, or what it leaves out, and what to do about it
	Warnings []string
}

// CV is the coefficient of variation of Kg.
func (t Total) CV() float64 { return t.Kg.CV() }

// Totals sums standing stocks over species, strata, beds, zones and shores for every survey, sorted by place, species
// and date. Surveys of several beds belong together where they bear the same label.
//
// Of one bed the species are summed quadrat by quadrat, so that what they have in common (one thick where the other is
// thin) is in the variance:
//
//	B = Σ_b Σ_h A_h Σ_s ybar_hs,   v = Σ_b v_b(Σ_s z_bs) + Σ_id (Σ_bs kg_bs cv_bs,id)² + v(areas)
//
// with z the linearised totals per sampling unit of species s on bed b, conversion by the survey's own weighed quadrats
// included. Beds are independent but for errors with the same ID (a calibration used on both), whose kg add up before
// they are squared. Areas enter by Goodman's formula for the sum of the species, their errors independent between beds.
// KgM2, Cover and Held take areas as known. For a single bed and species Kg is that of [Stocks].
//
// Degrees of freedom of the sampling part are sampling units less strata over all beds, or (opt.DF "satterthwaite") by
// the variances of the strata; those of conversion and shared errors join by Satterthwaite.
//
// Kg is not OK where one of the species could not be estimated on one of the beds; Known then sums the rest. A bed of
// the place that was not surveyed, a stratum not visited and a species not looked for make the total one of the surveyed
// part only. Nothing found: 0 without error or bounds.
//
// It panics as [Stocks] does.
//
// References:
//   - Cochran, W. G.: Sampling Techniques, 3rd ed. Wiley (1977), sections 2.12 and 5.3
//   - Särndal, C.-E., Swensson, B. and Wretman, J.: Model Assisted Survey Sampling. Springer (1992), sections 5.5-5.8
//   - Lumley, T.: Complex Surveys. Wiley (2010), chapter 2 and appendix A
func Totals(f *Folder, opt Options, by By) []Total { return DomainTotals(f, opt, by, Domain{}) }

// DomainTotals are [Totals] over a part of the ground. The part is a domain of the sample: quadrats outside count with
// 0, and how many fall inside is itself by chance, as it must be where the part was not laid out beforehand. A stratum
// or a zone, laid out beforehand, is left with its own quadrats by the same formulas.
func DomainTotals(f *Folder, opt Options, by By, in Domain) []Total {
	t := newTotaler(f, opt)
	var out []Total
	for _, c := range t.cells(by, in) {
		out = append(out, t.total(c))
	}
	slices.SortStableFunc(out, compareTotals)
	return out
}

// compareTotals orders totals by place, species and date.
func compareTotals(a, b Total) int {
	return cmp.Or(cmp.Compare(a.Shore, b.Shore), cmp.Compare(a.Zone, b.Zone), cmp.Compare(a.Bed, b.Bed),
		cmp.Compare(a.Stratum, b.Stratum), cmp.Compare(a.Group, b.Group), cmp.Compare(a.Species, b.Species),
		cmp.Compare(a.Date, b.Date), cmp.Compare(a.Survey, b.Survey))
}
