package survey

import (
	"math"
)

// design is the sampling design of one survey of a bed: quadrats in strata, gathered in sampling units (transects,
// else the quadrats themselves).
//
// Units are ultimate clusters: the variance between them holds all there is within them. Strata that share a transect
// form one group: the variance is that of the transects' sums over all its strata, so that covariances between strata
// are kept. Groups are independent.
type design struct {
	strata  []stratum
	stratum []int32   // per quadrat: index in strata
	unit    []int32   // per quadrat: sampling unit
	m2      []float64 // per quadrat: size, m2

	units  int
	group  []int32 // per unit
	inside []int   // per group: number of units
	area   float64 // m2 of all strata
	areaSE float64 // standard error of area where the strata have none of their own, else 0
	lonely string

	fpc     []float64 // per group: 1 - n/N, what is left of the variance when n of N units were visited; nil: no correction
	byGroup bool      // degrees of freedom by the variances of the groups, not by counting units
}

// stratum is a part of the bed with its own area.
type stratum struct {
	label        string
	area, areaSE float64
	units        int
}

// lonelyStrata are the labels of strata with a single sampling unit, where there is more than one unit in all.
func (d *design) lonelyStrata() []string {
	var out []string
	for _, s := range d.strata {
		if s.units == 1 && d.units > 1 {
			out = append(out, s.label)
		}
	}
	return out
}

// df is the number of sampling units less the number of independent groups of strata.
func (d *design) df() float64 { return float64(d.units - len(d.inside)) }

// bedTotal is a linearised total over the bed.
type bedTotal struct {
	means  []float64 // per stratum
	total  float64   // Σ A_h ybar_h
	unit   []float64 // per sampling unit: its part of the linearised total
	weight []float64 // per quadrat: A_h m2 / Σ m2; 0 where y is missing
}

// total estimates the total of y, an amount per m2 known per quadrat (NaN: missing), over the bed:
//
//	B = Σ_h A_h ybar_h,   ybar_h = Σ m2 y / Σ m2
//
// Every unit's part is Σ w (y - ybar_h) with w = A_h m2 / Σ m2, the linear form of the ratio to size. In a stratum with
// a single unit that would be 0 whatever was found; with lonely = "adjust" y is then taken from the mean of the whole
// bed, as R survey does for means.
//
// References:
//   - Särndal, C.-E., Swensson, B. and Wretman, J.: Model Assisted Survey Sampling. Springer (1992), sections 5.5-5.6
//   - Lumley, T.: Complex Surveys. Wiley (2010), appendix A and the documentation of survey.lonely.psu
func (d *design) total(y []float64) bedTotal {
	s := bedTotal{means: make([]float64, len(d.strata)), unit: make([]float64, d.units), weight: make([]float64, len(y))}
	size := make([]float64, len(d.strata))
	for i, v := range y {
		if !math.IsNaN(v) {
			size[d.stratum[i]] += d.m2[i]
			s.means[d.stratum[i]] += d.m2[i] * v
		}
	}
	for h := range s.means {
		s.means[h] /= size[h]
		s.total += d.strata[h].area * s.means[h]
	}
	center := d.centers(s)
	for i, v := range y {
		if h := d.stratum[i]; !math.IsNaN(v) {
			s.weight[i] = d.strata[h].area * d.m2[i] / size[h]
			s.unit[d.unit[i]] += s.weight[i] * (v - center[h])
		}
	}
	return s
}

// centers is what the y of each stratum are measured from.
func (d *design) centers(s bedTotal) []float64 {
	out := append([]float64(nil), s.means...)
	if d.lonely == "adjust" && d.units > 1 {
		for h, st := range d.strata {
			if st.units == 1 {
				out[h] = s.total / d.area
			}
		}
	}
	return out
}

