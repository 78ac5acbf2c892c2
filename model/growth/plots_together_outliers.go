package growth

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/stat/distuv"
)

// deleted fills the studentised deleted residuals and names the outliers.
func (p *PlotsTogether) deleted(y, v []float64) {
	if p.N < 3 {
		return
	}
	limit := outlierLimit(p.N)
	for i := range p.Used {
		yo, vo := slices.Delete(slices.Clone(y), i, i+1), slices.Delete(slices.Clone(v), i, i+1)
		tau2 := remlSpread(yo, vo)
		e := effectsAt(yo, vo, tau2)
		u := &p.Used[i]
		u.Deleted = (y[i] - e.mean) / math.Sqrt(v[i]+tau2+1/e.sw)
		if u.Outlier = math.Abs(u.Deleted) > limit; u.Outlier {
			p.Outliers = append(p.Outliers, u.Plot)
		}
	}
}

// outlierLimit is the studentised deleted residual beyond which one of n plots is an outlier: t at 0.05/n, two-sided, so
// that one of all is named without reason in about 5 of 100 species. See [Together].
func outlierLimit(n int) float64 {
	return distuv.StudentsT{Mu: 0, Sigma: 1, Nu: float64(n - 2)}.Quantile(1 - 0.025/float64(n))
}
