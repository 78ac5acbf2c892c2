package survey

import "math"

// Subsample is one sampled cluster (a transect) of which only a part was measured.
type Subsample struct {
	Size float64   // units in the cluster, M_c > 0: quadrats, or an area
	Y    []float64 // the measured units, a random part of the cluster
}

// TwoStageMean is the mean per unit from a random sample of clusters of unequal size, of each of which a random part
// was measured:
//
//	r = Σ M_c ybar_c / Σ M_c
//	v = ( (1 - n/N) s_r² + 1/N Σ M_c² (1 - m_c/M_c) s_c²/m_c ) / (n Mbar²),   s_r² = Σ M_c² (ybar_c - r)²/(n - 1)
//
// with n clusters of N drawn, m_c units of M_c measured with variance s_c², and Mbar the mean of the M_c drawn.
// clusters is N; with +Inf only the variance between clusters is left, which then holds all there is within them. A
// cluster of which one unit was measured has no s_c²; with finite N the SE is then NaN unless it was measured whole.
// DF is n - 1. OK is false without clusters; SE and DF are NaN for one. It panics on a cluster without measured units
// or size, or with more measured units than its size, and on more clusters than there are.
//
// References:
//   - Cochran, W. G.: Sampling Techniques, 3rd ed. Wiley (1977), sections 11.7-11.8
//   - Lohr, S. L.: Sampling: Design and Analysis, 2nd ed. Brooks/Cole (2010), section 5.3
func TwoStageMean(sample []Subsample, clusters float64) Estimate {
	if float64(len(sample)) > clusters {
		panic("survey: more clusters sampled than there are")
	}
	e := missing()
	if len(sample) == 0 {
		return e
	}
	size, sum := 0.0, 0.0
	for _, c := range sample {
		if len(c.Y) == 0 || !(c.Size > 0) || float64(len(c.Y)) > c.Size && !math.IsInf(clusters, 1) {
			panic("survey: cluster without measured units, or with more than it holds")
		}
		size, sum = size+c.Size, sum+c.Size*mean(c.Y)
	}
	e.OK, e.Value = true, sum/size
	n := float64(len(sample))
	if n < 2 {
		return e
	}
	between, within := 0.0, 0.0
	for _, c := range sample {
		d := c.Size * (mean(c.Y) - e.Value)
		between += d * d / (n - 1)
		if m := float64(len(c.Y)); !math.IsInf(clusters, 1) && m < c.Size {
			within += c.Size * c.Size * (1 - m/c.Size) * variance(c.Y) / m
		}
	}
	v := (1 - n/clusters) * between
	if !math.IsInf(clusters, 1) {
		v += within / clusters
	}
	if v = v * n / (size * size); !math.IsNaN(v) {
		e.SE, e.DF = math.Sqrt(v), n-1
	}
	return e
}

// TwoStageTotal is the total over all clusters from a random sample of n of N clusters, of each of which a random part
// was measured:
//
//	T = N/n Σ t_c,  t_c = M_c ybar_c
//	v = N² (1 - n/N) s_t²/n + N/n Σ M_c² (1 - m_c/M_c) s_c²/m_c
//
// with s_t² the variance of the t_c between clusters. clusters is N and must be finite. Special cases are those of
// [TwoStageMean].
//
// References:
//   - Cochran, W. G.: Sampling Techniques, 3rd ed. Wiley (1977), section 11.7
func TwoStageTotal(sample []Subsample, clusters float64) Estimate {
	if math.IsInf(clusters, 1) || float64(len(sample)) > clusters {
		panic("survey: a total needs the number of clusters, at least as many as were sampled")
	}
	e := missing()
	if len(sample) == 0 {
		return e
	}
	n, within := float64(len(sample)), 0.0
	totals := make([]float64, len(sample))
	for i, c := range sample {
		m := float64(len(c.Y))
		if m == 0 || !(c.Size > 0) || m > c.Size {
			panic("survey: cluster without measured units, or with more than it holds")
		}
		totals[i] = c.Size * mean(c.Y)
		if m < c.Size {
			within += c.Size * c.Size * (1 - m/c.Size) * variance(c.Y) / m
		}
	}
	e.OK, e.Value = true, clusters*mean(totals)
	if n < 2 {
		return e
	}
	v := clusters*clusters*(1-n/clusters)*variance(totals)/n + clusters/n*within
	if !math.IsNaN(v) {
		e.SE, e.DF = math.Sqrt(v), n-1
	}
	return e
}
