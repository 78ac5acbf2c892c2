package main

import (
	"fmt"
	"math"

	"bedstock/cmd/bedstock/internal/table"
	"bedstock/survey"
)

// conversion is how what was read became weight.
func (e explainer) conversion() {
	s, c := e.x.Stock, e.x.Conversion
	weighed := fmt.Sprintf("quadrats that hold it: %d, of these weighed: %d", s.QuadratsWith, s.Weighed)
	switch {
	case s.QuadratsWith == 0:
		e.line("  none found in %s: nothing to convert", plural(s.Quadrats, "quadrat"))
	case math.IsNaN(c.Converted):
		e.line("  %s; there is nothing to convert the others by", weighed)
	case c.Model == "direct":
		e.line("  %s, so all; y is biomass_g / weighed_m2 (else quadrat_m2) / 1000, nothing is converted", weighed)
	case c.Model == "given":
		e.given(weighed)
	case c.Model == "allometry" && !e.ownWeighed():
		e.fronds(weighed)
	case e.ownWeighed():
		e.own(weighed)
	default:
		e.wider(weighed)
	}
	e.tried()
}

// ownWeighed says whether the survey's own weighed quadrats made the conversion.
func (e explainer) ownWeighed() bool {
	for _, p := range e.x.Parts {
		if p.Kind == survey.PartWeighing {
			return true
		}
	}
	c := e.x.Conversion
	return c.Domain == "survey" && c.Units > 0
}

// formula is a model in letters with its parameters.
func (e explainer) formula() {
	c := e.x.Conversion
	e.line("  %s", map[string]string{
		"ratio":        "y = k x, x the cover in percent",
		"ratio-length": "y = k x L, x the cover in percent, L the mean length in cm",
		"linear":       "y = a + b x, x the cover in percent, where there is cover",
		"power":        "y = a x^b smearing, x the cover in percent",
		"allometry":    "y = sum over the measured fronds of a L^b, L the length",
		"given":        "y = a x^b, x the cover in percent",
	}[c.Model])
	for _, p := range c.Params {
		if p.Name == "baskerville" {
			continue // the other correction of the back-transform, which is not used
		}
		e.line("  %s = %s", p.Name, eight(p.Value))
	}
}

// own is a conversion by the survey's own weighed quadrats.
func (e explainer) own(weighed string) {
	c := e.x.Conversion
	e.line("  %s, enough for a conversion of this survey's own: %s, %s with cover in %s", weighed, c.Model, plural(c.Pairs, "weighed quadrat"), plural(c.Units, e.x.Unit))
	e.formula()
	if c.Model == "ratio" {
		e.line("  k is sum(w y) / sum(w x) over the weighed ones; w = A m2 / (m2 sampled of the stratum)")
		e.line("  v(k) = %s with %s degrees of freedom, between %ss", eight(c.VK), eight(c.VKDF), e.x.Unit)
		e.line("  X = sum(w x) over all quadrats = %s %% m2", eight(c.X))
		return
	}
	e.line("  what was weighed less the model is on average e = %s kg/m2, added to every quadrat that holds it", eight(c.Rest))
	e.line("  y below is the model + e, so that the sum is right on average even where the model is not")
}

// wider is a calibration by other surveys.
func (e explainer) wider(weighed string) {
	c := e.x.Conversion
	e.line("  %s, fewer than the 10 that a conversion of its own needs: %s of %s, %s on %s", weighed, c.Model, c.Domain,
		plural(c.Pairs, "weighed quadrat"), plural(c.Beds, "bed"))
	e.formula()
	if c.Model == "ratio" {
		e.line("  k is sum(m2 y) / sum(m2 x) over the weighed ones")
		e.line("  v(k) = %s with %s degrees of freedom, between sampling units", eight(c.VK), eight(c.VKDF))
	}
	if !math.IsNaN(c.Scale) {
		e.line("  times a scale = %s, so that it gives the whole weight of the weighed ones", eight(c.Scale))
	}
	e.line("  beds differ by a variance of %s about it (%s)", eight(c.TauSquared), e.betweenBeds())
	if !math.IsNaN(c.X) {
		e.line("  X = sum(w x) over the quadrats not weighed = %s %% m2", eight(c.X))
	}
	e.line("  %s kg of B were converted, the rest was weighed; the error of the conversion is shared with other stocks", eight(c.Converted))
	if c.Between.Beds > 0 {
		e.line("  %s", c.Between)
	}
}

// betweenBeds is where the variance between beds comes from.
func (e explainer) betweenBeds() string {
	for _, p := range e.x.Parts {
		if p.Kind == survey.PartBeds && !math.IsInf(p.DF, 1) {
			return "estimated from the beds weighed"
		}
	}
	if e.x.Conversion.Model != "ratio" {
		return "0.3^2 of the scale, a judgement: too few beds were weighed to estimate it"
	}
	return "(0.3 k)^2, a judgement: too few beds were weighed to estimate it"
}

// given is a conversion of the species table.
func (e explainer) given(weighed string) {
	c := e.x.Conversion
	e.line("  %s, too few: the conversion of species.csv is taken", weighed)
	e.formula()
	e.line("  its cover_cv = %s", eight(c.CV))
	e.line("  %s kg of B were converted by it", eight(c.Converted))
}

// fronds is weight from the lengths of all fronds.
func (e explainer) fronds(weighed string) {
	c := e.x.Conversion
	e.line("  %s; all fronds of each quadrat were measured, and %s gave weight on length", weighed, plural(c.Pairs, "weighed frond"))
	e.formula()
	e.line("  %s kg of B come from lengths", eight(c.Converted))
}

// tried are the models that were compared.
func (e explainer) tried() {
	s := e.x.Stock
	if len(s.Candidates) < 2 {
		return
	}
	var rows [][]table.Cell
	for _, c := range s.Candidates {
		loo := table.Missing
		if c.LOO.OK {
			loo = table.Number(c.LOO.V, 4)
		}
		taken := ""
		if c.Chosen {
			taken = "taken"
		}
		rows = append(rows, []table.Cell{table.Text(c.Model), table.Int(c.N), loo, table.Text(taken), table.Text(c.Note)})
	}
	e.line("  tried (mean squared error, each weighed quadrat left out in turn; the simplest that is as good as the best is taken):")
	e.table([]table.Column{col("model"), col("fitted to"), col("error", "(kg/m2)^2"), col("used"), col("note")}, rows)
}
