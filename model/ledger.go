package model

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"bedstock/model/growth"
	"bedstock/model/offtake"
	"bedstock/survey"
)

// LedgerRow is what was advised, decided and cut of one species on one bed in one season, by all together or by one permit.
type LedgerRow struct {
	Pair
	Season   string
	From, To survey.Day
	Permit   string // empty: all together
	State    LedgerState

	AdvisedKg float64 // NaN: no advice, or a season that is over: its advice is not worked out anew
	DecidedKg float64 // NaN: nothing was decided
	CutKg     float64 // with the unreported share; NaN: cuts are not known
	ReturnsMg int64   // what the returns say, mg: exact sums
	CastMg    int64   // cast weed, mg
	LeftKg    float64 // of what was decided, else advised; never below 0; NaN: not known

	Returns, Nil int        // rows of harvest.csv, and those of them that say 0
	LastReturn   survey.Day // NoDay: none
	Projected    growth.Interval
	PaceNote     string  // why there is no projection
	Risk         float64 // of what was decided where it is above the advice: highest yearly probability below the limit; NaN else
	Notes        []string
}

// LedgerState is where a season stands on the day of the assessment.
type LedgerState string

const (
	SeasonOver    LedgerState = "over"
	SeasonRunning LedgerState = "running"
	SeasonComing  LedgerState = "coming"
)

// LimitKg is what may be cut: what was decided, else what is advised; NaN where neither is known.
func (r LedgerRow) LimitKg() float64 {
	if !math.IsNaN(r.DecidedKg) {
		return r.DecidedKg
	}
	return r.AdvisedKg
}

// Issued tells whether there was a decision; else the advice stands, "not issued".
func (r LedgerRow) Issued() bool { return !math.IsNaN(r.DecidedKg) }

// Over tells whether more is cut than may be.
func (r LedgerRow) Over() bool { return r.CutKg > 0 && r.CutKg > r.LimitKg()*(1+1e-9) }

// Kilos is a weight in mg as kg.
func Kilos(mg int64) float64 { return float64(mg) / 1e6 }

// milligrams is a weight in kg to the mg.
func milligrams(kg float64) int64 { return int64(math.Round(kg * 1e6)) }

// Stray is a row of harvest.csv that lies outside every season, or on a day on which nothing may be cut.
type Stray struct {
	Line   int // of harvest.csv
	Pair   Pair
	Day    survey.Day
	Kg     float64
	Permit string
	Why    string
}

// Ledger is the use of what was advised and granted. Rows are by bed, species and season, the row of all together before
// those of the permits.
type Ledger struct {
	Rows   []LedgerRow
	Strays []Stray
	// TotalMg and CastMg are all rows of harvest.csv of the beds and species shown, mg; every row is in exactly one season row
	// or among the strays.
	TotalMg, CastMg int64
}

// Ledger sets what is cut against what was advised and decided, for the running and the coming seasons and for those that are
// over and of which something was decided or cut. A row of harvest.csv belongs to the season that
// holds the middle of its days.
func (a *Assessment) Ledger() Ledger {
	b := &book{a: assessor{out: a, confidence: a.Rules.Survey.Confidence}}
	for _, p := range b.pairs() {
		b.open(p)
	}
	slices.SortStableFunc(b.out.Strays, func(x, y Stray) int { return x.Line - y.Line })
	return b.out
}

// book is a ledger in the making.
type book struct {
	a   assessor
	out Ledger
}

// pairs are the beds and species of which anything was surveyed, decided or cut, sorted.
func (b *book) pairs() []Pair {
	var out []Pair
	add := func(p Pair) {
		if b.a.out.keeps(p) && !slices.Contains(out, p) {
			out = append(out, p)
		}
	}
	for i := range b.a.out.Units {
		add(b.a.out.Units[i].Pair)
	}
	for _, c := range b.a.out.Folder.Cuts {
		add(Pair{c.Bed, c.Species})
	}
	for _, d := range b.a.out.Folder.Decisions {
		add(Pair{d.Bed, d.Species})
	}
	slices.SortFunc(out, func(x, y Pair) int { return cmp.Or(cmp.Compare(x.Bed, y.Bed), cmp.Compare(x.Species, y.Species)) })
	return out
}

// open writes the rows of one bed and species.
func (b *book) open(p Pair) {
	u := b.unit(p)
	seasons := b.seasons(p)
	cuts := make([][]survey.Cut, len(seasons))
	for _, c := range b.a.cutsOf(p) {
		b.out.TotalMg += milligrams(c.Kg)
		if c.Cast {
			b.out.CastMg += milligrams(c.Kg)
		}
		middle := c.From + (c.To-c.From)/2
		i := slices.IndexFunc(seasons, func(s LedgerRow) bool { return middle >= s.From && middle <= s.To })
		switch why := b.shut(u, c); {
		case c.Cast && i < 0:
		case i < 0:
			b.stray(p, c, "outside every season")
		case why != "" && !c.Cast && c.Kg > 0:
			b.stray(p, c, why)
			cuts[i] = append(cuts[i], c) // it was cut all the same
			continue
		default:
			cuts[i] = append(cuts[i], c)
		}
	}
	for i, s := range seasons {
		b.season(u, s, cuts[i])
	}
}

