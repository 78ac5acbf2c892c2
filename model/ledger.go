package model

import (
	"cmp"
	"maps"
	"math"
	"slices"

	"bedstock/model/offtake"
	"bedstock/survey"
)

// Ledger is the use of what was advised and granted. Rows are by season in the order of time, bed and species, the row of
// all together before those of the permits.
type Ledger struct {
	On     survey.Day
	Rows   []*LedgerRow
	Totals []LedgerTotal // per season and shore
	Strays []Stray       // by line of harvest.csv

	Unallocated []LedgerUnallocated // by season and shore

	// TotalMg is all rows of harvest.csv of the beds and species shown, mg: each is in exactly one season or outside of all,
	// in a row of its stand or an unallocated one. OutsideMg are those outside of all, cast weed among them; CastMg is all cast
	// weed; UnallocatedMg are those without a bed or species, in a season or not.
	TotalMg, OutsideMg, CastMg, UnallocatedMg int64
}

// LedgerOptions steer [Assessment.Ledger]. The zero value works out no advice anew.
type LedgerOptions struct {
	// AdviceSince: seasons that ended on this day or later get their advice as it was known on their first day, each by an
	// assessment of the folder of that day. 0: none, their advice is left open.
	AdviceSince survey.Day
}

// Ledger sets what is cut against what was advised and decided, for the running and the coming seasons and for those that
// are over and of which something was decided or cut. A row of harvest.csv belongs to the season that holds the middle of
// its days; sums are exact to the mg.
func (a *Assessment) Ledger(opt LedgerOptions) Ledger {
	b := newBook(a)
	pairs := b.pairs()
	if opt.AdviceSince != 0 {
		b.lookBack(pairs, opt.AdviceSince)
	}
	for _, p := range pairs {
		b.open(p)
	}
	b.unallocated(pairs)
	slices.SortStableFunc(b.out.Rows, func(x, y *LedgerRow) int {
		return cmp.Or(cmp.Compare(x.From, y.From), cmp.Compare(x.To, y.To), cmp.Compare(x.Season, y.Season), cmp.Compare(x.Bed, y.Bed), cmp.Compare(x.Species, y.Species))
	})
	b.out.Totals = b.totals(b.out.Rows)
	slices.SortStableFunc(b.out.Strays, func(x, y Stray) int { return x.Line - y.Line })
	return b.out
}

// book is a ledger in the making.
type book struct {
	a        assessor
	out      Ledger
	units    map[Pair]*Unit
	shares   map[string][]survey.Permit   // by bed
	replaced map[Pair][]survey.Replaced   // decisions that others took the place of
	before   map[occasion]map[Pair]Season // advice of seasons that are over
	factors  []float64                    // draws of one over the reported share

	kinds     map[int]*looseKind // of landings without a bed or species
	kindsMade int
	looseRows map[looseAt]int      // place in out.Unallocated
	outside   []survey.Unallocated // of every season
}

// occasion is a season of a certain year.
type occasion struct {
	name string
	from survey.Day
}

func newBook(a *Assessment) *book {
	b := &book{a: assessor{out: a, confidence: a.Rules.Survey.Confidence}, out: Ledger{On: a.Folder.AsOf}, units: map[Pair]*Unit{},
		before: map[occasion]map[Pair]Season{},
		kinds:  map[int]*looseKind{}, looseRows: map[looseAt]int{}}
	for i := range a.Units {
		b.units[a.Units[i].Pair] = &a.Units[i]
	}
	_, replaced := a.Folder.InForce()
	b.shares = survey.Gather(a.Folder.Permits, func(p survey.Permit) string { return p.Bed })
	b.replaced = survey.Gather(replaced, func(r survey.Replaced) Pair { return Pair{r.Bed, r.Species} })
	return b
}

// pairs are the beds and species of which anything was surveyed, decided or cut, sorted.
func (b *book) pairs() []Pair {
	seen := map[Pair]bool{}
	for p := range b.units {
		seen[p] = true
	}
	for _, c := range b.a.out.Folder.Cuts {
		seen[Pair{c.Bed, c.Species}] = true
	}
	for _, d := range b.a.out.Folder.Decisions {
		seen[Pair{d.Bed, d.Species}] = true
	}
	maps.DeleteFunc(seen, func(p Pair, _ bool) bool { return !b.a.out.keeps(p) })
	return slices.SortedFunc(maps.Keys(seen), func(x, y Pair) int { return cmp.Or(cmp.Compare(x.Bed, y.Bed), cmp.Compare(x.Species, y.Species)) })
}

