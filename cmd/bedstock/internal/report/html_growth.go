package report

import (
	"fmt"
	"math"

	"bedstock/cmd/bedstock/internal/table"
	"bedstock/model"
	"bedstock/model/growth"
)

// growthPart is what the scientist reads of the growth model.
type growthPart struct {
	Stands   []standRow
	Plots    []*pictured // the regrowth plots with their fits
	Unasked  int         // stands that the growth model could not be asked about
	Species  []poolRow
	Foretold string // how many surveys are as expected
	Odd      []oddRow
}

// standRow is the evidence of one stand: each source by itself, and the blend.
type standRow struct {
	Bed, Species                      string
	TableR, PlotsR, SurveysR, R       string
	TableK, SurveysK, K               string
	Informed, Odds, RHat, ESS, Status string
}

// poolRow is what the beds of a species say together.
type poolRow struct{ Species, Reach, Beds, R, Phi, K, Omega, Sigma, RHat, ESS, Status string }

// oddRow is a survey that the growth model does not expect.
type oddRow struct{ Bed, Species, Date, Found, Expected, Tail string }

func growthOf(a *model.Assessment) growthPart {
	var p growthPart
	evidence := map[model.Pair]map[model.Source]model.EvidenceRow{}
	for _, r := range a.EvidenceTable() {
		key := model.Pair{Bed: r.Bed, Species: r.Species}
		if evidence[key] == nil {
			evidence[key] = map[model.Source]model.EvidenceRow{}
		}
		evidence[key][r.Source] = r
	}
	checked, odd := 0, 0
	for i, c := range a.GrowthChecks() {
		u := &a.Units[i]
		if len(evidence[u.Pair]) < 2 {
			p.Unasked++
			continue
		}
		checked, odd = checked+c.Predictive.Checked, odd+c.Predictive.Unexpected
		p.Stands = append(p.Stands, standRowOf(u, evidence[u.Pair], c))
		p.Odd = append(p.Odd, oddRows(u, c)...)
	}
	for i := range a.Species {
		p.Species = append(p.Species, poolRowOf(&a.Species[i]))
	}
	if checked > 0 {
		p.Foretold = fmt.Sprintf("Of %s that could be foretold from those before, %d lie where fewer than 1 in 100 are expected; by chance about %s would.",
			plural(checked, "survey", "surveys"), odd, number(float64(checked)/100, 1))
	}
	return p
}

func standRowOf(u *model.Unit, by map[model.Source]model.EvidenceRow, c model.GrowthCheck) standRow {
	plots, surveys, all := by[model.FromPlots], by[model.FromSurveys], by[model.FromAll]
	r := standRow{Bed: bedName(u), Species: u.Species, TableR: interval(by[model.FromTable].R), TableK: interval(by[model.FromTable].K),
		PlotsR: said(plots.R, plots), SurveysR: said(surveys.R, surveys), SurveysK: said(surveys.K, surveys),
		R: "not estimable", K: "not estimable", Informed: none, Odds: none, RHat: none, ESS: none, Status: u.Growth.Status}
	if all.Status == "ok" {
		r.R, r.K = interval(all.R), interval(all.K)
	}
	if u.Growth.ESS > 0 {
		r.RHat, r.ESS = table.Number(u.Growth.RHat, 4).String(), table.Number(u.Growth.ESS, 3).String()
	}
	if isNumber(u.Growth.LogRShrink) {
		r.Informed = number(u.Growth.LogRShrink, 2)
	}
	if isNumber(c.Predictive.P) {
		r.Odds = number(c.Predictive.P, 2)
	}
	if u.Growth.Reason != "" {
		r.Status += ": " + u.Growth.Reason
	}
	return r
}

// said is what a source says of r or K, with how much stands behind it.
func said(i growth.Interval, row model.EvidenceRow) string {
	n := fmt.Sprintf("; n %d", row.N)
	switch {
	case row.N == 0:
		return "none"
	case math.IsNaN(i.Median):
		return "nothing" + n
	}
	return interval(i) + n
}

func poolRowOf(s *model.SpeciesGrowth) poolRow {
	p := s.Pool
	r := poolRow{Species: s.Species, Reach: s.Reach, Beds: fmt.Sprint(len(s.Beds)), R: known(p.R), Phi: known(p.Phi), K: known(p.K), Omega: known(p.Omega),
		Sigma: known(p.Sigma), RHat: none, ESS: none, Status: p.Status}
	if p.ESS > 0 {
		r.RHat, r.ESS = table.Number(p.RHat, 4).String(), table.Number(p.ESS, 3).String()
	}
	if p.Reason != "" {
		r.Status += ": " + p.Reason
	}
	return r
}

// known is an interval, or that there is none.
func known(i growth.Interval) string {
	if !(i.Median > 0) {
		return none
	}
	return interval(i)
}

func oddRows(u *model.Unit, c model.GrowthCheck) (out []oddRow) {
	for n, s := range c.Predictive.Surveys {
		if !s.Unexpected {
			continue
		}
		found := "none"
		if s.Kg > 0 {
			found = kilos(s.Kg) + " kg"
		}
		out = append(out, oddRow{Bed: bedName(u), Species: u.Species, Date: u.SurveyedOn(n).String(), Found: found,
			Expected: interval(s.Expected) + " kg", Tail: percent(s.Tail)})
	}
	return out
}
