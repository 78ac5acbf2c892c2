package model

import (
	"fmt"
	"math"
	"slices"

	"bedstock/model/growth"
	"bedstock/model/offtake"
	"bedstock/survey"
)

// season writes the row of all together and those of the permits.
func (b *book) season(u *Unit, row *LedgerRow, g grants, cuts, astride []survey.Cut) {
	advice := b.adviceOf(u, row)
	row.DecidedKg = g.kg()
	if len(g.all)+len(cuts)+len(astride) == 0 && (row.State == SeasonOver || advice == nil) {
		return // nothing to keep a book of
	}
	whole := *row
	b.count(u, &whole, advice, cuts)
	b.noteLoose(&whole)
	b.noteAstride(&whole, astride)
	b.noteReplaced(&whole)
	b.riskOf(u, advice, &whole)
	b.pace(u, &whole, cuts)
	b.out.Rows = append(b.out.Rows, &whole)
	for _, permit := range b.permits(u.Pair, g, slices.Concat(cuts, astride)) {
		one := *row
		one.Permit = permit
		b.allot(&one, &whole, g)
		b.count(u, &one, advice, slices.DeleteFunc(slices.Clone(cuts), func(c survey.Cut) bool { return c.Permit != permit }))
		b.noteLoose(&one)
		b.noteAstride(&one, slices.DeleteFunc(slices.Clone(astride), func(c survey.Cut) bool { return c.Permit != permit }))
		b.noteReplaced(&one)
		b.missing(&one)
		one.Projected = growth.Interval{Median: math.NaN(), Lo: math.NaN(), Hi: math.NaN()}
		b.out.Rows = append(b.out.Rows, &one)
	}
}

// missing marks a permit that may cut and has sent no return.
func (b *book) missing(row *LedgerRow) {
	if row.State == SeasonComing || row.Returns > 0 || row.sent || !(row.LimitKg() > 0) || row.Shut() {
		return
	}
	if to := b.a.out.Rules.ReturnsCompleteTo; to != survey.NoDay && to >= min(row.To, b.out.On) {
		row.note("no return, and returns are complete")
		return
	}
	row.Missing = true
	if row.State == SeasonOver {
		row.note("no return")
		return
	}
	row.note(fmt.Sprintf("no return so far, %d days into the season", b.out.On-row.From))
}

// count fills what the returns say, and what is left.
func (b *book) count(u *Unit, row *LedgerRow, advice *Season, cuts []survey.Cut) {
	for _, c := range cuts {
		if c.Cast {
			row.CastMg += milligrams(c.Kg)
			continue
		}
		row.Returns++
		row.ReturnsMg += milligrams(c.Kg)
		if c.Kg == 0 {
			row.Nil++
		}
		if c.Kg > 0 && b.shutOn(u, advice, c) != "" {
			row.ShutMg += milligrams(c.Kg)
		}
		row.LastReturn = max(row.LastReturn, c.To)
	}
	row.CutKg = math.NaN()
	if b.a.out.Folder.CutsKnown {
		row.CutKg = Kilos(row.ReturnsMg) / b.a.out.Rules.ReportedShare
	}
	row.LeftKg = math.Max(row.LimitKg()-row.CutKg, 0)
	if row.Shut() && row.State != SeasonOver {
		row.LeftKg = 0
	}
	b.notes(row, advice)
}

// notes says what must be known of a row.
func (b *book) notes(row *LedgerRow, advice *Season) {
	over := row.CutKg - row.LimitKg()
	switch {
	case row.Over() && row.Shut() && row.ShutMg > 0:
		row.note(fmt.Sprintf("over: %s kg cut though nothing may be", Kg(Kilos(row.ShutMg))))
	case row.Over():
		row.note(fmt.Sprintf("over by %s kg", Kg(over)))
	case row.CutKg > 0 && math.IsNaN(row.LimitKg()) && row.Permit == "" && (row.State != SeasonOver || row.Status != ""):
		row.note("cut though nothing was advised or decided")
	}
	if row.Permit != "" {
		return
	}
	if row.CutKg > row.AdvisedKg*(1+1e-9) && row.Issued() && !row.Shut() {
		row.note(fmt.Sprintf("cut beyond the advice by %s kg", Kg(row.CutKg-row.AdvisedKg)))
	}
	b.noteShut(row, advice)
	to := b.a.out.Rules.ReturnsCompleteTo
	if until := min(row.To, b.out.On); to != survey.NoDay && to < until && row.From <= until {
		row.note(fmt.Sprintf("returns are in up to %s only", to))
	}
}

