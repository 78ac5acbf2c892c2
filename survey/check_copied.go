package survey

// chanceCopies is the expected number of quadrats of a folder that are equal by chance, below which equal ones are
// taken for copies.
const chanceCopies = 1e-3

// fewestQuadrats is how many quadrats tell how often a number is met.
const fewestQuadrats = 30

// copied notes quadrats whose rows are equal in every value to those of another, and runs of quadrats equal one by one
// to an earlier run, more than chance makes them: one sheet was typed twice, or a block of rows pasted.
//
// The chance that a quadrat has given values is taken as the product, over its rows and numbers, of the share of the
// species' rows that hold the same number; that of a run is the product over its quadrats. Of n quadrats there are n
// neighbours and n (n-1) / 2 pairs to be equal by chance. Numbers go together (a thick cover weighs more), so that the
// chance is larger in truth; the limit leaves room for it (testdata/falsealarms.txt, by
// .ci/long/falsealarms).
func (c *checker) copied(first []int32) *copyList {
	copies := &copyList{checker: c, at: map[[4]uint32]int{}}
	quads := c.f.Quadrats.visited(first)
	if len(quads.first) < fewestQuadrats {
		return copies
	}
	like := quads.alike()
	share := sharesOf(quads, like)
	n := float64(len(quads.first))
	last := zeros[int32](len(quads.first)) // by the values, the last quadrat that had them, + 1
	run, chance := []int{}, 1.0            // quadrats that repeat others, one by one
	of := -1                               // what the last of them repeats
	end := func() {
		pairs := n * (n - 1) / 2
		if len(run) > 0 && run[len(run)-1]-of == 1 {
			pairs = n
		}
		if pairs*chance < chanceCopies {
			for _, j := range run {
				copies.add(quads.first[j-(run[len(run)-1]-of)], quads.first[j])
			}
		}
		run, chance = run[:0], 1
	}
	for j, values := range like {
		again := last[values] > 0
		goesOn := len(run) > 0 && of+1 < j && like[of+1] == values
		if !goesOn {
			end()
		}
		switch {
		case goesOn:
			of++
			run, chance = append(run, j), chance*share.chance(quads.of(j))
		case again:
			of = int(last[values]) - 1
			run, chance = append(run, j), share.chance(quads.of(j))
		}
		last[values] = int32(j) + 1
	}
	end()
	return copies
}

// copyList gathers copies by the bed and day that they and their originals stand on.
type copyList struct {
	*checker

	at    map[[4]uint32]int
	order [][2]int32 // the first pair of each
	more  []sites
}

func (l *copyList) add(old, again int32) {
	q := &l.f.Quadrats
	k := [4]uint32{q.Bed[old], uint32(q.Day[old]), q.Bed[again], uint32(q.Day[again])}
	at, ok := l.at[k]
	if !ok {
		at = len(l.order)
		l.at[k] = at
		l.order, l.more = append(l.order, [2]int32{old, again}), append(l.more, sites{})
	}
	l.more[at].add(int(q.Line[again]))
}

func (l *copyList) note() {
	q := &l.f.Quadrats
	for n, pair := range l.order {
		old, again := pair[0], pair[1]
		from := ""
		if q.Bed[old] != q.Bed[again] {
			from = " of bed " + l.f.Names[q.Bed[old]]
		}
		if q.Day[old] != q.Day[again] {
			from += " on " + q.Day[old].String()
		}
		l.found.doubt("quadrats.csv", int(q.Line[again]), "quadrat", "look at the sheet: was one quadrat typed, or a block of rows pasted, twice?",
			"quadrat %s has the same values throughout as %s%s in line %d, which chance does not make%s", l.quadratName(again), l.quadratName(old),
			from, q.Line[old], l.more[n].also())
	}
}