func (b *book) stray(p Pair, c survey.Cut, why string) {
	if c.Kg > 0 {
		b.out.Strays = append(b.out.Strays, Stray{Line: c.Line, Pair: p, Day: c.From, Kg: c.Kg, Permit: c.Permit, Why: why})
	}
}

// unit is the unit of a bed and species, one without a stock where none was surveyed.
func (b *book) unit(p Pair) *Unit {
	for i := range b.a.out.Units {
		if u := &b.a.out.Units[i]; u.Pair == p {
			return u
		}
	}
	u := &Unit{Pair: p}
	if i := slices.IndexFunc(b.a.out.Folder.Beds, func(x survey.Bed) bool { return x.ID == p.Bed }); i >= 0 {
		u.periods = b.a.out.Folder.Beds[i].Periods
	}
	return u
}

// seasons are the seasons to be shown, in the order of time.
func (b *book) seasons(p Pair) []LedgerRow {
	now := b.a.out.Folder.AsOf
	first := now.Year() - 1
	used := func(d survey.Day) { first = min(first, d.Year()-1) }
	for _, c := range b.a.cutsOf(p) {
		used(c.From)
	}
	for _, d := range b.a.decisionsOf(p) {
		used(d.From)
	}
	var out []LedgerRow
	for _, rule := range b.a.out.Rules.SeasonsOf(p.Species) {
		coming := false
		for day := survey.MakeDay(first, 1, 1); !coming; {
			from, to := after(rule, day)
			s := LedgerRow{Pair: p, Season: rule.Name, From: from, To: to, State: SeasonRunning}
			switch {
			case to < now:
				s.State = SeasonOver
			case from > now:
				s.State, coming = SeasonComing, true
			}
			out = append(out, s)
			day = from
		}
	}
	slices.SortStableFunc(out, func(x, y LedgerRow) int { return int(x.From - y.From) })
	return out
}

// shut says why nothing may be cut on the day of a row; empty: it may.
func (b *book) shut(u *Unit, c survey.Cut) string {
	for _, s := range b.a.closures(u) {
		if c.From >= s.From && c.From <= s.To {
			return "closed: " + s.Reason
		}
	}
	for _, s := range u.Seasons {
		if s.Status == Resting && c.From >= s.From && c.From <= s.To {
			return "resting: " + s.Reason
		}
	}
	return ""
}

// season writes the row of all together and those of the permits.
func (b *book) season(u *Unit, row LedgerRow, cuts []survey.Cut) {
	now := b.a.out.Folder.AsOf
	nan := math.NaN()
	row.AdvisedKg, row.DecidedKg, row.Risk, row.LeftKg = nan, nan, nan, nan
	var advice *Season
	for i := range u.Seasons {
		if s := &u.Seasons[i]; s.Name == row.Season && s.From == row.From {
			advice = s
			row.AdvisedKg = s.AdvisedKg
		}
	}
	granted := b.decisions(u, row)
	for _, d := range granted {
		row.DecidedKg = plusKg(row.DecidedKg, d.Kg)
	}
	if len(granted)+len(cuts) == 0 && (row.State == SeasonOver || row.State == SeasonComing && advice == nil) {
		return // nothing to keep a book of
	}
	whole := row
	b.count(&whole, cuts)
	b.riskOf(u, advice, &whole)
	b.pace(&whole, cuts)
	b.out.Rows = append(b.out.Rows, whole)
	for _, permit := range b.permits(u.Pair, granted, cuts) {
		one := row
		one.Permit = permit
		b.allot(&one, whole, granted)
		b.count(&one, slices.DeleteFunc(slices.Clone(cuts), func(c survey.Cut) bool { return c.Permit != permit }))
		one.Projected, one.PaceNote = growth.Interval{Median: nan, Lo: nan, Hi: nan}, ""
		if one.State == SeasonRunning && one.Returns == 0 && one.LimitKg() > 0 {
			one.Notes = append(one.Notes, fmt.Sprintf("no return so far, %d days into the season", now-one.From))
		}
		b.out.Rows = append(b.out.Rows, one)
	}
}

func plusKg(sum, kg float64) float64 {
	if math.IsNaN(sum) {
		return kg
	}
	return sum + kg
}

// decisions are those for a season: of its name, or else of a name that is no season's, where they share days.
func (b *book) decisions(u *Unit, row LedgerRow) []survey.Decision {
	var out []survey.Decision
	for _, d := range b.a.decisionsOf(u.Pair) {
		known := slices.ContainsFunc(b.a.out.Rules.SeasonsOf(u.Species), func(s offtake.Season) bool { return sameName(s.Name, d.Season) })
		if d.To >= row.From && d.From <= row.To && (!known || sameName(d.Season, row.Season)) {
			out = append(out, d)
		}
	}
	return out
}
