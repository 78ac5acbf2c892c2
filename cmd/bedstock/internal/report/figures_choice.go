package report

import (
	"fmt"
	"math"
	"slices"

	"bedstock/model"
	"bedstock/model/offtake"
	"bedstock/plots"
	"bedstock/survey"
)

// yieldSteps are the shares of the exploitable stock for which yield and risk are drawn: 0, 2.5, ..., 60 %.
const (
	yieldSteps   = 24
	yieldPerUnit = 40
)

// choicesDrawn are what comes of cutting a share of a stand with an advice: at the shares that are drawn, then at those
// besides that the page tells of.
func choicesDrawn(a *model.Assessment, u *model.Unit) []offtake.Choice {
	var shares []float64
	for i := range yieldSteps + 1 {
		shares = append(shares, float64(i)/yieldPerUnit)
	}
	for _, s := range model.Shares(u.AdvisedShare()) {
		if !slices.Contains(shares, s) {
			shares = append(shares, s)
		}
	}
	f := futuresOf(a, u)
	defer f.Free()
	return f.Choices(shares)
}

// choicesAt are those of some shares among the choices; nil where one is not among them.
func choicesAt(shares []float64, all []offtake.Choice) []offtake.Choice {
	var out []offtake.Choice
	for _, s := range shares {
		i := slices.IndexFunc(all, func(c offtake.Choice) bool { return c.Fraction == s })
		if i < 0 {
			return nil
		}
		out = append(out, all[i])
	}
	return out
}

// yieldInput draws the first choices of [choicesDrawn].
func yieldInput(a *model.Assessment, u *model.Unit, choices []offtake.Choice, opt Options) plots.YieldInput {
	r, y := a.Rules.OfftakeOf(u.Pair), u.Basis.Year
	in := plots.YieldInput{Bed: bedName(u), Species: u.Species, Years: r.Horizon, RiskRule: r.Risk, Advised: math.NaN(),
		Third: 1. / 3, Persistence: persistence(u.Basis.Stand, r), Invented: opt.Invented}
	if u.Status == model.Assessed && y.AdvisedKg >= 0 && y.ExploitableQ > gram {
		in.Advised = math.Min(y.AdvisedKg/y.ExploitableQ, 1)
	} else if u.Reason != "" {
		in.Note = "No share is advised: " + plainReason(u.Reason)
	}
	for _, c := range choices[:yieldSteps+1] {
		in.Fraction, in.Yield, in.Risk = append(in.Fraction, c.Fraction), append(in.Yield, c.YieldPerYear), append(in.Risk, c.Risk)
	}
	if u.Basis.Stand.Annual {
		in.Note, in.Persistence = "an annual comes back from spores, not from what is left standing", math.NaN()
	}
	return in
}

// persistence is the share of the exploitable stock beyond which a stand that is cut every rest_years + 1 years dies out,
// median over the draws; NaN where nothing of it can be cut, and where even cutting all of that does not end it.
func persistence(s offtake.Stand, r offtake.Rules) float64 {
	period := float64(r.RestYears + 1)
	storms := offtake.StormFactor(r.StormChance, r.StormSurvival, period)
	limits := make([]float64, len(s.R))
	for i := range s.R {
		limits[i] = offtake.Pulse(s.R[i], s.K[i], period, storms).Limit
	}
	if v := math.Max(offtake.Quantile(limits, 0.5), 0) / s.Exploitable; v <= 1 {
		return v
	}
	return math.NaN()
}

// limitInput sets the limits of all stands beside each other. Those that are not assessed are shown up to the number of
// rows that the figure holds.
func limitInput(a *model.Assessment, opt Options) plots.LimitInput {
	in := plots.LimitInput{Invented: opt.Invented}
	nan := math.NaN()
	for i := range a.Units {
		u := &a.Units[i]
		row := plots.LimitRow{Label: bedName(u) + ", " + u.Species, Stock: nan, Cap: nan, Replacement: nan, Risk: nan, Advised: nan,
			LowStock: nan}
		switch {
		case u.Basis == nil || u.Status != model.Assessed:
			row.Reason = plainReason(u.Reason)
			if b := stateOf(a, u).badge(); u.Status != model.NotAssessed {
				row.Reason = b.Words + ": " + row.Reason
			}
		default:
			y := u.Basis.Year
			row.Stock, row.Cap, row.Replacement, row.Risk = offtake.Quantile(u.Basis.Stand.B, 0.5), y.CapKg, y.ReplacementKg, y.RiskKg
			row.Advised, row.LowStock, row.LimitedBy = y.AdvisedKg, y.LowStock, string(y.LimitedBy)
		}
		in.Rows = append(in.Rows, row)
	}
	if len(in.Rows) > mostRows {
		slices.SortStableFunc(in.Rows, func(x, y plots.LimitRow) int {
			return ifElse(x.Reason == "", 0, 1) - ifElse(y.Reason == "", 0, 1)
		})
		in.Rows = in.Rows[:mostRows]
	}
	return in
}

