package model

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"bedstock/survey"
)

// LedgerUnallocated is what was landed of a season without a bed or species, from one shore or from none that is known.
type LedgerUnallocated struct {
	Shore     string
	AnyShore  bool // it may be from several shores
	Season    string
	From, To  survey.Day
	State     LedgerState
	ReturnsMg int64   // mg: exact sums
	CutKg     float64 // with the unreported share
	CastMg    int64

	Returns, Nil int
	LastReturn   survey.Day // NoDay: none
	Rows         []survey.Unallocated
}

// unallocated enters the landings without a bed or species, each once: a row a shore and season, or outside of all seasons.
// Where the species that one may be of have different seasons on its day, it is in the first of them.
func (b *book) unallocated(pairs []Pair) {
	share := b.a.out.Rules.ReportedShare
	for _, u := range b.a.out.Folder.Unallocated {
		k := b.kindOf(&u, pairs)
		if !k.shown {
			continue
		}
		mg := milligrams(u.Kg)
		b.out.TotalMg += mg
		b.out.UnallocatedMg += mg
		if u.Cast {
			b.out.CastMg += mg
		}
		s, in := b.seasonOfLoose(&u, k.species)
		if !in {
			b.out.OutsideMg += mg
			b.strayLoose(&u)
			continue
		}
		row := b.looseRow(k, s)
		row.Rows = append(row.Rows, u)
		if u.Cast {
			row.CastMg += mg
			continue
		}
		row.Returns++
		row.ReturnsMg += mg
		row.CutKg = Kilos(row.ReturnsMg) / share
		row.LastReturn = max(row.LastReturn, u.To)
		if u.Nil() {
			row.Nil++
		}
	}
	slices.SortStableFunc(b.out.Unallocated, func(x, y LedgerUnallocated) int {
		return cmp.Or(cmp.Compare(x.From, y.From), cmp.Compare(x.To, y.To), cmp.Compare(x.Season, y.Season), cmp.Compare(x.Shore, y.Shore))
	})
}

// Unallocated is what was landed without a bed or species, a row a season and shore, and those outside of every season, as the
// ledger has them.
func (a *Assessment) Unallocated() (rows []LedgerUnallocated, outside []survey.Unallocated) {
	b := newBook(a)
	b.unallocated(b.pairs())
	return b.out.Unallocated, b.outside
}

func (b *book) stateOf(from, to survey.Day) LedgerState {
	switch {
	case to < b.out.On:
		return SeasonOver
	case from > b.out.On:
		return SeasonComing
	}
	return SeasonRunning
}

// looseRow is the row of a season for the shore of a landing.
func (b *book) looseRow(k *looseKind, s LedgerUnallocated) *LedgerUnallocated {
	if len(k.shores) == 1 {
		s.Shore = k.shores[0]
	} else {
		s.AnyShore = true
	}
	at := looseAt{s.Shore, s.AnyShore, s.Season, s.From, s.To}
	i, known := b.looseRows[at]
	if !known {
		i = len(b.out.Unallocated)
		b.looseRows[at] = i
		b.out.Unallocated = append(b.out.Unallocated, s)
	}
	return &b.out.Unallocated[i]
}

// looseAt tells the rows of landings without a bed or species apart.
type looseAt struct {
	shore    string
	anyShore bool
	season   string
	from, to survey.Day
}

// strayLoose notes a landing outside of every season.
func (b *book) strayLoose(u *survey.Unallocated) {
	if !u.Cast && u.Kg > 0 {
		b.outside = append(b.outside, *u)
		b.out.Strays = append(b.out.Strays, Stray{Line: u.Line, Pair: Pair{u.Bed, u.Species}, Day: u.From, Last: u.To, Kg: u.Kg, Permit: u.Permit, Outside: true,
			Why: "outside every season"})
	}
}

// noteLoose says what landings without a bed or species mean for a row: that some may be of it and what is left then, and
// that a return of the permit is in. One without a permit is noted beside the stand alone.
func (b *book) noteLoose(row *LedgerRow) {
	var cut, sent []survey.Unallocated
	for _, u := range b.a.indexed().landings.Concerning(row.Bed, row.Species) {
		middle := u.From + (u.To-u.From)/2
		if u.Cast || middle < row.From || middle > row.To {
			continue
		}
		if u.Permit == row.Permit {
			sent = append(sent, *u)
		}
		if u.Kg > 0 && (row.Permit == "" || u.Permit == row.Permit) {
			cut = append(cut, *u)
		}
	}
	if row.Permit != "" && len(sent) > 0 && row.Returns == 0 {
		row.sent = true
		if len(cut) == 0 {
			row.note(fmt.Sprintf("its nil return is without a bed or species (harvest.csv:%d)", sent[0].Line))
		}
	}
	if len(cut) == 0 {
		return
	}
	row.UnallocatedKg = survey.SumKg(cut) / b.a.out.Rules.ReportedShare
	text := survey.LandingWords(cut) + " may be of this"
	if row.LeftKg > 0 && row.State == SeasonRunning {
		text += fmt.Sprintf(": decided less cut may be as little as %s kg", KgDown(math.Max(row.LeftKg-row.UnallocatedKg, 0)))
	}
	row.note(text)
}

// Words says of what landings a row is, without a full stop.
func (r *LedgerUnallocated) Words() string {
	text := r.Landed()
	if r.Nil > 0 {
		text = joinNotes(text, counted(r.Nil, "nil return is", "nil returns are")+" without a bed or species")
	}
	return text
}

// Landed is Words without the nil returns.
func (r *LedgerUnallocated) Landed() string {
	var cut, cast []survey.Unallocated
	for _, u := range r.Rows {
		switch {
		case u.Cast:
			cast = append(cast, u)
		case u.Kg > 0:
			cut = append(cut, u)
		}
	}
	text := ""
	if len(cut) > 0 {
		text = survey.LandingWords(cut)
	}
	if len(cast) > 0 {
		text = joinNotes(text, "cast weed: "+survey.LandingWords(cast))
	}
	return text
}
