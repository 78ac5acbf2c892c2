package survey

import (
	"hash/fnv"
	"math"
	"math/rand/v2"
	"strconv"
	"testing"

	"github.com/stretchr/testify/assert"
	"pgregory.net/rapid"
)

// newStream is a named random stream.
func newStream(seed uint64, name string) *rand.Rand {
	h := fnv.New64a()
	h.Write([]byte(name))
	return rand.New(rand.NewPCG(seed, h.Sum64()))
}

// name is a label with a number.
func name(prefix string, i int) string { return prefix + strconv.Itoa(i) }

// Quantiles of t from R (testdata/estimate/survey.R), 1e-9.
func TestInterval(t *testing.T) {
	ref := reference(t)
	e := Estimate{OK: true, Value: 10, SE: 1, DF: 7.3}.Interval(0.95)
	approx(t, "lo", e.Lo, 10-ref["t 0.975 df 7.3"], 1e-9, 0)
	approx(t, "hi", e.Hi, 10+ref["t 0.975 df 7.3"], 1e-9, 0)
	e = Estimate{OK: true, Value: 10, SE: 1, DF: math.Inf(1)}.Interval(0.95)
	approx(t, "normal", e.Hi, 10+ref["t 0.975 df Inf"], 1e-9, 0)

	// The t interval would reach below 0: log-t about the same estimate, by its definition.
	e = Estimate{OK: true, Value: 1, SE: 0.8, DF: 7.3}.Interval(0.95)
	factor := math.Exp(ref["t 0.975 df 7.3"] * math.Sqrt(math.Log(1+0.64)))
	approx(t, "log lo", e.Lo, 1/factor, 1e-9, 0)
	approx(t, "log hi", e.Hi, factor, 1e-9, 0)

	for _, none := range []Estimate{{OK: false, Value: 1, SE: 1, DF: 5}, {OK: true, Value: 1, SE: math.NaN(), DF: 5},
		{OK: true, Value: 1, SE: 1, DF: 0}, missing()} {
		none = none.Interval(0.9)
		assert.True(t, math.IsNaN(none.Lo) && math.IsNaN(none.Hi))
	}
	q := Estimate{OK: true, Value: 500, SE: 300, DF: 1}
	// R 4.2.2: 500*exp(qt(0.2, 1)*sqrt(log(1+0.36)))
	approx(t, "20 % quantile", q.Quantile(0.2), 500*math.Exp(-1.3763819204711736*math.Sqrt(math.Log(1.36))), 1e-12, 0)
	assert.True(t, math.IsNaN(Estimate{OK: true, Value: 0, SE: 1, DF: 3}.Quantile(0.2)))
	few := Estimate{OK: true, Value: 500, SE: 300, DF: 1}.Interval(0.95)
	assert.Zero(t, few.Lo, "one degree of freedom: no interval on the log")
	approx(t, "upper", few.Hi, 500+12.7062047364*300, 1e-9, 0) // t table: 12.7062 for 1 degree of freedom
	sure := Estimate{OK: true, Value: 3, DF: 4}.Interval(0.9)
	assert.Equal(t, [2]float64{3, 3}, [2]float64{sure.Lo, sure.Hi})
	assert.Panics(t, func() { Estimate{}.Interval(1) })
}

// The log-t interval by its definition, also where the t interval stays above 0.
func TestIntervalLog(t *testing.T) {
	ref := reference(t)
	e := Estimate{OK: true, Value: 10, SE: 1, DF: 7.3}.IntervalLog(0.95)
	factor := math.Exp(ref["t 0.975 df 7.3"] * math.Sqrt(math.Log(1.01)))
	approx(t, "lo", e.Lo, 10/factor, 1e-9, 0)
	approx(t, "hi", e.Hi, 10*factor, 1e-9, 0)
	assert.Equal(t, "log-t", e.Kind)
	few := Estimate{OK: true, Value: 500, SE: 300, DF: 1}.IntervalLog(0.95)
	assert.Equal(t, "t", few.Kind)
	assert.Zero(t, few.Lo)
	none := Estimate{OK: true, Value: 0, SE: 1, DF: 5}.IntervalLog(0.95)
	assert.Equal(t, "t", none.Kind)
	opt := DefaultOptions()
	assert.Equal(t, Estimate{OK: true, Value: 10, SE: 1, DF: 7}.Interval(0.95), Estimate{OK: true, Value: 10, SE: 1, DF: 7}.IntervalOf(opt))
	opt.Interval = "bootstrap"
	assert.Equal(t, "log-t", Estimate{OK: true, Value: 10, SE: 1, DF: 7}.IntervalOf(opt).Kind)
}

// Every interval holds its estimate, scales with it and, of a positive estimate, does not reach below 0; on the log the
// two ends are at the same factor from it.
func TestIntervalProperties(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		e := Estimate{OK: true, Value: rapid.Float64Range(1e-3, 1e6).Draw(t, "value"), DF: rapid.Float64Range(1, 60).Draw(t, "df")}
		e.SE = e.Value * rapid.Float64Range(1e-3, 1.5).Draw(t, "cv")
		level := rapid.Float64Range(0.5, 0.99).Draw(t, "level")
		for _, i := range []Estimate{e.Interval(level), e.IntervalLog(level)} {
			if !(0 <= i.Lo && i.Lo <= e.Value && e.Value <= i.Hi) {
				t.Fatalf("%+v", i)
			}
			if i.Kind == "log-t" && math.Abs(i.Lo/e.Value*i.Hi/e.Value-1) > 1e-9 {
				t.Fatalf("not the same factor: %+v", i)
			}
		}
	})
}

func TestSatterthwaite(t *testing.T) {
	p := satterthwaite(part{2, 4}, part{1, 10}) // 9/(4/4 + 1/10)
	approx(t, "sum", p.v, 3, 0, 0)
	approx(t, "df", p.df, 9/1.1, 1e-15, 0)
	p = satterthwaite(part{2, 4}, part{1, math.Inf(1)})
	approx(t, "known part", p.df, 9, 1e-15, 0)
	approx(t, "part of 0", satterthwaite(part{2, 4}, part{0, 1}).df, 4, 0, 0)
	approx(t, "all 0", satterthwaite(part{0, 4}, part{0, 6}).df, 4, 0, 0)
	approx(t, "unknown", satterthwaite(part{math.NaN(), 4}, part{1, 6}).v, math.NaN(), 0, 0)
}

// R's quantile(type = 7) (testdata/estimate/survey.R).
func TestQuantile(t *testing.T) {
	ref := reference(t)
	x := []float64{3, 1, 4, 1, 5, 9, 2, 6, 5, 3}
	for i, p := range []float64{0, 0.1, 0.25, 0.5, 0.83, 1} {
		approx(t, "quantile", Quantile(x, p), ref[name("quantile ", i+1)], 1e-14, 0)
	}
	assert.Equal(t, 3.0, x[0], "input unchanged")
	approx(t, "none", Quantile(nil, 0.5), math.NaN(), 0, 0)
	approx(t, "one", Quantile([]float64{7}, 0.3), 7, 0, 0)
	approx(t, "NaN", Quantile([]float64{7, math.NaN(), 1}, 0.3), math.NaN(), 0, 0)
	approx(t, "infinite", Quantile([]float64{1, 2, math.Inf(1)}, 0.5), 2, 0, 0)
	assert.Panics(t, func() { Quantile(x, 1.1) })
}
