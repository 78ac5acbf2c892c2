package survey

import (
	"fmt"
	"math"
	"slices"
)

// Trend is by how much the stock of a species on a bed changes a year over all its surveys. Where it cannot be had
// Status and Reason say why, and Next what to measure.
type Trend struct {
	Bed, Species     string
	FromDate, ToDate Day      // of the first and the last survey used
	Surveys          []string // labels of those used, by date

	PerYear Estimate // part of the stock a year: -0.1 is 10 % less every year
	Slope   Estimate // of log stock, a year

	Method  string  // "log-linear", "log-linear, serial" (serial correlation fitted), "quasi-Poisson" (a survey found none)
	Process float64 // standard deviation of log stock about the line beyond what the surveys' errors explain; NaN not fitted
	Serial  float64 // its correlation between times a year apart; NaN not fitted
	// NeweyWestSE is the standard error of the slope robust to correlation between neighbouring surveys, for comparison;
	// it is too small in short series. NaN where not fitted.
	NeweyWestSE float64
	PerArea     bool // of kg per m2: the surveyed area changed

	Status       Status
	Reason, Next string
	Warnings     []string
}

// Verdict says whether the interval tells a direction: "rising", "falling" or "cannot tell".
func (t Trend) Verdict() string { return direction(t.PerYear, "rising", "falling") }

const (
	leastTrend  = 3 // surveys that a trend needs, and that must have found the species
	leastSerial = 8 // surveys from which serial correlation can be fitted
)

// Trends fits a trend to every bed and species of the stocks, sorted by bed and species.
//
//	log B_i = a + b t_i + u_i + e_i
//
// e_i is the error of survey i, normal with variance log(1 + cv²) of its own CV; errors shared between surveys enter as
// such, so that one calibration used for all does not blur the trend and one for each year does. u_i is what the stock
// itself does about the line (process), with variance τ² by restricted maximum likelihood. a and b are by generalised
// least squares, with weights 1/(var e + τ²) where nothing is shared. PerYear is exp(b) - 1 with the interval of b.
//
// From 8 surveys on, u has the correlation φ^|t_i - t_j|, φ in [0, 0.95], fitted with τ². Fewer cannot tell φ; u is
// then taken as independent, one degree of freedom is given up for it (n - 3, at least 1, in place of n - 2) and a
// warning says so.
// The variance of b is scaled by max(1, q), q the weighted residual mean square (Knapp and Hartung), and the interval
// is t.
//
// A survey that found none has no logarithm. The line is then fitted to the mean, log E(B) = a + b t, by quasi-Poisson
// regression with all surveys alike, zeros as they are; with fewer than three surveys that found the species it is not
// estimable, as it is with fewer than three surveys.
//
// Surveys of a part of the bed, and those without an estimate, are left out with a warning. Where the surveyed area
// changed by more than 1 % the trend is that of kg per m2.
//
// References:
//   - Viechtbauer, W.: Bias and efficiency of meta-analytic variance estimators in the random-effects model. Journal of
//     Educational and Behavioral Statistics 30 (2005) 261-293
//   - Knapp, G. and Hartung, J.: Improved tests for a random effects meta-regression with a single covariate. Statistics
//     in Medicine 22 (2003) 2693-2710
//   - Pinheiro, J. C. and Bates, D. M.: Mixed-Effects Models in S and S-PLUS. Springer (2000), section 5.3
//   - McCullagh, P. and Nelder, J. A.: Generalized Linear Models, 2nd ed. Chapman and Hall (1989), chapter 9
func Trends(stocks []Stock, opt Options) []Trend {
	checkOptions(opt)
	var out []Trend
	for _, series := range bySeries(stocks) {
		out = append(out, trend(series, opt))
	}
	return out
}

