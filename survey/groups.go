package survey

// groups gives rows that belong together one number, counted from 0 in the order in which they are met.
type groups struct {
	of []int32 // by row; -1: in none
	n  int
}

// groupIDs groups rows by an interned text. Where blank says so, rows without it are in no group.
func groupIDs(ids []uint32, blank bool) groups {
	g := groups{of: make([]int32, len(ids))}
	var place []int32 // number + 1, by id
	for i, id := range ids {
		if blank && id == 0 {
			g.of[i] = -1
			continue
		}
		for int(id) >= len(place) {
			place = append(place, make([]int32, int(id)+1)...)
		}
		if place[id] == 0 {
			g.n++
			place[id] = int32(g.n)
		}
		g.of[i] = place[id] - 1
	}
	return g
}

// groupDays groups rows by their day; those without one are a group of their own.
func groupDays(days []Day) groups {
	g := groups{of: make([]int32, len(days))}
	place := map[Day]int32{}
	var last Day
	at := int32(-1)
	for i, d := range days {
		if at < 0 || d != last {
			k, ok := place[d]
			if !ok {
				k = int32(g.n)
				place[d] = k
				g.n++
			}
			last, at = d, k
		}
		g.of[i] = at
	}
	return g
}

// cross groups rows that are together in both; a row that is in none of one is in none.
func cross(a, b groups) groups {
	out := groups{of: make([]int32, len(a.of))}
	pairs := newPairs(a.n, b.n, len(a.of))
	lastA, lastB, at := int32(-1), int32(-1), int32(-1)
	for i, x := range a.of {
		y := b.of[i]
		switch {
		case x < 0 || y < 0:
			out.of[i] = -1
			continue
		case x != lastA || y != lastB:
			lastA, lastB, at = x, y, pairs.number(x, y)
		}
		out.of[i] = at
	}
	out.n = pairs.n
	return out
}

// pairNumbers numbers pairs of groups in the order in which they are met: in a table where it is no larger than a few
// rows, else in a map.
type pairNumbers struct {
	n     int
	width int
	table []int32 // number + 1
	rare  map[int]int32
}

func newPairs(a, b, rows int) *pairNumbers {
	p := &pairNumbers{width: b}
	if a <= (4*rows+64)/max(1, b) {
		p.table = make([]int32, a*b)
	} else {
		p.rare = map[int]int32{}
	}
	return p
}

func (p *pairNumbers) number(x, y int32) int32 {
	k := int(x)*p.width + int(y)
	at := int32(0)
	if p.table != nil {
		at = p.table[k]
	} else {
		at = p.rare[k]
	}
	if at > 0 {
		return at - 1
	}
	p.n++
	if p.table != nil {
		p.table[k] = int32(p.n)
	} else {
		p.rare[k] = int32(p.n)
	}
	return int32(p.n - 1)
}
