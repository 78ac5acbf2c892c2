package report

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"bedstock/cmd/bedstock/internal/table"
	"bedstock/model"
	"bedstock/survey"
)

// LedgerSeason is what a ledger says of one season of one year.
type LedgerSeason struct {
	Title  string
	State  model.LedgerState
	Rows   []*model.LedgerRow
	Totals []string // sentences, by shore

	Unallocated []model.LedgerUnallocated

	first *model.LedgerRow // that tells which season it is
}

// LedgerYear is how many days back seasons are shown that are over.
const LedgerYear = 366

// LedgerShown is a ledger as far back as it is shown.
func LedgerShown(l model.Ledger) model.Ledger {
	since := l.On - LedgerYear
	l.Rows = drop(l.Rows, func(r *model.LedgerRow) bool { return r.To < since })
	l.Unallocated = drop(l.Unallocated, func(u model.LedgerUnallocated) bool { return u.To < since })
	l.Totals = drop(l.Totals, func(t model.LedgerTotal) bool { return t.To < since })
	l.Strays = drop(l.Strays, func(s model.Stray) bool { return s.Last < since })
	return l
}

// drop are the rows that are not left out; the given ones stay as they are.
func drop[T any](rows []T, out func(T) bool) []T { return slices.DeleteFunc(slices.Clone(rows), out) }

// withUnallocated are the rows of a ledger with one without a bed for each unallocated one, in the order of time.
func withUnallocated(l model.Ledger) []*model.LedgerRow {
	if len(l.Unallocated) == 0 {
		return l.Rows
	}
	rows := slices.Clone(l.Rows)
	for _, r := range l.Unallocated {
		rows = append(rows, &model.LedgerRow{Season: r.Season, From: r.From, To: r.To, State: r.State})
	}
	slices.SortStableFunc(rows, func(x, y *model.LedgerRow) int {
		return cmp.Or(cmp.Compare(x.From, y.From), cmp.Compare(x.To, y.To), cmp.Compare(x.Season, y.Season))
	})
	return rows
}

// unallocatedOf is what was landed in a row's season without a bed or species.
func unallocatedOf(l model.Ledger, r *model.LedgerRow) []model.LedgerUnallocated {
	var out []model.LedgerUnallocated
	for _, u := range l.Unallocated {
		if u.Season == r.Season && u.From == r.From && u.To == r.To {
			out = append(out, u)
		}
	}
	return out
}

// UnallocatedName is what stands in the place of a bed for landings without one.
func UnallocatedName(r *model.LedgerUnallocated) string {
	switch {
	case r.AnyShore:
		return "unallocated, shore not known"
	case r.Shore == "":
		return "unallocated"
	}
	return "unallocated, " + r.Shore
}

// LedgerSeasons parts a ledger by season: the running ones first, then those that are over, the last of them first, then
// the coming ones.
func LedgerSeasons(l model.Ledger) []LedgerSeason {
	var out []LedgerSeason
	rows := withUnallocated(l)
	for _, state := range []model.LedgerState{model.SeasonRunning, model.SeasonOver, model.SeasonComing} {
		var some []LedgerSeason
		for _, r := range rows {
			if r.State != state {
				continue
			}
			n := len(some)
			if n == 0 || !sameSeason(some[n-1].first, r) {
				some = append(some, LedgerSeason{first: r, Title: seasonTitle(l.On, r), State: state, Totals: totalsOf(l, r), Unallocated: unallocatedOf(l, r)})
				n++
			}
			if r.Bed == "" {
				continue
			}
			some[n-1].Rows = append(some[n-1].Rows, r)
		}
		if state == model.SeasonOver {
			slices.Reverse(some)
		}
		out = append(out, some...)
	}
	return out
}

func sameSeason(x, y *model.LedgerRow) bool {
	return x.Season == y.Season && x.From == y.From && x.To == y.To
}

// seasonTitle says which season it is and how it stands in time.
func seasonTitle(on survey.Day, r *model.LedgerRow) string {
	s := fmt.Sprintf("%s %d, %s to %s: ", r.Season, r.From.Year(), r.From, r.To)
	switch r.State {
	case model.SeasonOver:
		return s + "ended"
	case model.SeasonComing:
		return s + "begins in " + plural(int(r.From-on), "day", "days")
	}
	return s + "running, " + plural(int(r.To-on), "day", "days") + " to go"
}

// totalsOf are the totals of a row's season in words.
func totalsOf(l model.Ledger, r *model.LedgerRow) []string {
	var out []string
	for i := range l.Totals {
		t := &l.Totals[i]
		if t.Season != r.Season || t.From != r.From || t.To != r.To {
			continue
		}
		if s := t.Sentence(l.On, model.Kg); s != "" {
			out = append(out, shoreName(t)+": "+s)
		}
	}
	return out
}

func shoreName(t *model.LedgerTotal) string {
	switch {
	case t.Shore != "":
		return t.Shore
	case t.All:
		return "all together"
	}
	return "no shore named"
}

// Used tells whether anything was decided, returned or may be cut in a coming season: the rest is no news.
func Used(r *model.LedgerRow) bool {
	return r.Issued() || r.Returns > 0 || r.CastMg > 0 || r.Permit == "" && r.State == model.SeasonComing && r.AdvisedKg > 0
}

// LedgerNotes is what must be said beside a row.
func LedgerNotes(r *model.LedgerRow) []string {
	notes := slices.Clone(r.Notes)
	if r.State == model.SeasonRunning {
		if r.Permit == "" && r.OverChance >= 0.05 && !r.Over() {
			notes = append(notes, fmt.Sprintf("%.0f %% chance to go over at this pace", 100*r.OverChance))
		}
		if r.Permit == "" && r.Returns > r.Nil && r.PaceNote != "" {
			notes = append(notes, r.PaceNote)
		}
	}
	if r.CastMg > 0 {
		notes = append(notes, fmt.Sprintf("%s kg cast weed beside it", model.Kg(model.Kilos(r.CastMg))))
	}
	if r.Status == model.NotAssessed && r.Permit == "" && math.IsNaN(r.AdvisedKg) && !slices.ContainsFunc(notes, func(n string) bool { return strings.HasSuffix(n, r.Reason) }) {
		notes = append(notes, "not assessed: "+r.Reason)
	}
	return notes
}

// StraySentences are the rows of harvest.csv that should not be.
func StraySentences(l model.Ledger) []string {
	var out []string
	for _, s := range l.Strays {
		who := ""
		if s.Permit != "" {
			who = " by " + s.Permit
		}
		out = append(out, fmt.Sprintf("harvest.csv:%d: %s kg of %s on %s on %s%s: %s", s.Line, model.Kg(s.Kg), cmp.Or(s.Pair.Species, "no named species"), cmp.Or(s.Pair.Bed, "no named bed"), s.Day, who, s.Why))
	}
	return out
}

// Grams is a weight to the gram where it is one of the returns or decisions; where it is worked out, with the digits that
// [model.Kg] gives it.
func Grams(v float64) table.Cell {
	if r := math.Round(v*1000) / 1000; math.Abs(r-v) < 1e-9*math.Max(math.Abs(v), 1) {
		return table.Estimate(r, 0)
	}
	return Weight(v)
}

// Weight is a weight with the digits that [model.Kg] gives it.
func Weight(kg float64) table.Cell {
	if r, err := strconv.ParseFloat(model.Kg(kg), 64); err == nil {
		kg = r
	}
	return table.Number(kg, 3)
}
