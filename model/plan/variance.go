package plan

import "math"

// Layer is a stratum of a bed that gets transects of its own.
type Layer struct {
	Label string
	Area  float64 // m2
	Units float64 // transects that it would hold; 0: without number
	Size  float64 // quadrats that a transect would hold, the whole layer where Units is 0; 0: without number
}

// Spread is how one species varies within a layer.
type Spread struct {
	Between float64 // variance of the true means of transects, (kg/m2)²
	Within  float64 // variance of quadrats about the mean of their transect, (kg/m2)²
	Rest    float64 // variance of weight about what cover tells of it, within transects, (kg/m2)²
	Origin  Origin  // what the three were estimated from, for their own error
}

// Origin is what the variances of a [Spread] were estimated from.
type Origin struct {
	Means     float64 // variance of the means of the transects that were visited, (kg/m2)²
	PerMean   float64 // quadrats that such a mean is of (harmonic mean)
	MeansDF   float64 // degrees of freedom; 0: not known
	WithinDF  float64
	RestDF    float64
	Pretended bool // the values are not estimates but guesses
}

// Subject is a species to be estimated on a bed.
type Subject struct {
	Species string
	Total   float64  // kg on the bed, > 0
	AreaCV  float64  // coefficient of variation that the bed's area adds, whatever the plan
	Need    int      // least number of quadrats to weigh, unless all are; 0: any
	Spreads []Spread // by layer
}

// Effort is how much is done on a bed: the same on every transect, so that every quadrat of the bed has the same chance
// to be weighed, as the ratio of weight to cover asks for.
type Effort struct {
	Quadrats  int   // on a transect, m
	Weigh     int   // of these weighed, g
	Transects []int // by layer, n_h
}

// All is the number of transects.
func (e Effort) All() int {
	n := 0
	for _, v := range e.Transects {
		n += v
	}
	return n
}

// Variance is the expected variance of a species' total on a bed, kg²,
//
//	V = Σ_h A_h² ( (S_b² + S_w²/m + S_r² (1/g - 1/m)) / n_h - (S_b² + S_w²/M_h) / N_h )
//
// with n_h of N_h transects in layer h, m of M_h quadrats on each, and g of them weighed; S_b² is the variance of the
// true means of transects less what the M_h quadrats of one add, S_w² that within transects, S_r² that of weight about
// what cover tells. It is that of two stages with the second phase on every transect: where all is weighed, g = m, the
// third term is gone. N_h and M_h without number leave their corrections out. Where quadrats are drawn without transects
// S_b² is 0, a transect is no more than m quadrats, and M_h alone is the number of all quadrats.
//
// References:
//   - Cochran, W. G.: Sampling Techniques, 3rd ed. Wiley (1977), sections 5.3, 10.3, 12.6-12.8
func (s Subject) Variance(layers []Layer, e Effort) float64 {
	v := 0.0
	for h, l := range layers {
		v += s.each(layers, h, e.Quadrats, e.Weigh)/float64(e.Transects[h]) - s.spared(l, h)
	}
	return max(0, v)
}

// each is what one transect in layer h leaves of the variance: V_h = each/n_h - spared.
func (s Subject) each(layers []Layer, h, quadrats, weigh int) float64 {
	l, p := layers[h], s.Spreads[h]
	m, g := float64(quadrats), float64(weigh)
	return l.Area * l.Area * (p.Between + p.Within/m + p.Rest*(1/g-1/m))
}

// spared is what the finite number of transects takes off.
func (s Subject) spared(l Layer, h int) float64 {
	p := s.Spreads[h]
	within := 0.0
	if l.Size > 0 {
		within = p.Within / l.Size
	}
	if l.Units <= 0 {
		return l.Area * l.Area * within
	}
	return l.Area * l.Area * (p.Between + within) / l.Units
}

// SampleCV is the expected coefficient of variation of the total, areas as if known.
func (s Subject) SampleCV(layers []Layer, e Effort) float64 {
	return math.Sqrt(s.Variance(layers, e)) / s.Total
}

// CV is the expected coefficient of variation with the error of the bed's area (Goodman 1960).
func (s Subject) CV(layers []Layer, e Effort) float64 {
	return withArea(s.SampleCV(layers, e), s.AreaCV)
}

func withArea(c, a float64) float64 { return math.Sqrt(c*c + a*a*max(0, 1-c*c)) }

// WithoutArea is the sampling error that leaves a total the coefficient of variation cv, where its area has one of a; NaN
// where that alone is above.
func WithoutArea(cv, a float64) float64 {
	c2 := (cv*cv - a*a) / (1 - a*a)
	if c2 <= 0 || a >= 1 {
		return math.NaN()
	}
	return math.Sqrt(c2)
}

// Costs are the minutes of a team.
type Costs struct {
	Quadrat  float64 // to read one quadrat
	Weigh    float64 // to clip and weigh one
	Transect float64 // to find and lay out one transect
	Visit    float64 // to reach a bed and leave it, once a tide
	Tide     float64 // there are on the shore at one low water, Visit included
}

// transect is what one transect costs.
func (c Costs) transect(quadrats, weigh int) float64 {
	return c.Transect + float64(quadrats)*c.Quadrat + float64(weigh)*c.Weigh
}

// Work is the minutes on a bed without getting there.
func (c Costs) Work(e Effort) float64 { return float64(e.All()) * c.transect(e.Quadrats, e.Weigh) }

// Tides is the number of low waters that so many minutes of work take.
func (c Costs) Tides(work float64) int {
	return max(1, int(math.Ceil(work/(c.Tide-c.Visit)-1e-9)))
}

// Minutes is the work with getting there.
func (c Costs) Minutes(work float64) float64 { return work + float64(c.Tides(work))*c.Visit }
