package growth

import (
	"fmt"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// signs are residuals of m positive and n negative values in r runs.
func signs(m, n, r int) []float64 {
	var out []float64
	for k := range r {
		v, left := 1.0, &m
		if k%2 == 1 {
			v, left = -1, &n
		}
		count := 1
		if k >= r-2 { // the last run of either sign takes the rest
			count = *left
		}
		for range count {
			out = append(out, v)
			*left--
		}
	}
	return out
}

// The probabilities are those of counting every order, testdata/lsq.R.
func TestRunsAgainstEveryOrder(t *testing.T) {
	ref := readReference(t)
	for _, c := range [][2]int{{3, 4}, {5, 8}, {2, 9}, {7, 7}} {
		m, n := c[0], c[1]
		few, p := ref[fmt.Sprintf("runs%dof%d few", m, n)], ref[fmt.Sprintf("runs%dof%d p", m, n)]
		require.Len(t, few, 2*min(m, n))
		for i := range few {
			if i+2 > m+n {
				continue // no order has so many runs
			}
			r := countRuns(signs(max(m, n), min(m, n), i+2)) // where one sign has a run more it is the commoner
			require.Equal(t, i+2, r.Runs)
			approx(t, fmt.Sprintf("few %v %d", c, i+2), r.PFew, few[i], 1e-11, 0)
			approx(t, fmt.Sprintf("p %v %d", c, i+2), r.P, p[i], 1e-11, 0)
		}
	}
}

// Swed & Eisenhart (1943), Annals of Mathematical Statistics 14, 66-87: of 10 and 10 signs, 6 is the largest number of
// runs that is significantly few at 5 % one-sided (from memory); of many signs the count is near normal.
func TestRunsOfManySigns(t *testing.T) {
	assert.Less(t, countRuns(signs(10, 10, 6)).PFew, 0.05)
	assert.Greater(t, countRuns(signs(10, 10, 7)).PFew, 0.05)
	r := countRuns(signs(400, 500, 420))
	mean := 1 + 2*400.0*500/900
	sd := math.Sqrt(2 * 400 * 500 * (2*400.0*500 - 900) / (900 * 900 * 899))
	approx(t, "expected", r.Expected, mean, 1e-12, 0)
	approx(t, "normal limit", r.PFew, 0.5*math.Erfc((mean-420.5)/sd/math.Sqrt2), 0, 2e-4) // second order left out: about 1e-4
}

func TestRunsFollowX(t *testing.T) {
	x := []float64{3, 1, 4, 2, 5}
	f := Fit{Residual: []float64{-1, 1, -1, 0, 2}}
	assert.Equal(t, 3, f.Runs(x).Runs)   // + 0 - - +
	assert.Equal(t, 4, f.Runs(nil).Runs) // - + - 0 +
	assert.Equal(t, 2, f.Runs(x).Above)
	assert.Panics(t, func() { f.Runs(x[:1]) })
	one := Fit{Residual: []float64{1, 2, 0}}.Runs(nil)
	assert.True(t, math.IsNaN(one.P) && math.IsNaN(one.PFew))
	assert.Equal(t, 1, one.Runs)
}
