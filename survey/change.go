package survey

import (
	"cmp"
	"fmt"
	"math"
	"slices"
)

// Change is how the stock of one species on one bed differs between two surveys. Numbers that cannot be had are not OK
// (or NaN) and Reason says why; Next says what to measure next time.
type Change struct {
	Bed, Species     string
	From, To         string // labels of the earlier and the later survey
	FromDate, ToDate Day
	Years            float64 // between the mean dates

	Area         float64 // m2 that the change is of: the strata visited both times, at the smaller of the two areas
	FromKg, ToKg float64 // kg wet on Area; NaN where not estimable

	Kg       Estimate // ToKg - FromKg
	Cover    Estimate // percentage points
	Relative Estimate // ToKg/FromKg - 1, interval on the log
	Cut      Num      // kg cut from the day of the earlier survey until the day before the later; not OK: not known
	Net      Estimate // Kg + Cut: the change as it were had nothing been cut, regrowth of the cut apart

	Paired       int     // sampling units matched by their labels; 0 where the surveys are independent
	Correlation  float64 // of the sampling errors of FromKg and ToKg; 0 where independent
	ReasonNoNet  string  // why Net is not OK
	Status       Status
	Reason, Next string
	Warnings     []string
}

// Verdict says whether the interval of Kg tells a direction: "more", "less" or "cannot tell".
func (c Change) Verdict() string { return direction(c.Kg, "more", "less") }

// direction names the side of 0 on which the whole interval lies.
func direction(e Estimate, above, below string) string {
	switch {
	case e.OK && e.Lo > 0:
		return above
	case e.OK && e.Hi < 0:
		return below
	}
	return "cannot tell"
}

// SurveyPair names two surveys of a bed by their labels.
type SurveyPair struct{ Bed, From, To string }

// Changes estimates the change of every species on every bed between each survey and the one before that looked for it,
// or, where pairs are asked for, between these. The result is sorted by bed, species and date of the later survey.
//
// With B1 and B2 the totals over the strata visited both times, each at the smaller of its two areas, the change is
//
//	D = B2 - B1,   v(D) = v1 + v2 - 2 c + Σ_e (a2_e - a1_e)² + v_A
//
// v1 and v2 are the variances between sampling units (with that of a conversion made in the survey itself); a1_e and
// a2_e the errors in kg that an error e shared between stocks makes in each: where both lean on the same calibration it
// counts with its CV times the difference, where they lean on different ones with the sum of squares. v_A is the same
// for the areas of the strata, Goodman's formula with the difference of the means in place of the mean. Intervals are
// t intervals with the degrees of freedom of Welch and Satterthwaite.
//
// The covariance c is that of the units' parts z of the two totals,
//
//	c = Σ_g n_g/(n_g - 1) Σ_u (z1_u - zbar1_g)(z2_u - zbar2_g)
//
// over groups g of the n_g units visited at either survey, a unit not visited counting with 0. It is taken only where
// the protocols of both surveys say "permanent"; units are then the same where transect (or stratum and quadrat) have the
// same label and a stratum in common. Where every unit was visited twice this is the variance of paired differences with
// as many degrees of freedom as pairs less strata. Equal labels without "permanent" are never paired.
//
// The relative change B2/B1 - 1 has its interval on the log, with the variance of log B2 - log B1 by the delta method;
// shared errors of equal CV cancel there. With fewer than 3 degrees of freedom the interval is t, not below -1.
//
// A survey that found none has no standard error: where the other found the species, the interval is built from that
// of the one and the upper bound 1 - (α/2)^(1/n) of the share of n sampling units that would hold it, times the density
// that the units holding it had (Zou and Donner's method of variance estimates recovery). SE and DF are NaN.
//
// Stocks are those of [Stocks] for the same folder and options; of other surveys it panics, as on options that Stocks
// refuses.
//
// References:
//   - Cochran, W. G.: Sampling Techniques, 3rd ed. Wiley (1977), sections 12.10-12.11
//   - Särndal, C.-E., Swensson, B. and Wretman, J.: Model Assisted Survey Sampling. Springer (1992), section 9.9
//   - Welch, B. L.: The generalization of "Student's" problem. Biometrika 34 (1947) 28-35
//   - Zou, G. Y. and Donner, A.: Construction of confidence limits about effect measures. Statistics in Medicine 27
//     (2008) 1693-1702
func Changes(f *Folder, stocks []Stock, opt Options, asked ...SurveyPair) []Change {
	checkOptions(opt)
	c := newComparer(f, opt)
	var out []Change
	for _, series := range bySeries(stocks) {
		for _, p := range pairsOf(series, asked) {
			out = append(out, c.change(p[0], p[1]))
		}
	}
	return out
}