// lengthInput is how long the fronds of a stand were at its last survey with lengths; false: none was measured.
func lengthInput(a *model.Assessment, u *model.Unit, all []survey.LengthSummary, opt Options) (plots.LengthInput, bool) {
	var last *survey.LengthSummary
	for i := range all {
		if l := &all[i]; l.Bed == u.Bed && l.Species == u.Species && l.Source != "" && len(l.Bins) > 0 {
			last = l
		}
	}
	if last == nil {
		return plots.LengthInput{}, false
	}
	nan := math.NaN()
	in := plots.LengthInput{Bed: bedName(u), Species: u.Species, Survey: last.Survey, MinLength: nan, Leave: nan, Recruit: nan,
		Exploitable: nan, Lo: nan, Hi: nan, Recruits: nan, Level: a.Rules.Survey.Confidence, Count: last.Fronds,
		Quadrats: last.Quadrats, Means: last.Means, Reason: last.Reason, Invented: opt.Invented}
	if r := u.Row; r != nil {
		in.Measured, in.MinLength, in.Leave, in.Recruit = r.Measured, r.MinLength.Or(nan), r.Leave.Or(nan), r.RecruitLen.Or(nan)
	}
	if e := last.Exploitable; e.OK {
		in.Exploitable, in.Lo, in.Hi = e.Value, e.Lo, e.Hi
	}
	if last.Recruits.OK {
		in.Recruits = last.Recruits.Value
	}
	for _, b := range last.Bins {
		in.Bins = append(in.Bins, plots.LengthBin{From: b.From, To: b.To, Fronds: b.Fronds, Weight: b.Weight})
	}
	return in, true
}

// mapInput is where the beds are and what holds for each.
func mapInput(a *model.Assessment, opt Options) plots.MapInput {
	in := plots.MapInput{On: a.Folder.AsOf.String(), Invented: opt.Invented}
	units := unitsByBed(a)
	for _, b := range a.Folder.Beds {
		where := place(a, b)
		bed := plots.MapBed{Name: ifElse(where.Name != "", where.Name, b.ID), Lat: where.Lat.Or(math.NaN()), Lon: where.Lon.Or(math.NaN()),
			M2: where.Area}
		if o, ok := a.Folder.Outlines[b.ID]; ok {
			for _, p := range o.Polygons {
				for _, r := range p {
					bed.Rings = append(bed.Rings, ringOf(r))
				}
			}
			if math.IsNaN(bed.Lat + bed.Lon) {
				bed.Lon, bed.Lat = o.Centroid.Lon, o.Centroid.Lat
			}
		}
		bed.State, bed.Words = bedState(a, units[b.ID])
		in.Beds = append(in.Beds, bed)
	}
	return in
}

func ringOf(r survey.Ring) [][2]float64 {
	out := make([][2]float64, len(r))
	for i, p := range r {
		out[i] = [2]float64{p.Lon, p.Lat}
	}
	return out
}

// bedState sums up the stands of a bed: closed or resting where all are, else what needs action most.
func bedState(a *model.Assessment, units []int) (state, words string) {
	counts := map[string]int{}
	n, open := len(units), 0
	for _, i := range units {
		u := &a.Units[i]
		switch s := stateOf(a, u); s {
		case stateAbove, stateOver, stateGranted, stateLow:
			counts["needs action"]++
		default:
			counts[s.badge().Words]++
		}
		if u.Status == model.Assessed && u.Basis != nil && u.Basis.Year.AdvisedKg > 0 {
			open++
		}
	}
	words = fmt.Sprintf("%d of %d species may be cut", open, n)
	for _, s := range []string{"needs action", "may be cut", "resting", "closed"} {
		if k := counts[s]; k > 0 && (s == "needs action" || s == "may be cut" || k == n) {
			return s, words
		}
	}
	if n == 0 {
		words = "nothing surveyed"
	}
	return "too little known", words
}
