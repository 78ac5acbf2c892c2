package offtake

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"pgregory.net/rapid"
)

// plainYear is the logistic year by its textbook form, and what storms leave of it.
func plainYear(left, r, k, s float64) float64 {
	e := math.Exp(r)
	return s * k * left * e / (k + left*(e-1))
}

// What Pulse says by closed form is what the plain map does when it is cut year after year, with storms: the best
// fraction settles at the best stock, leaves S* and yields Y*, and cutting a little more or less than it yields less. To
// 1e-9 after as many years as the slowest needs.
func TestPulseIsWhatTheMapDoes(t *testing.T) {
	for _, r := range []float64{0.25, 0.4, 0.8, 1.5} {
		for _, s := range []float64{1, 0.965, 0.85} {
			const k = 1000.0
			ref := Pulse(r, k, 1, s)
			settled := func(h float64) float64 {
				b := 0.7 * k
				for range 6000 {
					b = plainYear((1-h)*b, r, k, s)
				}
				return b
			}
			name := fmt.Sprintf("r %g s %g", r, s)
			b := settled(ref.Fraction)
			approx(t, name+" best", b, ref.Best, 1e-9, 0)
			approx(t, name+" left", (1-ref.Fraction)*b, ref.Left, 1e-9, 0)
			approx(t, name+" yield", ref.Fraction*b, ref.Yield, 1e-9, 0)
			approx(t, name+" uncut", settled(0), ref.Uncut, 1e-9, 0)
			approx(t, name+" any fraction", settled(ref.Limit/3), FixedFraction(r, k, 1, s, ref.Limit/3), 1e-9, 0)
			for _, off := range []float64{-0.01, 0.01} {
				assert.Less(t, (ref.Fraction+off)*settled(ref.Fraction+off), ref.Yield, "%s yields less %+g off", name, off)
			}
			// persistence: a thin stand gains just below the limit fraction and loses just above it
			const thin = 1e-9 * k
			assert.Greater(t, plainYear((1-ref.Limit+1e-6)*thin, r, k, s), thin, name)
			assert.Less(t, plainYear((1-ref.Limit-1e-6)*thin, r, k, s), thin, name)
		}
	}
}

// At the best rate r/2 a stand cut all the time settles at k/2 and gives r k/4 a year, and over any time what was taken
// is what grew less what the stock changed by. To 1e-9.
func TestSpreadTakeSettles(t *testing.T) {
	const k = 1000.0
	for _, r := range []float64{0.2, 0.5, 1.3} {
		for _, f := range []float64{0.3 * r, r / 2, 0.9 * r} {
			b := 0.9 * k
			for range 3000 {
				b, _ = Spread(b, r, k, f, 1)
			}
			end, taken := Spread(b, r, k, f, 1)
			approx(t, "settles", end, k*(1-f/r), 1e-9, 0)
			approx(t, "yields", taken, f*k*(1-f/r), 1e-9, 0)
			if f == r/2 {
				approx(t, "most yield", taken, r*k/4, 1e-9, 0)
			}
		}
		// cut in two goes or in one: the same
		half, first := Spread(700, r, k, 0.3, 0.4)
		end, second := Spread(half, r, k, 0.3, 1.1)
		whole, taken := Spread(700, r, k, 0.3, 1.5)
		approx(t, "in two goes", end, whole, 1e-9, 0)
		approx(t, "taken in two goes", first+second, taken, 1e-9, 0)
	}
}

