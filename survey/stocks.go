package survey

import (
	"cmp"
	"fmt"
	"slices"
)

// Stocks estimates what stands of every species on every bed at every survey, sorted by bed, species and date.
//
// There is one [Stock] for each species sought, found or not, and for each found without being sought. Cover and kg are
// totals over the surveyed strata,
//
//	B = Σ_h A_h ybar_h,   ybar_h = Σ m2 y / Σ m2
//
// with A_h the area of a stratum (m2) and y cover (percent) or weight (kg/m2) of each quadrat, a visited quadrat
// without a row of the species counting as 0. Variances are linearised, between transects or, without transects,
// between quadrats, with a finite population correction only if opt.FPC asks for it. Cover is that total over Σ A_h.
// How cover becomes weight where not all was weighed stands in Stock.Conversion and Stock.Domain.
//
// Intervals are those that opt.Interval names at opt.Confidence: see [Estimate.IntervalOf] and, for the bootstrap,
// resampler. SE of Kg holds every error: sampling, conversion and the bed's area; OwnCV only what is not in Shared. A
// species found in no quadrat has Cover and Kg 0 with neither SE nor bounds (NaN); its conversion is "none", as where nothing could be converted. Its Kg is not OK where the species was
// found elsewhere but could be converted nowhere in the folder. Where some quadrats hold the species but their cover is
// blank, Cover is not OK. A survey declared but without a visited quadrat gives no stock.
//
// It panics on an unknown opt.Lonely, opt.Conversion or opt.Interval, a window below 0 or a level outside (0, 1).
func Stocks(f *Folder, opt Options) []Stock {
	e, visits := layOut(f, opt)
	e.lengths = newLengths(f, e.calibrations.fronds)
	out := ofVisits(visits, e.stocks)
	slices.SortStableFunc(out, compareStocks)
	return out
}

// ofVisits is what of gives of each survey with a design, on as many cores as there are, in their order.
func ofVisits[T any](visits []*fieldwork, of func(*fieldwork) []T) []T {
	found := make([][]T, len(visits))
	inParallel(len(visits), func(i int) {
		if visits[i].design != nil {
			found[i] = of(visits[i])
		}
	})
	return slices.Concat(found...)
}

// compareStocks orders by bed, species and date.
func compareStocks(a, b Stock) int {
	return cmp.Or(cmp.Compare(a.Bed, b.Bed), cmp.Compare(a.Species, b.Species), cmp.Compare(a.Date, b.Date))
}

// layOut lays out every survey of a folder and makes the estimator of its species, without lengths. A survey without a
// visited quadrat has no design. It panics as [Stocks] does.
func layOut(f *Folder, opt Options) (*estimator, []*fieldwork) {
	checkOptions(opt)
	surveys := rounds(f, opt.WindowDays)
	visits := make([]*fieldwork, len(surveys))
	inParallel(len(surveys), func(i int) { visits[i] = fieldworkOf(f, surveys[i], opt) })
	return &estimator{f: f, opt: opt, sought: f.NamedSpecies(), calibrations: newCalibrations(f, visits).wanting(opt.Conversion)}, visits
}

// checkOptions panics on options that no reader of rules lets through.
func checkOptions(opt Options) {
	switch {
	case !slices.Contains([]string{"adjust", "average", "certainty", "fail"}, opt.Lonely):
		panic(fmt.Sprintf("survey: unknown lonely %q", opt.Lonely))
	case !slices.Contains(Conversions(), opt.Conversion):
		panic(fmt.Sprintf("survey: unknown conversion %q", opt.Conversion))
	case opt.DF != "units" && opt.DF != "satterthwaite":
		panic(fmt.Sprintf("survey: unknown degrees of freedom %q", opt.DF))
	case opt.WindowDays < 0:
		panic("survey: negative survey window")
	case !slices.Contains([]string{"t", "log-t", "bootstrap"}, opt.Interval):
		panic(fmt.Sprintf("survey: unknown interval %q", opt.Interval))
	case opt.Interval == "bootstrap" && opt.BootstrapDraws < leastReplicates:
		panic("survey: too few bootstrap draws")
	case !(opt.Confidence > 0 && opt.Confidence < 1):
		panic("survey: confidence level outside (0, 1)")
	}
}

// estimator is what all surveys share.
type estimator struct {
	f            *Folder
	opt          Options
	sought       []string // where a survey does not say
	calibrations *calibrations
	lengths      *lengths
}

// NamedSpecies are the species named in quadrats.csv or sought by a survey, sorted.
func (f *Folder) NamedSpecies() []string {
	seen := make([]bool, len(f.Names))
	for _, id := range f.Quadrats.Species {
		seen[id] = true
	}
	var out []string
	for id, ok := range seen {
		if ok && id > 0 {
			out = append(out, f.Names[id])
		}
	}
	for _, d := range f.Surveys {
		out = append(out, d.Sought...)
	}
	slices.Sort(out)
	return slices.Compact(out)
}

// stocks estimates all species of a survey.
func (e *estimator) stocks(s *fieldwork) []Stock {
	sought := e.sought
	if s.declared != nil && s.declared.Sought != nil {
		sought = s.declared.Sought
	}
	names := slices.Clone(sought)
	for id := range s.species {
		names = append(names, e.f.Names[id])
	}
	slices.Sort(names)
	lengths := e.lengths.of(e.f, s)
	var out []Stock
	for _, name := range slices.Compact(names) {
		st := e.stock(s, name, lengths)
		if !slices.Contains(sought, name) {
			st.Warnings = append(st.Warnings, "not among the species sought: where it was not written down it need not be absent")
		}
		out = append(out, st)
	}
	return out
}

// stock estimates one species of a survey.
func (e *estimator) stock(s *fieldwork, name string, lengths map[uint32][]frond) Stock {
	id := ^uint32(0)
	if i, ok := slices.BinarySearch(e.f.Names, name); ok {
		id = uint32(i)
	}
	sp := e.species(name)
	r := s.readings(&e.f.Quadrats, s.species[id])
	st := s.blank(name)
	st.QuadratsWith = r.count(r.holds)
	st.Occupied = s.occupied(r)
	st.Weighed = r.count(r.weighed)
	var w weight
	if st.QuadratsWith == 0 {
		w = e.noneFound(&st, s, sp)
	} else {
		e.cover(&st, s, r)
		w = s.weigh(r, sp, name, e.calibrations)
		e.kg(&st, s, w)
		e.bootstrapped(&st, s, r, w)
	}
	s.describe(&st, r, w)
	e.narrow(&st, s)
	e.exploitable(&st, s, r, w, sp, lengths[id])
	s.conclude(&st, w, e.opt.Lonely)
	return st
}

// species is the row of the species table, nil for none.
func (e *estimator) species(name string) *Species {
	i := slices.IndexFunc(e.f.Species, func(s Species) bool { return s.Name == name })
	if i < 0 {
		return nil
	}
	return &e.f.Species[i]
}
