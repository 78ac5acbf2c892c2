package model

import (
	"fmt"
	"math"
	"slices"

	"bedstock/model/offtake"
	"bedstock/survey"
)

// count fills what the returns say.
func (b *book) count(row *LedgerRow, cuts []survey.Cut) {
	row.LastReturn = survey.NoDay
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
		if row.LastReturn == survey.NoDay || c.To > row.LastReturn {
			row.LastReturn = c.To
		}
	}
	row.CutKg = math.NaN()
	if b.a.out.Folder.CutsKnown {
		row.CutKg = Kilos(row.ReturnsMg) / b.a.out.Rules.ReportedShare
	}
	row.LeftKg = math.Max(row.LimitKg()-row.CutKg, 0)
	if row.State == SeasonOver && !row.Issued() {
		row.LeftKg = math.NaN()
	}
	b.notes(row)
}

// notes says what must be known of a row.
func (b *book) notes(row *LedgerRow) {
	if row.Over() {
		row.Notes = append(row.Notes, fmt.Sprintf("OVER by %s kg", Kg(row.CutKg-row.LimitKg())))
	}
	to := b.a.out.Rules.ReturnsCompleteTo
	if until := min(row.To, b.a.out.Folder.AsOf); to != survey.NoDay && to < until && row.From <= until && row.Permit == "" {
		row.Notes = append(row.Notes, fmt.Sprintf("returns are in up to %s only", to))
	}
}

// riskOf sets a decision above the advice beside the risk that it takes.
func (b *book) riskOf(u *Unit, s *Season, row *LedgerRow) {
	if s == nil || !(row.DecidedKg > row.AdvisedKg*(1+1e-9)) {
		if s != nil && row.Issued() && math.IsNaN(row.AdvisedKg) {
			row.Notes = append(row.Notes, "decided where no amount can be advised: "+orElse(s.Reason, "not assessed"))
		}
		return
	}
	note := fmt.Sprintf("decided above the advice by %s kg", Kg(row.DecidedKg-row.AdvisedKg))
	if year := row.year(s); u.Basis != nil && year > 0 && !u.Basis.Stand.Annual {
		take := year * row.DecidedKg / row.AdvisedKg
		if row.AdvisedKg == 0 {
			take = row.DecidedKg
		}
		row.Risk = offtake.WhatIf(u.Basis.Stand, b.a.out.Rules.OfftakeOf(u.Pair), take).Risk
		note += fmt.Sprintf(": at that rate the yearly risk is %.0f %%, the rules allow %.0f %%", 100*row.Risk, 100*b.a.out.Rules.Offtake.Risk)
	}
	row.Notes = append(row.Notes, note)
}

// year is the offtake of the year behind the advice of a season, kg; where the season has none, what was decided.
func (r LedgerRow) year(s *Season) float64 {
	if r.AdvisedKg > 0 && s.Year != nil {
		return s.Year.AdvisedKg
	}
	return r.DecidedKg
}

// permits are those that have a share, a grant or a return, in the order of their names.
func (b *book) permits(p Pair, granted []survey.Decision, cuts []survey.Cut) []string {
	var out []string
	add := func(name string) {
		if name != "" && !slices.Contains(out, name) {
			out = append(out, name)
		}
	}
	for _, x := range b.a.out.Folder.Permits {
		if x.Bed == p.Bed && (x.Species == "" || x.Species == p.Species) {
			add(x.Permit)
		}
	}
	for _, d := range granted {
		add(d.Permit)
	}
	for _, c := range cuts {
		add(c.Permit)
	}
	slices.Sort(out)
	return out
}

// share is the share of a permit, and whether it has one.
func (b *book) share(p Pair, permit string) (float64, bool) {
	share, ok := 0.0, false
	for _, x := range b.a.out.Folder.Permits {
		if x.Permit == permit && x.Bed == p.Bed && (x.Species == "" || x.Species == p.Species) {
			share += x.Share
			ok = true
		}
	}
	return share, ok
}

// allot gives a permit its part: what was granted to it by name, else its share of what was granted to all or is advised.
func (b *book) allot(row *LedgerRow, whole LedgerRow, granted []survey.Decision) {
	row.DecidedKg, row.AdvisedKg = math.NaN(), math.NaN()
	toAll := math.NaN()
	for _, d := range granted {
		switch d.Permit {
		case row.Permit:
			row.DecidedKg = plusKg(row.DecidedKg, d.Kg)
		case "":
			toAll = plusKg(toAll, d.Kg)
		}
	}
	share, ok := b.share(row.Pair, row.Permit)
	if !ok {
		if !row.Issued() {
			row.Notes = append(row.Notes, "no share in permits.csv and no grant of its own")
		}
		return
	}
	row.AdvisedKg = share * whole.AdvisedKg
	if !row.Issued() && !math.IsNaN(toAll) {
		row.DecidedKg = share * toAll
	}
}
