package survey

import (
	"strings"
)

// Replaced is a decision that another one took the place of.
type Replaced struct {
	Decision
	By Decision // the last of those that hold now
}

// InForce are the decisions that hold, in the order of the file. Of those for the same bed, species, season, first day
// and permit the ones that were decided last hold, all of that day together; they take the place of what was decided
// before.
func (f *Folder) InForce() (hold []Decision, replaced []Replaced) {
	type key struct {
		bed, species, season, permit string
		from                         Day
	}
	of := func(d Decision) key {
		return key{d.Bed, d.Species, strings.ToLower(strings.TrimSpace(d.Season)), d.Permit, d.From}
	}
	last := map[key]Decision{}
	for _, d := range f.Decisions {
		if l, seen := last[of(d)]; !seen || d.DecidedOn >= l.DecidedOn {
			last[of(d)] = d
		}
	}
	for _, d := range f.Decisions {
		if l := last[of(d)]; d.DecidedOn < l.DecidedOn {
			replaced = append(replaced, Replaced{d, l})
		} else {
			hold = append(hold, d)
		}
	}
	return hold, replaced
}