// noteShut says why nothing more may be cut, what becomes of what was cut before and of what is left.
func (b *book) noteShut(row *LedgerRow, advice *Season) {
	if !row.Shut() || advice == nil {
		return
	}
	text := "rests: "
	if row.Status == Closed {
		text = "closed: "
	}
	text += row.Reason
	if before := row.ReturnsMg - row.ShutMg; before > 0 && row.Status == Closed {
		text += fmt.Sprintf("; the %s kg cut before stay lawful", Kg(Kilos(before)))
		if limit := orKg(row.DecidedKg, advice.UnshutKg); limit > Kilos(row.ReturnsMg) {
			text += fmt.Sprintf(", the %s kg that were left lapse and go to no other bed", Kg(limit-Kilos(row.ReturnsMg)))
		}
	} else if row.DecidedKg > 0 {
		text += fmt.Sprintf("; the %s kg decided lapse and go to no other bed", Kg(row.DecidedKg))
	}
	row.note(text)
}

func orKg(kg, other float64) float64 {
	if math.IsNaN(kg) {
		return other
	}
	return kg
}

// riskOf sets a decision above the advice beside the risk that it takes: that of cutting what is decided, in the other seasons
// that rest on the same survey what is decided there or else advised, and the same fraction in later years.
func (b *book) riskOf(u *Unit, s *Season, row *LedgerRow) {
	switch {
	case s == nil || !(row.DecidedKg > 0):
		return
	case math.IsNaN(row.AdvisedKg):
		row.note("decided where no amount can be advised: " + orElse(s.Reason, "not assessed"))
		return
	case row.Shut() || !(row.DecidedKg > row.AdvisedKg*(1+1e-9)):
		return
	}
	text := fmt.Sprintf("decided above the advice by %s kg", Kg(row.DecidedKg-row.AdvisedKg))
	if s.Basis != nil && !s.Basis.Stand.Annual {
		rules := b.a.out.Rules.OfftakeOf(u.Pair)
		row.Risk = offtake.RiskOf(s.Basis.Stand, rules, row.DecidedKg+b.elsewhere(u, s))
		text += fmt.Sprintf(": the yearly risk of falling too low is then %s, the rules allow %g %%", RiskWords(row.Risk), 100*rules.Risk)
		switch {
		case row.Risk <= rules.Risk && s.LimitedBy == offtake.ByCutBefore:
			text += fmt.Sprintf("; %s kg cut beyond the advice before are taken off it", Kg(s.OffKg))
		case row.Risk <= rules.Risk && s.LimitedBy != "":
			text += "; the limit that it exceeds is " + Words(s.LimitedBy)
		}
	}
	row.note(text)
}

// RiskWords is a risk in percent with two digits; one that few draws or none showed is not 0, and one that few missed is not
// sure.
func RiskWords(risk float64) string {
	switch {
	case math.IsNaN(risk):
		return "–"
	case risk < 0.0005:
		return "under 0.1 %"
	case risk > 0.995:
		return "over 99 %"
	case risk < 0.0995:
		return fmt.Sprintf("%.1f %%", 100*risk)
	}
	return fmt.Sprintf("%.0f %%", 100*risk)
}

// elsewhere is what is decided, or else advised, in the other seasons of a unit that rest on the same survey, kg.
func (b *book) elsewhere(u *Unit, s *Season) float64 {
	seasons := u.Seasons
	if !slices.ContainsFunc(seasons, func(x Season) bool { return x.Name == s.Name && x.From == s.From }) {
		return math.Max(s.Basis.Year.AdvisedKg-s.AdvisedKg, 0) // of a season that is over: the rest of its year's advice
	}
	sum := 0.0
	for i := range seasons {
		if x := &seasons[i]; x.Survey == s.Survey && (x.Name != s.Name || x.From != s.From) {
			if kg := orKg(x.GrantedKg, x.AdvisedKg); kg > 0 {
				sum += kg
			}
		}
	}
	return sum
}