// unit is the unit of a bed and species, one without a stock where none was surveyed.
func (b *book) unit(p Pair) *Unit {
	if u := b.units[p]; u != nil {
		return u
	}
	u := &Unit{Pair: p, asOf: b.out.On, Status: NotAssessed, Reason: "never surveyed"}
	for _, absent := range b.a.out.Absent {
		if absent == p {
			u.Reason = "sought and never found"
		}
	}
	if i, ok := b.a.out.Folder.BedAt(p.Bed); ok {
		bed := b.a.out.Folder.Beds[i]
		u.Where, u.periods = bed.At(b.out.On), bed.Periods
	}
	b.units[p] = u
	return u
}

// open writes the rows of one bed and species.
func (b *book) open(p Pair) {
	u := b.unit(p)
	seasons := b.seasons(u)
	span := func(i int) (string, survey.Day, survey.Day) { return seasons[i].Season, seasons[i].From, seasons[i].To }
	granted, cuts, astride := make([][]survey.Decision, len(seasons)), make([][]survey.Cut, len(seasons)), make([][]survey.Cut, len(seasons))
	for _, d := range b.a.decisionsOf(p) {
		if i := b.a.seasonFor(d, len(seasons), span); i >= 0 {
			granted[i] = append(granted[i], d)
		}
	}
	for _, c := range b.a.cutsOf(p) {
		b.out.TotalMg += milligrams(c.Kg)
		if c.Cast {
			b.out.CastMg += milligrams(c.Kg)
		}
		middle := c.From + (c.To-c.From)/2
		i := slices.IndexFunc(seasons, func(s LedgerRow) bool { return middle >= s.From && middle <= s.To })
		if i < 0 {
			b.out.OutsideMg += milligrams(c.Kg)
		} else {
			cuts[i] = append(cuts[i], c)
		}
		if c.Cast || !(c.Kg > 0) {
			continue
		}
		touched := touching(seasons, c)
		for _, k := range touched {
			if k != i {
				astride[k] = append(astride[k], c)
			}
		}
		if i < 0 {
			b.stray(u, nil, grants{}, c, overSeasons(seasons, touched)...)
		} else {
			b.stray(u, &seasons[i], grantsOf(granted[i]), c)
		}
	}
	for i := range seasons {
		b.season(u, &seasons[i], grantsOf(granted[i]), cuts[i], astride[i])
	}
}

// seasons are the seasons of a bed and species from the first of which anything is known to the coming ones, in the order
// of time, with their advice.
func (b *book) seasons(u *Unit) []LedgerRow {
	now := b.out.On
	first := now.Year() - 1
	for _, c := range b.a.cutsOf(u.Pair) {
		first = min(first, c.From.Year()-1)
	}
	for _, d := range b.a.decisionsOf(u.Pair) {
		first = min(first, d.From.Year()-1)
	}
	var out []LedgerRow
	for _, rule := range b.a.out.Rules.SeasonsOf(u.Species) {
		coming := false
		for day := survey.MakeDay(first, 1, 1); !coming; {
			from, to := after(rule, day)
			s := LedgerRow{Pair: u.Pair, Shore: u.Where.Shore, Season: rule.Name, From: from, To: to, State: SeasonRunning}
			switch {
			case to < now:
				s.State = SeasonOver
			case from > now:
				s.State, coming = SeasonComing, true
			}
			b.advice(u, &s)
			out = append(out, s)
			day = from
		}
	}
	slices.SortStableFunc(out, func(x, y LedgerRow) int { return int(x.From - y.From) })
	return out
}

// advice fills what is advised for a season.
func (b *book) advice(u *Unit, row *LedgerRow) {
	nan := math.NaN()
	row.AdvisedKg, row.DecidedKg, row.Risk, row.LeftKg, row.OverChance = nan, nan, nan, nan, nan
	row.LastReturn = survey.NoDay
	if s := b.adviceOf(u, row); s != nil {
		row.AdvisedKg, row.LimitedBy, row.Status, row.Reason = s.AdvisedKg, s.LimitedBy, s.Status, s.Reason
	} else if row.State != SeasonOver && u.Seasons == nil {
		row.LimitedBy, row.Status, row.Reason = offtake.ByNotAssessed, NotAssessed, u.Reason
	}
}

// adviceOf is the advice for the season of a row; nil: it was not worked out.
func (b *book) adviceOf(u *Unit, row *LedgerRow) *Season {
	for i := range u.Seasons {
		if s := &u.Seasons[i]; s.Name == row.Season && s.From == row.From {
			return s
		}
	}
	if s, known := b.before[occasion{row.Season, row.From}][u.Pair]; known {
		return &s
	}
	return nil
}
