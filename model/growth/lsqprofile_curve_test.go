package growth

import (
	"fmt"
	"math"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/stat/distuv"
)

// Profile limits against R (testdata/lsq.R): where its own minimiser puts the profile t at the quantile, and MASS's
// confint, which interpolates the profile of nls on a grid: to 1e-4, but for the two series of few points with the most
// bent profiles, where its grid is coarser (the exact limits agree there as elsewhere).
func TestProfileAgainstR(t *testing.T) {
	ref := readReference(t)
	coarse := map[string]float64{"Orange2": 2e-4, "Loblolly301": 4e-4}
	for name, f := range referenceCases(t) {
		for j := range f.Params {
			p := f.Profile(j, 0.95)
			assert.Nil(t, p.Better, name)
			for i, got := range []float64{p.Lo, p.Hi} {
				what := fmt.Sprintf("%s parameter %d %d", name, j+1, i)
				approx(t, what, got, ref[fmt.Sprintf("%s limit%d", name, j+1)][i], 1e-6, 0)
				tol := 1e-4
				if c, ok := coarse[name]; ok {
					tol = c
				}
				approx(t, what+" confint", got, ref[fmt.Sprintf("%s confint%d", name, j+1)][i], tol, 0)
			}
		}
	}
}

// The curve rises through the estimate, has t = ∓ the quantile at the limits, and its sums of squares are what the
// model has at the values with the others.
func TestProfileCurve(t *testing.T) {
	for name, f := range referenceCases(t) {
		q := distuv.StudentsT{Mu: 0, Sigma: 1, Nu: float64(f.DF)}.Quantile(0.975)
		for j := range f.Params {
			p := f.Profile(j, 0.95)
			require.Len(t, p.Values, 2*profileSide+1, name)
			assert.True(t, slices.IsSorted(p.Values) && slices.IsSorted(p.T), "%s %d: %v %v", name, j, p.Values, p.T)
			at := slices.Index(p.Values, f.Params[j])
			require.Equal(t, profileSide, at)
			assert.Zero(t, p.T[at])
			assert.Less(t, p.T[0], -q)
			assert.Greater(t, p.T[len(p.T)-1], q)
			lo := at - int(profileSide/profileBeyond) // the tenth of twelve values is the limit
			approx(t, name+" t at the lower limit", p.T[lo], -q, 1e-5, 0)
			approx(t, name+" the lower limit", p.Values[lo], p.Lo, 1e-12, 0)
			for i, v := range p.Values {
				full := slices.Insert(slices.Clone(p.Others[i]), j, v)
				pr := newProfile(f.problem.model, f.problem.y, f, j)
				approx(t, name+" rss", pr.sumSquares(full), p.RSS[i], 1e-12, 0)
				approx(t, name+" t", p.T[i]*p.T[i], max(0, p.RSS[i]-f.RSS)/(f.RSD*f.RSD), 1e-10, 1e-10)
			}
		}
	}
}

// Data that only begin to bend set K no upper limit; the curve still tells how the sum of squares goes.
func TestProfileWithoutLimit(t *testing.T) {
	x := []float64{0, 1, 2, 3, 4, 5}
	y := []float64{1.03, 1.62, 2.77, 4.38, 7.5, 11.7} // nearly exponential
	f := NaturalCurve.Fit(x, y, nil, nil)
	require.NoError(t, f.Status.Err())
	p := f.Profile(0, 0.95)
	assert.True(t, math.IsInf(p.Hi, 1))
	assert.Greater(t, p.Lo, 11.7)
	assert.Greater(t, p.Values[len(p.Values)-1], f.Params[0])
	for i := range p.T {
		assert.False(t, math.IsNaN(p.T[i]) || math.IsInf(p.T[i], 0))
	}
}

// A chick whose growth hardly bends: the standard error of K is fourteen times K, and only the bound at 0 keeps the
// first step where K has a meaning. The lower limit is where the profile says so, by a fit with K held there.
func TestProfileOfHardlyBentGrowth(t *testing.T) {
	d := growthData(t)["ChickWeight13"]
	f := NaturalCurve.Fit(d.x, d.y, nil, &LSQSettings{Lower: []float64{0, 0, 0}})
	require.NoError(t, f.Status.Err())
	require.Greater(t, f.SE[0], 10*f.Params[0])
	p := f.Profile(0, 0.95)
	assert.True(t, math.IsInf(p.Hi, 1))
	assert.Greater(t, p.Lo, slices.Max(d.y))
	held := NaturalCurve.Hold(0, p.Lo).Fit(d.x, d.y, p.Others[slices.Index(p.Values, p.Estimate)], nil)
	require.NoError(t, held.Status.Err())
	q := distuv.StudentsT{Mu: 0, Sigma: 1, Nu: float64(f.DF)}.Quantile(0.975)
	approx(t, "t at the limit", math.Sqrt((held.RSS-f.RSS)/(f.RSD*f.RSD)), q, 1e-5, 0)
}

func TestProfilePanicsAndNoiseless(t *testing.T) {
	x := []float64{0, 1, 2, 3}
	f := LeastSquares(line(x), []float64{1, 3, 5, 7}, []float64{0, 0}, nil)
	require.NoError(t, f.Status.Err())
	p := f.Profile(1, 0.9)
	approx(t, "lo", p.Lo, 2, 1e-9, 0)
	approx(t, "hi", p.Hi, 2, 1e-9, 0)
	assert.Empty(t, p.Values)
	assert.Panics(t, func() { f.Profile(0, 1) })
	assert.Panics(t, func() { LeastSquares(line(x[:2]), []float64{1, 3}, []float64{0, 0}, nil).Profile(0, 0.95) })
	assert.Panics(t, func() { NaturalCurve.Fit(x, []float64{1, 1, 1, math.NaN()}, []float64{1, 1, 1}, nil).Profile(0, 0.95) })
}
