package model

import (
	"cmp"
	"slices"

	"bedstock/survey"
)

// looseKind is what all landings of one kind have in common.
type looseKind struct {
	shown   bool     // it may be of a stand that is asked for
	species []string // that it may be of
	shores  []string // that it may be from
}

// kindOf is the kind of a landing: it is worked out once, going through all stands, for landings may be many.
func (b *book) kindOf(u *survey.Unallocated, pairs []Pair) *looseKind {
	k := b.kinds[u.Kind]
	if k == nil || u.Kind == 0 {
		b.kindsMade++
		k = &looseKind{shown: b.shows(u, pairs), species: speciesOfLoose(u, pairs), shores: u.Shores(b.a.out.Folder)}
		b.kinds[u.Kind] = k
	}
	return k
}

// shows tells whether a landing may be of a stand that is asked for. Its species may be one that no survey knows.
func (b *book) shows(u *survey.Unallocated, pairs []Pair) bool {
	return b.a.out.Only == nil || slices.ContainsFunc(pairs, func(p Pair) bool { return u.Concerns(p.Bed, p.Species) }) ||
		u.Species != "" && slices.ContainsFunc(u.Beds, func(bed string) bool {
			return u.Concerns(bed, u.Species) && b.a.out.keeps(Pair{bed, u.Species})
		})
}

// speciesOfLoose are the species that a landing may be of; the one without a name where no stand is known.
func speciesOfLoose(u *survey.Unallocated, pairs []Pair) []string {
	if u.Species != "" {
		return []string{u.Species}
	}
	var out []string
	for _, p := range pairs {
		if u.Concerns(p.Bed, p.Species) {
			out = append(out, p.Species)
		}
	}
	if out == nil {
		return []string{""}
	}
	slices.Sort(out)
	return slices.Compact(out)
}

// seasonOfLoose is the season that holds the middle of the days of a landing, of the species that it may be of.
func (b *book) seasonOfLoose(u *survey.Unallocated, species []string) (LedgerUnallocated, bool) {
	middle := u.From + (u.To-u.From)/2
	var out LedgerUnallocated
	found := false
	for _, name := range species {
		for _, rule := range b.a.out.Rules.SeasonsOf(name) {
			from, to := current(rule, middle)
			if from > middle || to < middle || found && cmp.Or(cmp.Compare(from, out.From), cmp.Compare(to, out.To)) >= 0 {
				continue
			}
			out, found = LedgerUnallocated{Season: rule.Name, From: from, To: to, State: b.stateOf(from, to), LastReturn: survey.NoDay}, true
		}
	}
	return out, found
}
