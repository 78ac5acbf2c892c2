package plan

import (
	"math"
	"slices"
)

// Problem is the survey of one bed to be planned.
type Problem struct {
	Layers   []Layer
	Subjects []Subject
	Costs    Costs
	Limits   Limits
}

// Limits hold a plan to what can be done.
type Limits struct {
	Transects     int // least number in a layer
	MostTransect  int // highest number in a layer
	MostQuadrats  int // highest number on a transect
	LeastQuadrats int // least number on a transect; 0: one
}

// DefaultLimits are two to two hundred transects a stratum and at most twelve quadrats on each.
func DefaultLimits() Limits { return Limits{Transects: 2, MostTransect: 200, MostQuadrats: 12} }

const (
	manyLayers = 5       // layers above which allocations are not tried all
	manyTries  = 500_000 // parts of allocations tried for one number of quadrats and weighings before it is left at that
)

// Least is the effort with the least work by which every subject's sampling coefficient of variation is at most its
// target; of several the one whose worst subject lies furthest below. ok is false where the limits allow none.
//
// For each number of quadrats and weighings on a transect the number of transects that is needed is at least the one
// without the rounding to whole numbers,
//
//	n >= (Σ_h sqrt(Q_h))² / (V + Σ_h C_h),   V_h = Q_h/n_h - C_h
//
// (Neyman 1934, by the Cauchy-Schwarz inequality) for every subject; from there on upwards whole numbers are tried, all
// of them up to five layers. Of more layers (and where limits on the number of transects leave too many to try) they are found by adding transects one by one where the worst subject gains
// most, which is exact for one subject (Wright 2012) and near it for several.
//
// References:
//   - Neyman, J.: On the two different aspects of the representative method. Journal of the Royal Statistical Society
//     97 (1934) 558-625
//   - Cochran, W. G.: Sampling Techniques, 3rd ed. Wiley (1977), sections 5.5, 5A.4, 10.6, 12.7
//   - Wright, T.: The equivalence of Neyman optimum allocation for sampling and equal proportions for apportioning the
//     US House of Representatives. The American Statistician 66 (2012) 217-224
func (p Problem) Least(targets []float64) (best Effort, ok bool) {
	return p.leastWithin(targets, math.Inf(1))
}

// leastWithin is Least, of at most so many minutes of work.
func (p Problem) leastWithin(targets []float64, most float64) (best Effort, ok bool) {
	worst := math.Inf(1)
	for m := max(1, p.Limits.LeastQuadrats); m <= p.mostQuadrats(); m++ {
		for g := 1; g <= m; g++ {
			s := p.search(m, g, targets)
			if s.from > s.to || float64(s.from)*s.cost > most {
				continue
			}
			if n, ratio, found := s.run(most); found {
				if work := float64(total(n)) * s.cost; !ok || work < most || work == most && ratio < worst {
					best, most, worst, ok = Effort{m, g, n}, work, ratio, true
				}
			}
		}
	}
	return best, ok
}

// mostQuadrats is the highest number of quadrats on a transect.
func (p Problem) mostQuadrats() int {
	m := p.Limits.MostQuadrats
	for _, l := range p.Layers {
		if l.Size > 0 && l.Units > 0 {
			m = min(m, int(l.Size))
		}
	}
	return m
}

// search looks for numbers of transects with m quadrats each.
type search struct {
	q      [][]float64 // by subject and layer: variance of one transect, kg²
	room   []float64   // by subject: variance allowed, with what finite numbers take off
	tail   [][]float64 // by subject and layer: Σ sqrt(q) from that layer on
	lo, hi []int       // by layer
	loTail []int       // Σ lo from a layer on
	hiTail []int
	from   int // least number of transects in all
	to     int
	cost   float64 // of a transect

	n, best []int
	ratio   float64
	tries   int
}

func (p Problem) search(m, g int, targets []float64) *search {
	s := &search{cost: p.Costs.transect(m, g)}
	for _, l := range p.Layers {
		lo, hi := p.Limits.Transects, p.Limits.MostTransect
		if l.Units > 0 {
			hi = min(hi, int(l.Units))
			lo = min(lo, hi)
		}
		s.lo, s.hi = append(s.lo, lo), append(s.hi, hi)
	}
	s.loTail, s.hiTail = tails(s.lo), tails(s.hi)
	s.from, s.to = s.loTail[0], s.hiTail[0]
	for i, u := range p.Subjects {
		room := targets[i] * targets[i] * u.Total * u.Total
		row := make([]float64, len(p.Layers))
		for h := range row {
			row[h] = u.each(p.Layers, h, m, g)
			room += u.spared(p.Layers[h], h)
		}
		room *= 1 + 1e-12 // a target that is met to the last digit is met
		s.hold(row, room)
		if g < m {
			s.from = max(s.from, (u.Need+g-1)/g)
		}
	}
	s.holdTogether()
	s.n = make([]int, len(p.Layers))
	return s
}

