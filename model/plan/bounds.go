package plan

import "math"

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