// bySeries splits stocks by bed and species, each by date; in the order of beds and species.
func bySeries(stocks []Stock) [][]*Stock {
	all := make([]*Stock, len(stocks))
	for i := range stocks {
		all[i] = &stocks[i]
	}
	slices.SortStableFunc(all, func(a, b *Stock) int {
		return cmp.Or(cmp.Compare(a.Bed, b.Bed), cmp.Compare(a.Species, b.Species), cmp.Compare(a.Date, b.Date),
			cmp.Compare(a.Survey, b.Survey))
	})
	var out [][]*Stock
	for len(all) > 0 {
		n := 1
		for n < len(all) && all[n].Bed == all[0].Bed && all[n].Species == all[0].Species {
			n++
		}
		out = append(out, all[:n:n])
		all = all[n:]
	}
	return out
}

// pairsOf are the stocks of a series to compare: neighbours, or the pairs asked for.
func pairsOf(series []*Stock, asked []SurveyPair) [][2]*Stock {
	var out [][2]*Stock
	if len(asked) == 0 {
		for i := 1; i < len(series); i++ {
			out = append(out, [2]*Stock{series[i-1], series[i]})
		}
		return out
	}
	find := func(label string) *Stock {
		if i := slices.IndexFunc(series, func(s *Stock) bool { return s.Survey == label }); i >= 0 {
			return series[i]
		}
		return nil
	}
	for _, p := range asked {
		a, b := find(p.From), find(p.To)
		if p.Bed == series[0].Bed && a != nil && b != nil {
			out = append(out, [2]*Stock{a, b})
		}
	}
	return out
}

// comparer lays out the surveys that are compared.
type comparer struct {
	f            *Folder
	opt          Options
	surveys      map[[2]string]*fieldwork // by bed and label
	calibrations *calibrations
	landings     UnallocatedIndex
	grounds      map[[3]string]*ground // by bed and the two labels
	sides        map[sideKey]side      // most surveys are the later of one pair and the earlier of the next
}

type sideKey struct {
	on      *fieldwork
	species string
}

func newComparer(f *Folder, opt Options) *comparer {
	c := &comparer{f: f, opt: opt, surveys: map[[2]string]*fieldwork{}, grounds: map[[3]string]*ground{},
		sides: map[sideKey]side{}, landings: NewUnallocatedIndex(f)}
	e, visits := layOut(f, opt)
	for _, s := range visits {
		if s.design != nil {
			c.surveys[[2]string{s.bedID, s.label}] = s
		}
	}
	c.calibrations = e.calibrations
	return c
}

// survey is the survey that a stock is of.
func (c *comparer) survey(st *Stock) *fieldwork {
	s := c.surveys[[2]string{st.Bed, st.Survey}]
	if s == nil {
		panic(fmt.Sprintf("survey: stock of an unknown survey %s of %s", st.Survey, st.Bed))
	}
	return s
}

// ground is the common ground of two surveys, made once for all species.
func (c *comparer) ground(a, b *Stock) *ground {
	key := [3]string{a.Bed, a.Survey, b.Survey}
	g := c.grounds[key]
	if g == nil {
		g = newGround(c.survey(a), c.survey(b))
		c.grounds[key] = g
	}
	return g
}

// change compares two stocks of a bed and species.
func (c *comparer) change(a, b *Stock) Change {
	nan := math.NaN()
	out := Change{Bed: a.Bed, Species: a.Species, From: a.Survey, To: b.Survey, FromDate: a.Date, ToDate: b.Date,
		Years: float64(b.Date-a.Date) / DaysPerYear, FromKg: nan, ToKg: nan,
		Kg: missing(), Cover: missing(), Relative: missing(), Net: missing(), Status: OK}
	g := c.ground(a, b)
	out.Area = g.area
	if g.area == 0 {
		out.Status, out.Reason = NotEstimable, "no stratum was visited both times"
		out.Next = "visit the same strata as before"
		return out
	}
	x := comparison{g: g, opt: c.opt, a: c.side(g.a, a), b: c.side(g.b, b)}
	x.cover(&out)
	x.kg(&out)
	c.net(&out, g)
	c.remarks(&out, x, a, b)
	return out
}