// cov is the covariance of two linearised totals given by their parts per sampling unit,
//
//	Σ_g f_g n_g/(n_g - 1) Σ_c (a_c - abar_g)(b_c - bbar_g)
//
// over groups g of n_g units, with f_g the finite population correction (1 where there is none). A group of one unit
// counts with the product of its parts (lonely "adjust"), not at all ("certainty"), or like the mean of the other
// groups ("average"). It is NaN with one unit in all.
func (d *design) cov(a, b []float64) float64 {
	if d.units < 2 {
		return math.NaN()
	}
	v, known := 0.0, 0
	for g, c := range d.groupCov(a, b) {
		if d.inside[g] > 1 || d.lonely == "adjust" || d.lonely == "certainty" {
			v += c
			known++
		}
	}
	return v * float64(len(d.inside)) / float64(known)
}

// groupCov is the part of [design.cov] of each group, 0 for one unit that does not count.
func (d *design) groupCov(a, b []float64) []float64 {
	groups := len(d.inside)
	ma, mb, ab := make([]float64, groups), make([]float64, groups), make([]float64, groups)
	for c, g := range d.group {
		ma[g] += a[c] / float64(d.inside[g])
		mb[g] += b[c] / float64(d.inside[g])
	}
	for c, g := range d.group {
		ab[g] += (a[c] - ma[g]) * (b[c] - mb[g])
	}
	for g, n := range d.inside {
		switch {
		case n > 1:
			ab[g] *= float64(n) / float64(n-1)
		case d.lonely == "adjust":
			ab[g] = ma[g] * mb[g]
		}
		if d.fpc != nil {
			ab[g] *= d.fpc[g]
		}
	}
	return ab
}

// areaVariance is the part of the variance of a total that the uncertainty of the areas adds, by Goodman's formula for
// the product of two independent estimates:
//
//	v(A ybar) = A² v(ybar) + ybar² v(A) - v(A) v(ybar)
//
// of which the last two terms are returned, summed over strata and not below 0. sampled is the variance of the total
// with areas as if known.
//
// References:
//   - Goodman, L. A.: On the exact variance of products. Journal of the American Statistical Association 55 (1960)
//     708-713
func (d *design) areaVariance(y []float64, s bedTotal, sampled float64) float64 {
	if d.areaSE > 0 {
		cv2 := d.areaSE * d.areaSE / (d.area * d.area)
		return max(0, cv2*(s.total*s.total-orZero(sampled)))
	}
	v := 0.0
	for h, st := range d.strata {
		if st.areaSE > 0 {
			v += st.areaSE * st.areaSE * max(0, s.means[h]*s.means[h]-orZero(d.meanVariance(y, s, h)))
		}
	}
	return v
}

// meanVariance is the variance of the mean of one stratum, NaN for a single unit.
func (d *design) meanVariance(y []float64, s bedTotal, h int) float64 {
	parts := map[int32]float64{}
	for i, v := range y {
		if int(d.stratum[i]) == h && !math.IsNaN(v) {
			parts[d.unit[i]] += s.weight[i] / d.strata[h].area * (v - s.means[h])
		}
	}
	n, ss := float64(len(parts)), 0.0
	for i := range d.unit { // in the order of the quadrats, so that the sum has one value
		if p, ok := parts[d.unit[i]]; ok {
			ss += p * p
			delete(parts, d.unit[i])
		}
	}
	if n < 2 {
		return math.NaN()
	}
	if d.fpc != nil {
		ss *= d.fpc[h] // quadrats are the units: a stratum is a group
	}
	return ss * n / (n - 1)
}

// effect is the design effect: the variance of the total over that of a simple random sample of as many quadrats with
// the same weighted variance (R survey's deff = "replace"); NaN where nothing varies.
func (d *design) effect(y []float64, s bedTotal, sampled float64) float64 {
	n, w, sw := 0.0, 0.0, 0.0
	for i, v := range y {
		if !math.IsNaN(v) {
			n++
			w += s.weight[i]
			sw += s.weight[i] * v
		}
	}
	m, ss := sw/w, 0.0
	for i, v := range y {
		if !math.IsNaN(v) {
			ss += s.weight[i] * (v - m) * (v - m)
		}
	}
	if ss == 0 || n < 2 {
		return math.NaN()
	}
	return sampled / (w * ss / (n - 1)) // w² s²/n with s² = n/(n-1) Σ w (y-m)²/w
}

// orZero is v, 0 where it is NaN.
func orZero(v float64) float64 {
	if math.IsNaN(v) {
		return 0
	}
	return v
}
