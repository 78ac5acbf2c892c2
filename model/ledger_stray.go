package model

import (
	"fmt"
	"math"
	"strings"

	"bedstock/survey"
)

// Stray is a row of harvest.csv that should not be: outside every season, on a day on which nothing may be cut, or by a
// permit that has no part in it.
type Stray struct {
	Line    int // of harvest.csv
	Pair    Pair
	Day     survey.Day // its first
	Last    survey.Day
	Kg      float64
	Permit  string
	Outside bool   // of every season: it is in no row of the ledger
	Why     string // reasons, separated by semicolons
}

// stray notes a cut that should not be; row is its season, nil where there is none.
// over are the seasons of which days are in a cut that counts in none.
func (b *book) stray(u *Unit, row *LedgerRow, g grants, c survey.Cut, over ...string) {
	var why []string
	var advice *Season
	if row == nil && len(over) > 0 {
		why = append(why, fmt.Sprintf("%s to %s counts in no season: it runs over %s, and the middle of its days is in none; ask for a return for each season",
			c.From, c.To, strings.Join(over, " and ")))
	} else if row == nil {
		why = append(why, "outside every season")
	} else {
		advice = b.adviceOf(u, row)
		if c.From < row.From || c.To > row.To {
			why = append(why, fmt.Sprintf("%s to %s runs over the edge of the season, %s to %s", c.From, c.To, row.From, row.To))
		}
		why = append(why, b.unentitled(u.Pair, g, c)...)
	}
	if shut := b.shutOn(u, advice, c); shut != "" {
		why = append(why, shut)
	}
	if len(why) > 0 {
		b.out.Strays = append(b.out.Strays, Stray{Line: c.Line, Pair: u.Pair, Day: c.From, Last: c.To, Kg: c.Kg, Permit: c.Permit, Outside: row == nil,
			Why: strings.Join(why, "; ")})
	}
}

// shutOn says why nothing may be cut on the days of a row; empty: it may on all of them.
func (b *book) shutOn(u *Unit, advice *Season, c survey.Cut) string {
	for _, s := range b.a.closures(u) {
		if c.From <= s.To && c.To >= s.From {
			return "closed: " + orElse(s.Reason, "no reason given")
		}
	}
	if advice != nil && advice.Status == Resting {
		return "rests: " + advice.Reason
	}
	return ""
}

// unentitled says whether a permit has no part in what may be cut, or cut on days for which nothing was granted to it.
func (b *book) unentitled(p Pair, g grants, c survey.Cut) []string {
	share := b.share(p, c.Permit)
	_, named := g.permit[c.Permit]
	if c.Permit != "" && math.IsNaN(share) && !named && (len(b.shares[p.Bed]) > 0 || len(g.permit) > 0) {
		return []string{"permit " + c.Permit + " has no part in this bed and species"}
	}
	within, any := false, false
	for _, d := range g.all {
		if d.Permit == "" || d.Permit == c.Permit {
			any = true
			within = within || d.From <= c.From && c.To <= d.To
		}
	}
	if any && !within {
		return []string{"outside the days that were granted"}
	}
	return nil
}