// The same tonnage every year: a stand left standing a hair below the unstable stock runs out under it, one a hair above
// climbs to the stable stock. At the largest tonnage that anything sustains, k tanh(r/4), both are one, S*: then a hair
// below runs out too, and above it stays above S* for ever though it sinks towards it.
func TestConstantTonnageCollapsesFromJustBelow(t *testing.T) {
	const r, k = 0.5, 1000.0
	follow := func(left, quota float64, years int) float64 { // stock left standing after so many more cuts
		for range years {
			left = math.Max(plainYear(left, r, k, 1)-quota, 0)
		}
		return left
	}
	for _, q := range []float64{80, 100, 120} {
		unstable, stable, ok := ConstantQuota(r, k, 1, q)
		assert.True(t, ok)
		assert.Zero(t, follow(unstable*(1-1e-6), q, 400), "%g kg from just below", q)
		approx(t, "from just above", follow(unstable*(1+1e-6), q, 400), stable, 1e-9, 0)
	}
	ref := Pulse(r, k, 1, 1)
	assert.Zero(t, follow(ref.Left*(1-1e-3), ref.Yield, 20000), "semi-stable: lost from just below")
	held := follow(ref.Left*(1+1e-3), ref.Yield, 20000)
	assert.True(t, held > ref.Left*(1-1e-6) && held < ref.Left*(1+1e-3), "semi-stable: held from just above, at %g", held)
	assert.Zero(t, follow(ref.Best, ref.Yield*1.001, 20000), "any more runs any stand out")
	// a fraction instead of the tonnage brings either back to the best stock
	for _, left := range []float64{0.5, 1.5} {
		b := left * ref.Best
		for range 400 {
			b = plainYear((1-ref.Fraction)*b, r, k, 1)
		}
		approx(t, "a fraction comes back", b, ref.Best, 1e-9, 0)
	}
}

// The low-stock factor of an advice, for a stand that is known exactly, is that of the control rule worked out
// beforehand for k = 10, r = 0.4, limit 2, trigger 4 and the best fraction 0.181269, printed to 5 decimals: the factors
// 0, 0, 1/2, 1, 1, 1 exactly, and the quotas to what is printed.
func TestLowStockOfAnAdviceIsTheControlRule(t *testing.T) {
	best := Pulse(0.4, 10, 1, 1).Fraction
	for _, w := range []struct{ b, factor, quota float64 }{
		{1.5, 0, 0}, {2, 0, 0}, {3, 0.5, 0.2719}, {4, 1, 0.72508}, {5, 1, 0.90635}, {8, 1, 1.45015},
	} {
		s, rules := sureStand(5, 0.4, 10, w.b)
		rules.MaxFraction, rules.ReplacementProbability = best, 0.5
		a := Advise(s, rules)
		approx(t, "factor", a.LowStock, w.factor, 1e-15, 0)
		approx(t, "quota", a.CapKg*a.LowStock, w.quota, 0, 6e-6)
	}
}

// A larger fraction never has less risk, in any year: all fractions meet the same chances.
func TestRiskNeverFallsWithTheFraction(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s, rules := anyStand(t)
		p := newPaths(s, rules)
		q := s.exploitableQ(rules)
		last, ever := make([]int, rules.Horizon), 0.0
		for h := 0.0; h <= 1; h += 1.0 / 32 {
			counts := p.below(h*q, h)
			for y, c := range counts {
				if c < last[y] {
					t.Fatalf("year %d: %d below at fraction %g, %d before", y+1, c, h, last[y])
				}
			}
			copy(last, counts)
			o := p.look(h*q, h)
			if o.ever < ever {
				t.Fatalf("below at least once: %g at fraction %g, %g before", o.ever, h, ever)
			}
			ever = o.ever
		}
	})
}

// The fraction found keeps its risk, by three standard errors, when both the draws and the chances are others. The
// fraction itself was found with an error, so that its own standard error counts as much again.
func TestFractionKeepsItsRiskOnFreshChances(t *testing.T) {
	const n = 8000
	for c := range 12 {
		r, cv := []float64{0.3, 0.5, 0.8, 1.2}[c%4], []float64{0, 0.2, 0.5}[c%3]
		draw := func(seed uint64) Stand {
			rng := rand.New(stream(seed, "fresh"))
			return Stand{R: lognormals(rng, n, r, 0.3), K: lognormals(rng, n, 1000, 0.2), B: lognormals(rng, n, 700, 0.2),
				Sigma: repeated(n, 0.2), Exploitable: 1, SurveyCV: cv, LogRShrink: 0.3, Seed: seed, Stream: "fresh"}
		}
		rules := DefaultRules()
		a := Advise(draw(uint64(c)), rules)
		for seed := range uint64(4) {
			o := newPaths(draw(1000+seed), rules).look(a.RiskKg, a.RiskFraction)
			allowed := rules.Risk + 3*math.Sqrt(2*rules.Risk*(1-rules.Risk)/n)
			assert.LessOrEqual(t, o.risk, allowed, "r %g survey CV %g: fraction %g", r, cv, a.RiskFraction)
		}
	}
}
