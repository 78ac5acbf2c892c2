package survey

import (
	"slices"
	"strings"
)

// typedKeys are the columns that name a row of the tables without a key, as far as they do.
var typedKeys = map[string][]string{
	"harvest.csv":  {"bed", "date", "species", "permit"},
	"fronds.csv":   {"bed", "date", "stratum", "transect", "quadrat", "species"},
	"setaside.csv": {"file", "bed", "date", "quadrat", "species"},
}

// typedPair is a row of the first typing and its like in the second; -1 where there is none.
type typedPair struct{ a, b int }

// matcher pairs the rows of two typings.
type matcher struct {
	spec   *tableSpec
	a, b   *typing
	key    []int // columns of the key that both files have
	others []int // the other columns that both have
	pairs  []typedPair
	taken  []bool // rows of b with a pair
}

func newMatcher(spec *tableSpec, a, b *typing) *matcher {
	m := &matcher{spec: spec, a: a, b: b, taken: make([]bool, len(b.rows))}
	key := spec.key
	if key == nil {
		key = typedKeys[spec.file]
	}
	for i, c := range spec.columns {
		if a.columns[i] < 0 || b.columns[i] < 0 {
			continue
		}
		if slices.Contains(key, c.name) {
			m.key = append(m.key, i)
		} else {
			m.others = append(m.others, i)
		}
	}
	return m
}

// match pairs rows of equal key, then those left that differ in one cell of the key; the pairs come in the order of the
// first file, rows of the second alone at the end.
func (m *matcher) match() []typedPair {
	like := map[string][]int{}
	for j := range m.b.rows {
		k := m.named(m.b, j, -1)
		like[k] = append(like[k], j)
	}
	groups := map[string][]int{}
	var order []string
	for i := range m.a.rows {
		k := m.named(m.a, i, -1)
		if groups[k] == nil {
			order = append(order, k)
		}
		groups[k] = append(groups[k], i)
	}
	for _, k := range order {
		m.align(groups[k], like[k])
	}
	m.slips()
	slices.SortFunc(m.pairs, func(p, q typedPair) int { return p.a - q.a })
	for j, taken := range m.taken {
		if !taken {
			m.pairs = append(m.pairs, typedPair{-1, j})
		}
	}
	return m.pairs
}

// named is the key of a row, without the column given.
func (m *matcher) named(t *typing, row, without int) string {
	var b strings.Builder
	for _, k := range m.key {
		if k != without {
			b.WriteString(m.spec.columns[k].keyTyped(t.cell(row, k)))
		}
		b.WriteByte(0)
	}
	return b.String()
}

func (m *matcher) pair(i, j int) {
	m.pairs = append(m.pairs, typedPair{i, j})
	if j >= 0 {
		m.taken[j] = true
	}
}

// mostAligned is how many rows of one key are looked at all against all.
const mostAligned = 1000

// align pairs rows of one key in their order so that the fewest cells differ, a row that stands in one file only
// counting as one cell or half of all: the edit distance of Wagner and Fischer (1974).
func (m *matcher) align(a, b []int) {
	if len(a)*len(b) <= 1 || len(a)*len(b) > mostAligned*mostAligned {
		for n, i := range a {
			if n < len(b) {
				m.pair(i, b[n])
			} else {
				m.pair(i, -1)
			}
		}
		return
	}
	alone := max(2, len(m.others)) // in half cells
	width := len(b) + 1
	cost := make([]int, (len(a)+1)*width)
	for i := range len(a) + 1 {
		for j := range width {
			switch at := i*width + j; {
			case i == 0:
				cost[at] = j * alone
			case j == 0:
				cost[at] = i * alone
			default:
				cost[at] = min(cost[at-width-1]+2*m.differing(a[i-1], b[j-1]), cost[at-width]+alone, cost[at-1]+alone)
			}
		}
	}
	for i, j := len(a), len(b); i > 0 || j > 0; {
		at := i*width + j
		switch {
		case i > 0 && j > 0 && cost[at] == cost[at-width-1]+2*m.differing(a[i-1], b[j-1]):
			i, j = i-1, j-1
			m.pair(a[i], b[j])
		case i > 0 && cost[at] == cost[at-width]+alone:
			i--
			m.pair(a[i], -1)
		default:
			j--
		}
	}
}

// differing counts the cells outside the key that two rows have typed differently.
func (m *matcher) differing(i, j int) int {
	n := 0
	for _, k := range m.others {
		if !m.spec.columns[k].sameTyped(m.a.cell(i, k), m.b.cell(j, k)) {
			n++
		}
	}
	return n
}

// slips pairs rows without their like that differ in one cell of the key, where each is the only such row of the other.
func (m *matcher) slips() {
	partner := map[int][]int{} // rows of b, by the place in pairs of the row of a
	back := map[int]int{}      // how many rows of a each row of b fits
	for _, k := range m.key {
		left := map[string][]int{}
		for j, taken := range m.taken {
			if !taken {
				key := m.named(m.b, j, k)
				left[key] = append(left[key], j)
			}
		}
		for n, p := range m.pairs {
			if p.b >= 0 {
				continue
			}
			for _, j := range left[m.named(m.a, p.a, k)] {
				partner[n] = append(partner[n], j)
				back[j]++
			}
		}
	}
	for n := range m.pairs {
		if js := partner[n]; len(js) == 1 && back[js[0]] == 1 {
			m.pairs[n].b = js[0]
			m.taken[js[0]] = true
		}
	}
}
