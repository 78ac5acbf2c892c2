package survey

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// visitTwice samples a shore in two years: the second year has the first year's densities times 0.75 with scatter, read
// on the same transects or on others, with quadrats laid anew.
func visitTwice(rng *rand.Rand, first, second *shore, weighed float64, permanent bool) []quad {
	seed := rng.Uint64()
	rows := first.sample(rand.New(rand.NewPCG(seed, 1)), weighed)
	later := second.sample(rng, weighed)
	if permanent { // the same draw of transects; which quadrats are weighed follows the same draw too
		later = second.sample(rand.New(rand.NewPCG(seed, 1)), weighed)
	}
	for i := range rows {
		rows[i].day = day2023
	}
	return append(rows, later...)
}

// The 95 % interval of the change holds the true change in 88 to 99 of 100 pairs of surveys, paired and not, weighed in
// full and in part (400 pairs each, simulation error 1.1 %; densities are skewed, with 12 degrees of freedom for pairs);
// the mean variance is within 20 % of that of the changes, and that of pairs less than half that of independent surveys.
func TestChangeCoverage(t *testing.T) {
	areas := [3]float64{900, 1600, 2500}
	for _, weighed := range []float64{1, 0.4} {
		vs := map[bool]float64{}
		for _, permanent := range []bool{true, false} {
			rng := newStream(5, "change")
			first := newShore(rng, areas)
			second := first.later(rng, areas)
			const pairs = 400
			hit, rel, sum, squares, variances := 0.0, 0.0, 0.0, 0.0, 0.0
			truth := second.total - first.total
			for range pairs {
				f := folderOf([]Bed{bedOf("A", 5000)}, visitTwice(rng, first, second, weighed, permanent))
				f.Strata, f.Surveys = threeStrata(), declaredTwice("", "")
				if permanent {
					f.Surveys = declaredTwice("permanent", "permanent")
				}
				c := changeOf(f)
				if c.Kg.Lo <= truth && truth <= c.Kg.Hi {
					hit += 1. / pairs
				}
				if r := truth / first.total; c.Relative.Lo <= r && r <= c.Relative.Hi {
					rel += 1. / pairs
				}
				d := c.Kg.Value
				sum, squares, variances = sum+d/pairs, squares+d*d/pairs, variances+c.Kg.SE*c.Kg.SE/pairs
			}
			t.Logf("weighed %g, permanent %t: held %.3f, relative %.3f, variance ratio %.3f", weighed, permanent, hit, rel,
				variances/(squares-sum*sum))
			approx(t, "held", hit, 0.935, 0, 0.055)
			approx(t, "relative held", rel, 0.935, 0, 0.055)
			approx(t, "variance", variances, squares-sum*sum, 0.2, 0)
			vs[permanent] = variances
		}
		assert.Less(t, vs[true], 0.5*vs[false])
	}
}

// later is the shore a year on.
func (s *shore) later(rng *rand.Rand, areas [3]float64) *shore {
	out := &shore{}
	for h := range 3 {
		sum, n := 0.0, 0
		for tr := range s.cover[h] {
			level := 0.75 * math.Exp(0.1*rng.NormFloat64())
			var c, k []float64
			for i := range s.cover[h][tr] {
				f := level * math.Exp(0.1*rng.NormFloat64())
				c = append(c, math.Round(s.cover[h][tr][i]*f))
				k = append(k, s.kg[h][tr][i]*f)
				sum, n = sum+k[i], n+1
			}
			out.cover[h], out.kg[h] = append(out.cover[h], c), append(out.kg[h], k)
		}
		out.total += areas[h] * sum / float64(n)
	}
	return out
}

// On the whole bed the sides of a change are the stocks, and the errors of independent ones add up.
func TestChangeAgreesWithStocks(t *testing.T) {
	f, opt := demoFolder(t), DefaultOptions()
	stocks := Stocks(f, opt)
	compared := 0
	for _, c := range Changes(f, stocks, opt) {
		a, b := only(t, stocks, c.Bed, c.Species, c.From), only(t, stocks, c.Bed, c.Species, c.To)
		if c.Status != OK || a.Status != OK || b.Status != OK {
			continue
		}
		approx(t, "from", c.FromKg, a.Kg.Value, 1e-12, 0)
		approx(t, "to", c.ToKg, b.Kg.Value, 1e-12, 0)
		approx(t, "cover", c.Cover.Value, b.Cover.Value-a.Cover.Value, 1e-9, 1e-9)
		if len(a.Shared)+len(b.Shared) == 0 && a.Kg.SE > 0 && b.Kg.SE > 0 {
			compared++
			approx(t, "se", c.Kg.SE, math.Hypot(a.Kg.SE, b.Kg.SE), 1e-12, 0)
		}
		if a.Kg.SE > 0 && b.Kg.SE > 0 {
			assert.LessOrEqual(t, c.Kg.SE, 1.0001*math.Hypot(a.Kg.SE, b.Kg.SE))
		}
	}
	require.Greater(t, compared, 20)
}

// Of the demo's trends the one of the bed that is cut harder than it grows falls; what is not estimable has a reason.
func TestTrendsOfDemo(t *testing.T) {
	f, opt := demoFolder(t), DefaultOptions()
	falling := false
	for _, tr := range Trends(Stocks(f, opt), opt) {
		if tr.Status == NotEstimable {
			assert.NotEmpty(t, tr.Reason)
			assert.NotEmpty(t, tr.Next)
			continue
		}
		assert.True(t, tr.PerYear.Lo > -1 && tr.PerYear.Lo <= tr.PerYear.Value && tr.PerYear.Value <= tr.PerYear.Hi, "%+v", tr)
		falling = falling || tr.Bed == "tarrowick" && tr.Species == "Ascophyllum nodosum" && tr.Verdict() == "falling"
	}
	assert.True(t, falling)
}

func BenchmarkChanges(b *testing.B) {
	f, opt := demoFolder(b), DefaultOptions()
	stocks := Stocks(f, opt)
	for b.Loop() {
		Changes(f, stocks, opt)
	}
	b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N)/float64(f.Quadrats.Len()), "ns/row")
}
