package model

import (
	"fmt"
	"maps"
	"math"
	"slices"

	"bedstock/model/growth"
	"bedstock/survey"
)

// LedgerTotal is a season on the beds of a shore together, all species.
type LedgerTotal struct {
	Season   string
	From, To survey.Day
	State    LedgerState
	Shore    string // empty: all shores; see All
	All      bool   // the row of all shores

	Stands    int     // with an advice, a decision or a return
	AdvisedKg float64 // of the stands that have an advice; NaN: none has one
	DecidedKg float64 // NaN: nothing was decided
	LimitKg   float64 // what was decided, else advised, of each stand; NaN: none has one
	CutKg     float64 // with the unreported share; NaN: cuts are not known
	ReturnsMg int64

	UnallocatedMg int64 // landed without a bed or species; in no other figure here

	AstrideKg float64 // of returns that run into this season; see [LedgerRow]

	mayKg float64 // of all that was, what may be from here, with the unreported share

	LeftKg     float64 // sum of what is left of each stand
	Over       int     // stands on which more is cut than may be
	Missing    int     // permits that may cut and have sent no return
	Projected  growth.Interval
	OverChance float64 // probability that the end is above LimitKg; NaN: not known
	PaceNote   string  // why there is no projection
}

// totals sums the rows of all together per season and shore, and over all shores where there are several.
func (b *book) totals(rows []*LedgerRow) []LedgerTotal {
	var out []LedgerTotal
	for len(rows) > 0 {
		first := rows[0]
		n := slices.IndexFunc(rows, func(r *LedgerRow) bool { return r.Season != first.Season || r.From != first.From || r.To != first.To })
		if n < 0 {
			n = len(rows)
		}
		on := map[string][]*LedgerRow{}
		for _, r := range rows[:n] {
			on[r.Shore] = append(on[r.Shore], r)
		}
		shores := slices.Sorted(maps.Keys(on))
		for _, shore := range shores {
			t := b.total(on[shore])
			t.Shore = shore
			t.UnallocatedMg = b.looseOf(&t, func(r *LedgerUnallocated) bool { return !r.AnyShore && r.Shore == shore || len(shores) == 1 })
			may := b.looseOf(&t, func(r *LedgerUnallocated) bool { return r.AnyShore || r.Shore == shore })
			t.mayKg = Kilos(may) / b.a.out.Rules.ReportedShare
			out = append(out, t)
		}
		if len(shores) > 1 {
			t := b.total(rows[:n])
			t.All = true
			t.UnallocatedMg = b.looseOf(&t, func(*LedgerUnallocated) bool { return true })
			t.mayKg = Kilos(t.UnallocatedMg) / b.a.out.Rules.ReportedShare
			out = append(out, t)
		} else {
			out[len(out)-1].All = true
		}
		rows = rows[n:]
	}
	return out
}

// looseOf sums what was landed in a season without a bed or species, as far as asked for, mg.
func (b *book) looseOf(t *LedgerTotal, asked func(*LedgerUnallocated) bool) int64 {
	sum := int64(0)
	for i := range b.out.Unallocated {
		if r := &b.out.Unallocated[i]; r.Season == t.Season && r.From == t.From && r.To == t.To && asked(r) {
			sum += r.ReturnsMg
		}
	}
	return sum
}

// total sums rows of one season.
func (b *book) total(rows []*LedgerRow) LedgerTotal {
	nan, first := math.NaN(), rows[0]
	t := LedgerTotal{Season: first.Season, From: first.From, To: first.To, State: first.State, AdvisedKg: nan, DecidedKg: nan, LimitKg: nan,
		CutKg: nan, LeftKg: nan, OverChance: nan, Projected: growth.Interval{Median: nan, Lo: nan, Hi: nan}}
	plus := func(sum *float64, kg float64) {
		if !math.IsNaN(kg) {
			*sum = plusKg(*sum, kg)
		}
	}
	var futures []future
	var weights []float64
	passed, ahead, in := 0.0, 0.0, int64(0)
	for _, r := range rows {
		if r.Permit != "" {
			if r.Missing {
				t.Missing++
			}
			continue
		}
		t.Stands++
		plus(&t.AdvisedKg, r.AdvisedKg)
		plus(&t.DecidedKg, r.DecidedKg)
		plus(&t.LimitKg, r.LimitKg())
		plus(&t.CutKg, r.CutKg)
		plus(&t.LeftKg, r.LeftKg)
		t.AstrideKg += r.AstrideKg
		t.ReturnsMg += r.ReturnsMg
		in += r.inMg
		if r.Over() {
			t.Over++
		}
		if r.State == SeasonRunning && r.passed == 0 { // closed: nothing more is cut
			in += r.ReturnsMg
		}
		if len(r.weights) > 0 {
			futures = append(futures, future{r.weights, r.passed, r.ahead})
			weights = append(weights, r.weights...)
		}
		passed, ahead = max(passed, r.passed), max(ahead, r.ahead)
	}
	if t.State == SeasonRunning {
		if t.PaceNote = b.paceUnknown(weights, passed, ahead); t.PaceNote == "" {
			ends := b.ends(fmt.Sprintf("ledger|total|%s|%s|%d", t.Season, t.From, len(futures)), futures, in, t.ReturnsMg)
			t.Projected, t.OverChance = b.summary(ends, t.LimitKg)
		}
	}
	return t
}

