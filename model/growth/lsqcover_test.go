package growth

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"gonum.org/v1/gonum/stat/distuv"
)

// intervalCover counts in how many simulated recoveries the 95 % interval of the rate holds the true one.
type intervalCover struct {
	simulated, fits int     // fits: with an estimate
	se, profile     int     // hits
	open            int     // profile intervals without an end
	resampled       int     // fits with a bootstrap interval
	percentile, bca int     // hits among them
	profileToo      int     // hits of the profile among them
	wide, wideBCa   float64 // sums of the widths where both have ends
}

func share(hits, of int) float64 { return float64(hits) / float64(of) }

// coverRate simulates recoveries of a stand from 5 to about 95 % of the ceiling, measured so many times at even times,
// and fits ln B by the logistic in ln K, ln r, ln N0. Noise of ln B is even, 0.15, or uneven, from 0.05 to 0.3 as the
// stand grows.
func coverRate(measures, simulations, replicates int, noise string, seed uint64) intervalCover {
	rng := rand.New(rand.NewPCG(seed, uint64(measures)))
	c := intervalCover{simulated: simulations}
	truth := []float64{math.Log(8), math.Log(1.2), math.Log(0.4)}
	x := make([]float64, measures)
	for i := range x {
		x[i] = 5 * float64(i) / float64(measures-1)
	}
	model := logLogistic(x)
	for sim := range simulations {
		y := make([]float64, measures)
		model(truth, y, nil)
		for i := range y {
			sd := 0.15
			if noise == "uneven" {
				sd = 0.05 + 0.25*x[i]/5
			}
			y[i] += sd * rng.NormFloat64()
		}
		fit := LeastSquares(model, y, truth, nil)
		if fit.Status == Converged {
			c.add(fit, truth[1], replicates, uint64(sim))
		}
	}
	return c
}

func (c *intervalCover) add(fit Fit, truth float64, replicates int, seed uint64) {
	c.fits++
	q := distuv.StudentsT{Mu: 0, Sigma: 1, Nu: float64(fit.DF)}.Quantile(0.975)
	if math.Abs(fit.Params[1]-truth) <= q*fit.SE[1] {
		c.se++
	}
	p := fit.Profile(1, 0.95)
	in := p.Lo <= truth && truth <= p.Hi
	if in {
		c.profile++
	}
	open := math.IsInf(p.Lo, 0) || math.IsInf(p.Hi, 0)
	if open {
		c.open++
	}
	if replicates == 0 {
		return
	}
	b := fit.Bootstrap(replicates, seed, "cover", nil).Interval(func(p []float64) float64 { return p[1] }, 0.95)
	if b.Reason != "" {
		return
	}
	c.resampled++
	if b.PercentileLo <= truth && truth <= b.PercentileHi {
		c.percentile++
	}
	if b.Lo <= truth && truth <= b.Hi {
		c.bca++
	}
	if in {
		c.profileToo++
	}
	if !open {
		c.wide, c.wideBCa = c.wide+p.Hi-p.Lo, c.wideBCa+b.Hi-b.Lo
	}
}

// logLogistic is ln of [NaturalCurve] in ln K, ln r, ln N0.
func logLogistic(x []float64) ModelFunc {
	p, g := make([]float64, 3), make([]float64, 3)
	return func(theta, f, jac []float64) {
		for j, v := range theta {
			p[j] = math.Exp(v)
		}
		for i, t := range x {
			y := NaturalCurve.Value(p, t, g)
			f[i] = math.Log(y)
			for j := range g {
				if jac != nil {
					jac[3*i+j] = g[j] * p[j] / y
				}
			}
		}
	}
}

// The profile interval holds the true rate as often as it says where the noise is even (600 recoveries, four standard
// errors of 0.9 %). With six measures most plots have no bootstrap interval; where the noise is uneven that of 20
// measures is the shorter one. testdata/lsq_cover.csv has the full size.
func TestCoverOfIntervals(t *testing.T) {
	c := coverRate(12, 600, 0, "even", 1)
	t.Logf("12 measures: profile holds r in %.3f, standard error in %.3f", share(c.profile, c.fits), share(c.se, c.fits))
	assert.Equal(t, 600, c.fits)
	assert.InDelta(t, 0.95, share(c.profile, c.fits), 4*math.Sqrt(0.95*0.05/600))
	few := coverRate(6, 40, 200, "even", 2)
	assert.Less(t, share(few.resampled, few.fits), 0.7) // 0.41 of 1000
	uneven := coverRate(20, 60, 250, "uneven", 3)
	assert.Greater(t, share(uneven.resampled, uneven.fits), 0.97)
	assert.Less(t, uneven.wideBCa/uneven.wide, 0.97)             // 0.89 of 1000
	assert.Greater(t, share(uneven.bca, uneven.resampled), 0.85) // 0.944 of 1000, standard error 3 % here
	assert.Greater(t, share(uneven.profile, uneven.fits), 0.9)   // 0.984 of 1000
}
