package offtake

import (
	"slices"
	"sync"
)

// shelf keeps what luck was drawn last: the beds of a species meet the same, and several things are asked of each.
type shelf struct {
	mu   sync.Mutex
	kept []*luck // the last to be asked for at the end
	room int     // how many tiles may be kept, but that asked for last is kept always
}

// drawn is the luck of all stands.
var drawn = shelf{room: 1 << 19}

// of is some luck, drawn where it is not at hand. It must not be changed.
func (s *shelf) of(what luckOf) *luck {
	c := s.find(what)
	c.once.Do(c.draw)
	return c
}

// find takes some luck to the end of the shelf, and from its beginning what there is no room for.
func (s *shelf) find(what luckOf) *luck {
	s.mu.Lock()
	defer s.mu.Unlock()
	c := &luck{luckOf: what}
	if i := slices.IndexFunc(s.kept, func(c *luck) bool { return c.luckOf == what }); i >= 0 {
		c = s.kept[i]
		s.kept = slices.Delete(s.kept, i, i+1)
	}
	s.kept = append(s.kept, c)
	sum := 0
	for i := len(s.kept) - 1; i >= 0; i-- {
		if sum += s.kept[i].tiles(); sum > s.room && i < len(s.kept)-1 {
			s.kept = slices.Delete(s.kept, 0, i+1)
			break
		}
	}
	return c
}