// Sentence says how a season stands on a shore, for those who watch over it, without a full stop; empty where there is nothing
// to say. kg writes a weight, as [Kg] does.
func (t *LedgerTotal) Sentence(today survey.Day, kg func(float64) string) string {
	s := useSentence(t.CutKg, t.LimitKg, t.AstrideKg, t.State, t.To, today, t.Projected, t.OverChance, kg)
	if t.UnallocatedMg > 0 {
		s = joinNotes(s, fmt.Sprintf("%s kg beside it is unallocated, without a bed or species", kg(Kilos(t.UnallocatedMg))))
	}
	if s == "" {
		return ""
	}
	if t.Over > 0 {
		s += "; " + counted(t.Over, "stand is over", "stands are over")
	}
	if t.LeftKg > 0 && t.State == SeasonRunning {
		where := ""
		if t.Over > 0 {
			where = " on the others"
		}
		s += fmt.Sprintf("; %s kg of what was decided or else advised is not cut%s", kg(t.LeftKg), where)
		if may := t.mayKg + t.AstrideKg; may > 0 {
			s += fmt.Sprintf(", or as little as %s kg", kg(math.Max(t.LeftKg-may, 0)))
		}
	}
	if t.Missing > 0 {
		s += "; " + counted(t.Missing, "return is missing", "returns are missing")
	}
	return s
}

// Sentence says how a season stands on a stand or for a permit, for those who watch over it, without a full stop; empty where
// there is nothing to say. kg writes a weight, as [Kg] does.
func (r *LedgerRow) Sentence(today survey.Day, kg func(float64) string) string {
	return useSentence(r.CutKg, r.LimitKg(), r.AstrideKg, r.State, r.To, today, r.Projected, r.OverChance, kg)
}

func useSentence(cut, limit, astride float64, state LedgerState, to, today survey.Day, end growth.Interval, over float64, kg func(float64) string) string {
	if math.IsNaN(cut) || math.IsNaN(limit) {
		return ""
	}
	s := fmt.Sprintf("%s of %s kg", kg(cut), kg(limit))
	switch state {
	case SeasonComing:
		return fmt.Sprintf("%s kg may be cut", kg(limit))
	case SeasonOver:
		return joinNotes(s+" was cut", astrideWords(cut, limit, astride, kg))
	}
	s = joinNotes(s+" is cut "+toGo(to-today), astrideWords(cut, limit, astride, kg))
	if math.IsNaN(end.Median) {
		return s
	}
	return fmt.Sprintf("%s; at this pace %s to %s kg by the end: %s", s, kg(end.Lo), kg(end.Hi), overWords(cut, limit, astride, over))
}

// astrideWords says what returns that run over more than one season may add to what was cut in one.
func astrideWords(cut, limit, astride float64, kg func(float64) string) string {
	if astride == 0 {
		return ""
	}
	s := fmt.Sprintf("%s kg of returns over several seasons may be of this one besides", kg(astride))
	if cut <= limit*(1+1e-9) && cut+astride > limit*(1+1e-9) {
		s += ": whether it is within cannot be told"
	}
	return s
}

func toGo(days survey.Day) string {
	switch days {
	case 0:
		return "on the last day"
	case 1:
		return "with 1 day to go"
	}
	return fmt.Sprintf("with %d days to go", days)
}

// overWords says how likely the end is above what may be cut.
func overWords(cut, limit, astride, over float64) string {
	switch {
	case cut > limit*(1+1e-9):
		return "over already"
	case over >= 0.95:
		return "will go over"
	case over >= 0.5:
		return "will more likely than not go over"
	case over >= 0.05:
		return "may go over"
	}
	if cut+astride > limit*(1+1e-9) {
		return "cannot tell"
	}
	return "will stay within"
}
