package report

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/stat/distuv"

	"bedstock/model"
	"bedstock/model/growth"
	"bedstock/plots"
)

// curveSteps is the number of points of a fitted curve.
const curveSteps = 121

// regrowthInput is a regrowth plot with its fit.
func regrowthInput(p growth.PlotFit, opt Options) plots.RegrowthInput {
	nan := math.NaN()
	in := plots.RegrowthInput{Plot: p.Plot, Species: p.Species, K: p.K, KLo: nan, KHi: nan, R: p.R, RLo: p.RLo, RHi: p.RHi, Level: p.Level,
		Status: p.Status, Invented: opt.Invented}
	if p.Reason != "" {
		in.Status += ": " + p.Reason
	}
	if p.Status == growth.PlotNot {
		return in
	}
	if p.Status == growth.PlotOK {
		in.KLo, in.KHi = p.KLo, p.KHi
	}
	start := p.Times[0]
	for i, t := range p.Times {
		in.T = append(in.T, t-start)
		in.Observed, in.Fitted = append(in.Observed, p.Observed[i]), append(in.Fitted, p.Fitted[i])
		in.Residuals = append(in.Residuals, p.Residuals[i])
	}
	t, b := p.Curve(curveSteps)
	for i := range t {
		in.CurveT, in.Curve = append(in.CurveT, t[i]-start), append(in.Curve, b[i])
	}
	if prof, ok := p.Profile(); ok {
		for i, v := range prof.Values {
			in.ProfileR, in.ProfileT = append(in.ProfileR, math.Exp(v)), append(in.ProfileT, prof.T[i])
		}
		in.TCut = distuv.StudentsT{Sigma: 1, Nu: float64(p.DF)}.Quantile((1 + p.Level) / 2)
	}
	return in
}

// evidenceInput sets side by side what the sources say of a stand; false where the growth model could not be asked.
func evidenceInput(a *model.Assessment, u *model.Unit, opt Options) (plots.EvidenceInput, bool) {
	in := plots.EvidenceInput{Bed: bedName(u), Species: u.Species, Level: a.Rules.Survey.Confidence, Invented: opt.Invented}
	for _, r := range a.EvidenceOf(u.Pair) {
		row := plots.EvidenceRow{Source: string(r.Source), R: r.R.Median, RLo: r.R.Lo, RHi: r.R.Hi, K: r.K.Median, KLo: r.K.Lo, KHi: r.K.Hi,
			Note: r.Note, All: r.Source == model.FromAll}
		if r.Source == model.FromPlots || r.Source == model.FromSurveys {
			row.Measurements = r.N
		}
		in.Rows = append(in.Rows, row)
	}
	return in, len(in.Rows) > 1
}

// plotNamed is the regrowth plot of a name and, where it is not blank, a species; false: there is none, or several.
func plotNamed(a *model.Assessment, name, species string) (growth.PlotFit, bool) {
	var found []growth.PlotFit
	for _, p := range a.Plots {
		if p.Plot == name && (species == "" || p.Species == species) {
			found = append(found, p)
		}
	}
	if len(found) != 1 {
		return growth.PlotFit{}, false
	}
	return found[0], true
}

// PlotNames are the names of the regrowth plots.
func PlotNames(a *model.Assessment) []string {
	var out []string
	for _, p := range a.Plots {
		if !slices.Contains(out, p.Plot) {
			out = append(out, p.Plot)
		}
	}
	return out
}
