package plan

import "math"

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

// Least is the effort with the least work by which every subject's sampling coefficient of variation is at most its
// target; of several the one whose worst subject lies furthest below. ok is false where the limits allow none.
//
// For each number of quadrats and weighings on a transect the number of transects that is needed is at least the one
// without the rounding to whole numbers,
//
//	n >= (Σ_h sqrt(Q_h))² / (V + Σ_h C_h),   V_h = Q_h/n_h - C_h
//
// (Neyman 1934, by the Cauchy-Schwarz inequality) for every subject; from there on upwards whole numbers are tried, all
// of them up to five layers. Of more layers (and where limits on the number of transects leave too many to try) they are
// found by adding transects one by one where the worst subject gains most, which is exact for one subject (Wright 2012)
// and near it for several.
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