// hold adds a bound Σ_h q_h/n_h <= room, and what it asks of the number of transects.
func (s *search) hold(q []float64, room float64) {
	tail := make([]float64, len(q)+1)
	for h := len(q) - 1; h >= 0; h-- {
		tail[h] = tail[h+1] + math.Sqrt(q[h])
	}
	s.q, s.tail, s.room = append(s.q, q), append(s.tail, tail), append(s.room, room)
	least := 0.0
	for h, v := range q {
		least += v / float64(s.hi[h])
	}
	if least > room {
		s.from = s.to + 1 // not even with all the transects there may be
	}
	if tail[0] > 0 {
		s.from = max(s.from, int(min(1e9, math.Ceil(tail[0]*tail[0]/room*(1-1e-9)))))
	}
}

// holdTogether adds the bound of a weighted mean of the subjects, which whatever keeps every single bound keeps too. The
// weights are those by which it asks for most transects: where a subject is worst off with the transects that suit the
// mean best, it gets more weight, until all that count are off alike. So few numbers are tried in vain.
func (s *search) holdTogether() {
	if len(s.q) < 2 {
		return
	}
	weight := make([]float64, len(s.q))
	for i := range weight {
		weight[i] = 1 / float64(len(weight))
	}
	layers := len(s.lo)
	q := make([]float64, layers)
	for step := 0; ; step++ {
		sum := 0.0
		for h := range q {
			q[h] = 0
			for i, w := range weight {
				q[h] += w * share(s.q[i][h], s.room[i])
			}
			sum += math.Sqrt(q[h])
		}
		if step == 60 || sum == 0 {
			break
		}
		all := 0.0
		for i := range weight {
			v := 0.0
			for h := range q {
				v += share(share(s.q[i][h], s.room[i]), math.Sqrt(q[h])/sum)
			}
			weight[i] *= v
			all += weight[i]
		}
		for i := range weight {
			weight[i] /= all
		}
	}
	s.hold(q, 1+1e-12)
}

// run finds the least numbers that meet all targets at no more than a cost.
func (s *search) run(most float64) (n []int, ratio float64, ok bool) {
	for all := s.from; all <= s.to && float64(all)*s.cost <= most; all++ {
		s.best, s.ratio = nil, math.Inf(1)
		if len(s.n) <= manyLayers && s.tries <= manyTries {
			s.try(0, all, make([]float64, len(s.q)))
		}
		if s.best == nil && (len(s.n) > manyLayers || s.tries > manyTries) {
			s.climb(all)
		}
		if s.best != nil {
			return s.best, s.ratio, true
		}
	}
	return nil, 0, false
}

// try lays out the layers from h on over so many transects; spent is the variance of the layers before, by subject.
func (s *search) try(h, left int, spent []float64) {
	if h == len(s.n) {
		if r := s.worst(spent); r <= 1 && r < s.ratio {
			s.best, s.ratio = slices.Clone(s.n), r
		}
		return
	}
	if s.tries++; s.tries > manyTries {
		return
	}
	lo, hi := max(s.lo[h], left-s.hiTail[h+1]), min(s.hi[h], left-s.loTail[h+1])
	for n := lo; n <= hi; n++ {
		now, good := make([]float64, len(spent)), true
		for i := range spent {
			now[i] = spent[i] + s.q[i][h]/float64(n)
			rest := s.tail[i][h+1] * s.tail[i][h+1]
			if left > n {
				rest /= float64(left - n)
			}
			good = good && now[i]+rest*(1-1e-9) <= s.room[i]
		}
		if good {
			s.n[h] = n
			s.try(h+1, left-n, now)
		}
	}
}

// climb adds transects one by one where the subject furthest from its target gains most.
func (s *search) climb(all int) {
	copy(s.n, s.lo)
	for left := all - s.loTail[0]; left > 0; left-- {
		spent := s.spent()
		i := s.worstOf(spent)
		at, gain := -1, -1.0
		for h, n := range s.n {
			if d := s.q[i][h] / float64(n*(n+1)); n < s.hi[h] && d > gain {
				at, gain = h, d
			}
		}
		s.n[at]++
	}
	if r := s.worst(s.spent()); r <= 1 {
		s.best, s.ratio = slices.Clone(s.n), r
	}
}

func (s *search) spent() []float64 {
	out := make([]float64, len(s.q))
	for i := range out {
		for h, n := range s.n {
			out[i] += s.q[i][h] / float64(n)
		}
	}
	return out
}

// worst is the largest share of the room that a subject takes.
func (s *search) worst(spent []float64) float64 {
	if len(spent) == 0 {
		return 0
	}
	i := s.worstOf(spent)
	return share(spent[i], s.room[i])
}

func (s *search) worstOf(spent []float64) int {
	at := 0
	for i := range spent {
		if share(spent[i], s.room[i]) > share(spent[at], s.room[at]) {
			at = i
		}
	}
	return at
}

func share(v, room float64) float64 {
	if v == 0 {
		return 0
	}
	return v / room
}

// tails are the sums of a list from each of its places on.
func tails(n []int) []int {
	out := make([]int, len(n)+1)
	for h := len(n) - 1; h >= 0; h-- {
		out[h] = out[h+1] + n[h]
	}
	return out
}

func total(n []int) int { return tails(n)[0] }