// trend fits one series of stocks, sorted by date.
func trend(series []*Stock, opt Options) Trend {
	nan := math.NaN()
	t := Trend{Bed: series[0].Bed, Species: series[0].Species, PerYear: missing(), Slope: missing(), Process: nan, Serial: nan,
		NeweyWestSE: nan, Status: OK}
	used := t.choose(series)
	if reason := tooShort(used); reason != "" {
		t.Status, t.Reason = NotEstimable, reason
		t.Next = "survey the whole bed again, at the same season"
		return t
	}
	t.FromDate, t.ToDate = used[0].Date, used[len(used)-1].Date
	for _, s := range used {
		t.Surveys = append(t.Surveys, s.Survey)
	}
	t.PerArea = areaChanged(used)
	p := newTrendPoints(used, t.PerArea)
	switch {
	case p.zeros > 0:
		t.throughZeros(p)
	default:
		t.onLog(p)
	}
	t.finish(opt.Confidence)
	t.remark(used)
	return t
}

// choose are the stocks that can be used; it warns of the others.
func (t *Trend) choose(series []*Stock) []*Stock {
	var used []*Stock
	for _, s := range series {
		switch {
		case !s.Kg.OK:
			t.Warnings = append(t.Warnings, fmt.Sprintf("survey %s left out: %s", s.Survey, s.Reason))
		case s.Status == SurveyedPart:
			t.Warnings = append(t.Warnings, fmt.Sprintf("survey %s left out: %s", s.Survey, s.Reason))
		default:
			used = append(used, s)
		}
	}
	return used
}

// tooShort is why a series has no trend, empty where it has.
func tooShort(used []*Stock) string {
	found := 0
	for _, s := range used {
		if s.Kg.Value > 0 {
			found++
		}
	}
	switch {
	case len(used) < leastTrend:
		return fmt.Sprintf("only %s of the whole bed with an estimate, at least %d needed", counted(len(used), "survey"), leastTrend)
	case found < leastTrend:
		return fmt.Sprintf("found in only %s, at least %d needed", counted(found, "survey"), leastTrend)
	case used[0].Date == used[len(used)-1].Date:
		return "all surveys on one date"
	}
	return ""
}

// areaChanged says whether the surveyed areas differ by more than 1 %.
func areaChanged(used []*Stock) bool {
	lo, hi := math.Inf(1), 0.0
	for _, s := range used {
		lo, hi = min(lo, s.Area), max(hi, s.Area)
	}
	return hi > 1.01*lo
}

// finish fills in the interval of the slope and the change a year.
func (t *Trend) finish(level float64) {
	t.Slope = plainInterval(t.Slope, level)
	b := t.Slope
	t.PerYear = Estimate{OK: true, Value: math.Expm1(b.Value), SE: math.Exp(b.Value) * b.SE, DF: b.DF,
		Lo: math.Expm1(b.Lo), Hi: math.Expm1(b.Hi), Level: level, Kind: b.Kind}
	if b.Kind == "t" {
		t.PerYear.Kind = "log-t"
	}
}

// remark adds what makes the trend doubtful.
func (t *Trend) remark(used []*Stock) {
	add := func(format string, args ...any) { t.Warnings = append(t.Warnings, fmt.Sprintf(format, args...)) }
	if n := len(used); n < leastSerial {
		add("%d surveys cannot tell whether good and bad years come in runs: at least %d needed; interval widened by a degree of freedom",
			n, leastSerial)
	}
	if t.PerArea {
		add("the surveyed area changed: trend of kg per m2")
	}
	if years := float64(t.ToDate-t.FromDate) / DaysPerYear; years < 2 {
		add("surveys span only %.1f years: no trend beyond them", years)
	}
	most := 0
	for _, s := range used {
		most = max(most, daysApart(used[0].Date, s.Date))
	}
	if most > seasonShift {
		add("surveys up to %d days apart in the year: season and trend can mix", most)
	}
	how := func(s *Stock) string { return weight{conversion: s.Conversion, domain: s.Domain}.means() }
	if slices.ContainsFunc(used, func(s *Stock) bool { return s.Kg.Value > 0 && how(s) != how(firstFound(used)) }) {
		add("weight not had by the same means in all surveys: part of the trend may be the conversion's")
	}
}

// firstFound is the first survey that found the species.
func firstFound(used []*Stock) *Stock {
	return used[slices.IndexFunc(used, func(s *Stock) bool { return s.Kg.Value > 0 })]
}
