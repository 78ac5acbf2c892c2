package growth

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/stat/distuv"
)

// testRun is a run of the five surveys, warmed up.
func testRun(t testing.TB) *poolRun {
	s, prior, season, plots, set := fiveSurveys()
	return runOf(t, []BedSeries{{"bed", s}}, prior, season, plots, set)
}

// runOf is a run of some beds, warmed up.
func runOf(t testing.TB, beds []BedSeries, prior Prior, season Season, plots []PlotEvidence, set Settings) *poolRun {
	set = set.withDefaults()
	set.Chains = 4
	h, _, reason := newHold(prior, plots, season, set)
	require.Empty(t, reason)
	p := &poolRun{hold: h}
	out := Pool{Beds: make([]Posterior, len(beds))}
	var order []int
	for i := range beds {
		order = append(order, i)
	}
	require.Len(t, out.lay(p, beds, order, season, set), len(beds))
	p.start(set)
	p.clear(40)
	p.walk(40)
	p.refit()
	return p
}

// The change of coordinates leads back, and its Jacobian is that of differences.
func TestCoordinates(t *testing.T) {
	r := testRun(t)
	f := r.beds[0].frame
	for trial := range 20 {
		c := r.chains[trial%len(r.chains)].beds[0]
		c.step(&f, func() {})
		d := len(c.x)
		v, back := make([]float64, d), make([]float64, d)
		c.g.drawStorms(c.x, c.storms, c.rng, c.w)
		logJ := f.inverse(c.x, v, c.storms, c.w)
		approx(t, "Jacobian both ways", f.forward(v, back, c.storms, c.w), logJ, 0, 1e-9)
		for i := range back {
			approx(t, "back", back[i], c.x[i], 1e-9, 1e-9)
		}
		jac := mat.NewDense(d, d, nil)
		up, down := make([]float64, d), make([]float64, d)
		for j := range d {
			const h = 1e-5
			v[j] += h
			f.forward(v, up, c.storms, c.w)
			v[j] -= 2 * h
			f.forward(v, down, c.storms, c.w)
			v[j] += h
			for i := range d {
				jac.Set(i, j, (up[i]-down[i])/(2*h))
			}
		}
		num, _ := mat.LogDet(jac)
		approx(t, "Jacobian", logJ, num, 0, 1e-5)
	}
}

// The density against the formulas as they are written, with gonum's distributions.
func TestDensityAsWritten(t *testing.T) {
	r := testRun(t)
	c := r.chains[0].beds[0]
	g := c.g
	plain := func(x []float64) float64 {
		norm := func(x, m, s float64) float64 { return distuv.Normal{Mu: m, Sigma: s}.LogProb(x) }
		lp := norm(x[0], g.logR.mean, g.logR.sd) + norm(x[1], g.logK.mean, g.logK.sd) +
			norm(x[fixed], x[1]+math.Log(0.6), 0.6)
		for j, sd := range g.errSD {
			lp += norm(x[fixed+g.n+j], 0, sd)
		}
		for t, l := range g.links {
			m := -math.Log(l.path.Advance(math.Exp(-x[fixed+t]), math.Exp(x[0]), math.Exp(-x[1])))
			s := math.Sqrt(0.09*x[2]*x[2]*l.dt + l.extra)
			if c.storms[t] {
				lp += math.Log(0.1) + norm(x[fixed+t+1], m+math.Log(0.7), s)
				continue
			}
			lp += math.Log(1-l.p) + norm(x[fixed+t+1], m, s)
		}
		for t, o := range g.obs {
			lp += math.Log(1 - math.Exp(-12*math.Exp(x[fixed+t])/(10000*7)))
			lp += sumLogDensity(o.y-x[fixed+t]-x[fixed+g.n]+o.tau*o.tau/2, o.tau, o.df, logSD(0.08))
		}
		return lp
	}
	var offset float64
	for trial := range 50 {
		c.step(&r.beds[0].frame, func() {})
		diff := g.density(c.x, c.storms, c.w) - plain(c.x)
		if trial == 0 {
			offset = diff
		}
		approx(t, "density but for a constant", diff, offset, 0, 1e-5) // the table of fold
	}
}

// sumLogDensity is the log density at e of a t with the scale tau and a normal with the sd s, added, by a plain sum over a
// fine grid.
func sumLogDensity(e, tau, df, s float64) float64 {
	var sum float64
	h := math.Min(tau, s) / 50
	for c := -10 * s; c <= 10*s; c += h {
		sum += h * distuv.Normal{Sigma: s}.Prob(c) * distuv.StudentsT{Mu: c, Sigma: tau, Nu: df}.Prob(e)
	}
	return math.Log(sum)
}

