package survey

import (
	"math"
	"runtime"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// intervalTable reads a table of testdata/interval.
func intervalTable(t *testing.T, name string) [][]string {
	t.Helper()
	return readTable(t, "interval/"+name)[1:]
}

// onlySurvey is the only survey of a folder with the readings of its species.
func onlySurvey(t *testing.T, f *Folder) (*fieldwork, readings) {
	t.Helper()
	s := newFieldwork(f, rounds(f, 45)[0], "adjust")
	require.Len(t, s.species, 1)
	for _, rows := range s.species {
		return s, s.readings(&f.Quadrats, rows)
	}
	return nil, readings{}
}

// R survey's subbootstrap resamples n_h - 1 units too, its 4000 replicates and these 8000 each with their own chance: the
// standard error of either's variance is sqrt((kurtosis-1)/replicates) of it, and four standard errors of the difference
// are allowed. Totals of all weighed, and of two phases with the ratio estimated anew in every replicate
// (testdata/interval/bootstrap.R). R's type "bootstrap" (Canty and Davison) draws n_h units and has the same variance
// but for the second order: within the same limits.
func TestBootstrapVarianceAgainstR(t *testing.T) {
	ref := map[string]float64{}
	for _, rec := range intervalTable(t, "bootstrap_R.csv") {
		ref[rec[0]] = number(t, rec[1])
	}
	for what, all := range map[string]bool{"direct": true, "phases": false} {
		f := folderOf([]Bed{bedOf("A", 5000)}, tableQuads(t, "nested.csv", all))
		f.Strata = threeStrata()
		s, r := onlySurvey(t, f)
		w := s.weigh(r, nil, "Fucus", newCalibrations(f, []*fieldwork{s}).wanting("ratio"))
		approx(t, what+" estimate", w.total.total, ref["subbootstrap "+what+" estimate"], 1e-12, 0)
		const n = 8000
		rep := newResampler(s, n, 1, "test").evaluate(func(p replicate) (float64, float64) { return p.kg(r, w) })
		m := mean(rep.value)
		v := variance(rep.value)
		for _, kind := range []string{"subbootstrap ", "bootstrap "} {
			want := ref[kind+what+" se"] * ref[kind+what+" se"]
			chance := math.Sqrt((ref[kind+what+" kurtosis"] - 1) * (1./4000 + 1./n))
			approx(t, kind+what+" variance", v, want, 4*chance, 0)
			t.Logf("%s%s: variance %.4f of R's, one standard error %.4f", kind, what, v/want, chance)
		}
		sd := ref["subbootstrap "+what+" se"]
		approx(t, what+" mean", m, ref["subbootstrap "+what+" mean"], 0, 4*sd*math.Sqrt(1./4000+1./n))
	}
}

// The variance of replicates of a mean of n units is s²/n, as resampling n - 1 of them is meant to give; n would give
// (n-1)/n of it. Four standard errors of 20 000 replicates (kurtosis about 3): 4 %, against 1/n = 20 %.
func TestBootstrapVarianceOfMean(t *testing.T) {
	var rows []quad
	y := []float64{1, 4, 2, 8, 5}
	for i, v := range y {
		rows = append(rows, clipped("A", "", name("q", i), "Fucus", testDay, 10, 250*v))
	}
	s, r := onlySurvey(t, folderOf([]Bed{bedOf("A", 1)}, rows))
	rep := newResampler(s, 20000, 3, "mean").evaluate(func(p replicate) (float64, float64) { return p.total(r.kg) })
	approx(t, "variance", variance(rep.value), variance(y)/5, 0.04, 0)
	// Within a replicate the variance is that of a survey of four units: E s*²/4 = (n-1)/n s²/4.
	approx(t, "mean of replicates' variances", mean(rep.variance), variance(y)*4/5/4, 0.04, 0)
}

// Transects that cross strata are drawn whole, and a replicate's strata count their units.
func TestReplicateKeepsTransects(t *testing.T) {
	f := folderOf([]Bed{bedOf("A", 5000)}, tableQuads(t, "crossing.csv", true))
	f.Strata = threeStrata()
	s, _ := onlySurvey(t, f)
	b := newResampler(s, 50, 1, "crossing")
	for i := range b.draws {
		p := b.replicate(i)
		require.Equal(t, s.design.units-1, p.design.units)
		quads := map[int32]int{}
		for q, c := range p.design.unit {
			quads[c]++
			from := s.design.unit[p.pick[q]]
			require.Equal(t, b.draws[i][c], from)
			require.Equal(t, s.design.stratum[p.pick[q]], p.design.stratum[q])
		}
		for c, n := range quads {
			require.Equal(t, len(b.quads[b.draws[i][c]]), n, "all quadrats of the transect")
		}
		strata := make([]map[int32]bool, len(p.design.strata))
		for q, h := range p.design.stratum {
			if strata[h] == nil {
				strata[h] = map[int32]bool{}
			}
			strata[h][p.design.unit[q]] = true
		}
		for h, st := range p.design.strata {
			require.Equal(t, len(strata[h]), st.units)
		}
	}
}

// bootstrapOptions ask for a bootstrap of few replicates.
func bootstrapOptions() Options {
	opt := DefaultOptions()
	opt.Interval, opt.BootstrapDraws = "bootstrap", 400
	return opt
}

// The same seed gives the same interval on one core and on all, another seed another one nearby; the estimate and its
// standard error are those of the t interval.
func TestBootstrapRepeatable(t *testing.T) {
	f := nearNormal(20, 40).survey(newStream(1, "repeat"))
	get := func(opt Options) Stock { return only(t, Stocks(f, opt), "A", "Fucus", "2024") }
	opt := bootstrapOptions()
	a := get(opt)
	require.Equal(t, "bootstrap", a.Kg.Kind)
	require.Equal(t, "bootstrap", a.Cover.Kind)
	before := runtime.GOMAXPROCS(1)
	b := get(opt)
	runtime.GOMAXPROCS(before)
	assert.Equal(t, a, b)
	opt.Seed = 2
	c := get(opt)
	assert.NotEqual(t, a.Kg.Lo, c.Kg.Lo)
	approx(t, "other seed", c.Kg.Hi, a.Kg.Hi, 0.05, 0) // a tail quantile of 400 replicates: a few per cent of the stock
	plain := get(DefaultOptions())
	assert.Equal(t, "t", plain.Kg.Kind)
	approx(t, "value", a.Kg.Value, plain.Kg.Value, 0, 0)
	approx(t, "se", a.Kg.SE, plain.Kg.SE, 0, 0)
	opt.Interval = "log-t"
	log := get(opt)
	assert.Equal(t, "log-t", log.Kg.Kind)
	approx(t, "log-t", log.Kg.Lo, plain.Kg.IntervalLog(0.95).Lo, 0, 0)
}

// Where the units are too few, or the species stands on too few of them, the interval is the log-t one and the stock says
// what to do.
func TestBootstrapNotPossible(t *testing.T) {
	s := Stocks(patchy(6, 1).survey(newStream(1, "few")), bootstrapOptions())[0]
	assert.Equal(t, "log-t", s.Kg.Kind)
	assert.True(t, warns(s, "no bootstrap interval: fewer than 4 transects in a stratum, log-t or t taken: visit at least so many in each next time"))

	var rows []quad
	for i := range 10 {
		rows = append(rows, clipped("A", name("T", i), "1", "Fucus", testDay, 0, 0))
	}
	rows[0].cover, rows[0].grams = 10, 300
	s = Stocks(folderOf([]Bed{bedOf("A", 100)}, rows), bootstrapOptions())[0]
	assert.Equal(t, "log-t", s.Kg.Kind)
	assert.True(t, warns(s, "no bootstrap interval: too few transects hold the species"))
	assert.Greater(t, s.Kg.Hi, s.Kg.Value)

	opt := bootstrapOptions()
	opt.BootstrapDraws = 100
	assert.Panics(t, func() { Stocks(folderOf([]Bed{bedOf("A", 100)}, rows), opt) })
	opt = DefaultOptions()
	opt.Interval = "normal"
	assert.Panics(t, func() { Stocks(folderOf([]Bed{bedOf("A", 100)}, rows), opt) })
}

// An upper end that other draws would move far is told, as happens with four transects in a stratum; those not told of
// move by less than half of their distance from the estimate with another seed.
func TestBootstrapUnsettled(t *testing.T) {
	opt := bootstrapOptions()
	opt.BootstrapDraws = 1000
	rng, told := newStream(2, "unsettled"), 0
	for range 20 {
		f := patchy(8, 0.5).survey(rng)
		opt.Seed = 1
		s := Stocks(f, opt)[0]
		opt.Seed = 2
		other := Stocks(f, opt)[0]
		switch {
		case s.Kg.Kind != "bootstrap" || other.Kg.Kind != "bootstrap":
		case warns(s, "upper end of the bootstrap interval not settled"):
			told++
		default:
			assert.Less(t, math.Abs(other.Kg.Hi-s.Kg.Hi), (s.Kg.Hi-s.Kg.Value)/2)
		}
	}
	assert.Greater(t, told, 0)
	assert.Less(t, told, 20)
	calm := Stocks(nearNormal(20, 40).survey(newStream(1, "repeat")), opt)[0]
	assert.Equal(t, "bootstrap", calm.Kg.Kind)
	assert.False(t, warns(calm, "not settled"))
	e := Estimate{OK: true, Value: 10, Hi: 30, Kind: "bootstrap"}
	assert.Equal(t, "", upperEnd{25, 34}.unsettled(e))
	assert.Contains(t, upperEnd{22, 48}.unsettled(e), "from 22 kg to 48 kg")
	assert.Contains(t, upperEnd{22, 1e300}.unsettled(e), "from 22 kg without bound")
}

// Errors that do not come from the transects widen the interval: of the bed's area, and of a given conversion.
func TestBootstrapOtherErrors(t *testing.T) {
	f := nearNormal(20, 0).survey(newStream(1, "other"))
	f.Strata = nil
	width := func() float64 {
		s := Stocks(f, bootstrapOptions())[0]
		require.Equal(t, "bootstrap", s.Kg.Kind)
		return s.Kg.Hi - s.Kg.Lo
	}
	before := width()
	f.Beds[0].Periods[0].AreaSE = Some(1000)
	with := width()
	// cv 0.2 of the area beside about 0.06 of sampling
	e := Stocks(f, DefaultOptions())[0].Kg
	approx(t, "width as t", with, e.Hi-e.Lo, 0.2, 0)
	assert.Greater(t, with, 2*before)
}

// A model other than the ratio is moved along: its replicates have about the variance that linearising gives, within
// the second order (a tenth at 30 transects, 60 weighed) and the chance of 1500 replicates (4 %).
func TestBootstrapRefitted(t *testing.T) {
	f := nearNormal(30, 60).survey(newStream(5, "refitted"))
	s, r := onlySurvey(t, f)
	for _, model := range []string{"linear", "power", "ratio"} {
		w := s.weigh(r, nil, "Fucus", newCalibrations(f, []*fieldwork{s}).wanting(model))
		require.Equal(t, model, w.conversion)
		rep := newResampler(s, 1500, 1, model).evaluate(func(p replicate) (float64, float64) { return p.kg(r, w) })
		approx(t, model+" mean", mean(rep.value), w.total.total, 0.01, 0)
		approx(t, model+" variance", variance(rep.value), w.own.v, 0.15, 0)
		approx(t, model+" variances", mean(rep.variance), w.own.v, 0.15, 0)
		t.Logf("%s: variance %.3f of the linearised, mean of variances %.3f", model, variance(rep.value)/w.own.v, mean(rep.variance)/w.own.v)
	}
}

// The interval moves with units and with the order of nothing: scaling weights scales it.
func TestBootstrapScales(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		f := patchy(12, 0.8).survey(newStream(rapid.Uint64().Draw(t, "seed"), "scale"))
		opt := bootstrapOptions()
		opt.BootstrapDraws, opt.Confidence = 200, 0.8
		a := Stocks(f, opt)[0].Kg
		by := rapid.SampledFrom([]float64{0.25, 2, 64}).Draw(t, "by") // exact in binary
		for i := range f.Quadrats.Biomass {
			f.Quadrats.Biomass[i] *= by
		}
		b := Stocks(f, opt)[0].Kg
		for _, pair := range [][2]float64{{a.Lo * by, b.Lo}, {a.Hi * by, b.Hi}} {
			if math.Abs(pair[0]-pair[1]) > 1e-9*math.Abs(pair[0]) {
				t.Fatalf("interval %v scaled by %g is %v", a, by, b)
			}
		}
		if !(a.Lo >= 0 && a.Lo <= a.Value && a.Value <= a.Hi) {
			t.Fatalf("interval does not hold its estimate: %+v", a)
		}
	})
}

// BenchmarkBootstrap is one stock of 15 transects with 2000 replicates, cover and kg, a part weighed.
func BenchmarkBootstrap(b *testing.B) {
	f := nearNormal(15, 30).survey(newStream(1, "benchmark"))
	opt := bootstrapOptions()
	opt.BootstrapDraws = 2000
	for b.Loop() {
		Stocks(f, opt)
	}
}