func TestFold(t *testing.T) {
	for _, c := range []struct{ tau, df, s float64 }{{0.2, 4, 0.1}, {0.05, 9, 0.3}, {0.3, 1, 0.3}, {0.2, 200, 0.2},
		{0.01, 3, 0.2}, {0.5, 6, 0.02}} {
		f := folds(nil).of(c.tau, c.df, c.s)
		at0 := sumLogDensity(0, c.tau, c.df, c.s)
		for _, e := range []float64{0.01, 0.1, 0.3, 0.6, 1, 2, 4} {
			want := sumLogDensity(e, c.tau, c.df, c.s) - at0
			approx(t, "fold", f.at(e)-f.at(0), want, 3e-5, 1e-5)
			approx(t, "symmetry", f.at(-e), f.at(e), 0, 0)
		}
	}
	f := folds(nil).of(0.3, 5, 0) // a t alone
	for _, e := range []float64{0, 0.01, 0.1, 1, 3, 6} {
		approx(t, "t", f.at(e)-f.at(0), -3*math.Log1p(e*e/(5*0.09)), 1e-6, 1e-6)
	}
	f = folds(nil).of(0.1, 4, 0.1)
	assert.True(t, math.IsNaN(f.at(math.NaN())))
	approx(t, "tail of a t", f.at(2000)-f.at(1000), -5*math.Log(2), 0.01, 0)
}

// Surveys of as many degrees of freedom share a table, whatever their errors; those with an error of their own beside have another.
func TestSurveysShareTheTableOfTheirError(t *testing.T) {
	made := folds{}
	for _, tau := range []float64{0.02, 0.1, 0.7} {
		for _, e := range []float64{0, 0.03, 0.4, -0.2} {
			approx(t, "a t", made.of(tau, 6, 0).at(e), -3.5*math.Log1p(e*e/(6*tau*tau)), 1e-5, 1e-6)
		}
	}
	require.Len(t, made, 1)
	shared, own := made.of(0.1, 6, 0.1), folds(nil).of(0.1, 6, 0.1)
	require.Len(t, made, 2)
	require.Equal(t, own, shared)
	require.NotSame(t, own.foldTable, shared.foldTable)
	require.Same(t, shared.foldTable, made.of(0.3, 6, 0.3).foldTable)
}

// The prior of log r against 2e5 draws weighed by the plots is in TestPosteriorAgainstBruteForce; here the closed form
// at its ends.
func TestBedLogR(t *testing.T) {
	prior := Prior{R: 0.5, RCV: 0.6, K: 1}
	bedLogR := func(prior Prior, plots []PlotEvidence, season Season, spread float64) (normal, []string) {
		h, w, reason := newHold(prior, plots, season, Settings{SigmaR: spread})
		require.Empty(t, reason)
		return h.bedR().normal(), w
	}
	alone, w := bedLogR(prior, nil, Season{}, 0.3)
	assert.Empty(t, w)
	approx(t, "mean", alone.mean, math.Log(0.5), 1e-12, 0)
	approx(t, "variance", alone.sd*alone.sd, math.Log(1.36)+0.09, 1e-4, 0) // up to five scales by 200 steps
	// Plots without end leave the variance v 0.25/(v + 0.25) of what they and beds share; all alike, they tell that nothing
	// differs between beds.
	many := make([]PlotEvidence, 100000)
	for i := range many {
		many[i] = PlotEvidence{LogR: 0, SE: 0.1, Years: 2}
	}
	v := math.Log(1.36)
	n, _ := bedLogR(prior, many, Season{}, 0.3)
	approx(t, "variance", n.sd*n.sd, v*0.25/(v+0.25), 1e-3, 0)
	approx(t, "mean", n.mean, math.Log(0.5)*0.25/(v+0.25), 1e-4, 0)
	// Short plots and faulty ones do not count.
	n, w = bedLogR(prior, []PlotEvidence{{0, 0.1, 0.5}, {0, math.NaN(), 2}, {math.NaN(), 0.1, 2}}, Season{}, 0.3)
	assert.Equal(t, alone, n)
	assert.Len(t, w, 2)
	n, w = bedLogR(prior, []PlotEvidence{{0, 0.1, 0.5}}, Season{Amplitude: 0.4}, 0.3)
	assert.Less(t, n.sd, alone.sd)
	assert.Empty(t, w)
}

// Errors of the same surveys are one; what one survey has alone is folded in.
func TestSharedErrors(t *testing.T) {
	o := func(shared ...Shared) Observation { return Observation{Kg: 1, CV: 0.2, DF: 5, Shared: shared} }
	surveys := []Observation{o(Shared{"area", 0.1}, Shared{"k", 0.2}, Shared{"own", 0.3}), o(Shared{"k", 0.1}, Shared{"area", 0.1}),
		o(Shared{"late", 0.1}), o(Shared{"late", 0.1}, Shared{"zero", 0})}
	g := &target{n: len(surveys)}
	_, reason := g.addSights(Series{Area: 1, Surveys: surveys}, nil, nil)
	require.Empty(t, reason)
	require.Len(t, g.errSD, 2)
	approx(t, "area and k", g.errSD[0], math.Sqrt(math.Log(1.01)+math.Log(1.04)), 1e-14, 0)
	assert.Equal(t, [][]int{{0}, {0}, {1}, {1}}, [][]int{g.obs[0].errs, g.obs[1].errs, g.obs[2].errs, g.obs[3].errs})
	approx(t, "own", g.obs[0].width, math.Hypot(logSD(0.2), logSD(0.3)), 1e-14, 0)
	approx(t, "none of its own", g.obs[3].width, logSD(0.2), 1e-14, 0)
}

func TestLogFound(t *testing.T) {
	for y := -15.0; y < 6; y += 0.0137 {
		approx(t, "log(1 - exp(-e^y))", logFound(y), math.Log(-math.Expm1(-math.Exp(y))), 1e-7, 1e-7)
	}
	assert.True(t, math.IsNaN(logFound(math.NaN())))
}
