package survey

import (
	"fmt"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// convertReference reads the results of testdata/convert/convert.R.
func convertReference(t *testing.T) map[string]float64 {
	t.Helper()
	out := map[string]float64{}
	for _, rec := range readTable(t, "convert/convert_R.csv")[1:] {
		out[rec[0]] = number(t, rec[1])
	}
	return out
}

// weighedQuads are the quadrats of testdata/convert/weighed.csv, on bed A.
func weighedQuads(t *testing.T) []quad {
	t.Helper()
	var out []quad
	for _, rec := range readTable(t, "convert/weighed.csv")[1:] {
		q := seen("A", rec[0], rec[1], "Fucus", testDay, number(t, rec[2]))
		q.frond, q.m2 = number(t, rec[3]), number(t, rec[4])
		if rec[6] == "1" {
			q.grams = number(t, rec[5]) * q.m2 * 1000
		}
		out = append(out, q)
	}
	return out
}

// laidOut is the survey of rows on bed A of 5000 m2 with its readings, weighed quadrats and design weights.
func laidOut(rows []quad) (*fieldwork, readings, *weighings, []float64) {
	f := folderOf([]Bed{bedOf("A", 5000)}, rows)
	s := newFieldwork(f, rounds(f, 45)[0], "adjust")
	for _, placed := range s.species {
		r := s.readings(&f.Quadrats, placed)
		weights := s.design.total(coverOrKg(r)).weight
		return s, r, s.weighings(r, nil, weights), weights
	}
	panic("no species")
}

func param(t *testing.T, c Candidate, name string) float64 {
	t.Helper()
	for _, p := range c.Params {
		if p.Name == name {
			return p.Value
		}
	}
	t.Fatalf("%s has no parameter %s", c.Model, name)
	return 0
}

// Parameters and left-out errors of every model: R's lm with weights, refitted without each quadrat
// (testdata/convert/convert.R), 1e-9.
func TestModelsAgainstR(t *testing.T) {
	ref := convertReference(t)
	_, r, p, _ := laidOut(weighedQuads(t))
	fits := p.fits("auto", nil, "", r)
	require.Len(t, fits, 4)
	for _, f := range fits {
		approx(t, f.Model+" loo", f.LOO.V, ref[f.Model+" loo"], 1e-9, 0)
		assert.Equal(t, int(ref["n"]), f.N)
	}
	approx(t, "k", param(t, fits[0].Candidate, "k"), ref["ratio k"], 1e-9, 0)
	approx(t, "k by length", param(t, fits[1].Candidate, "k"), ref["ratio-length k"], 1e-9, 0)
	for _, name := range []string{"a", "b"} {
		approx(t, "linear "+name, param(t, fits[2].Candidate, name), ref["linear "+name], 1e-9, 0)
	}
	for _, name := range []string{"a", "b", "smearing", "baskerville"} {
		approx(t, "power "+name, param(t, fits[3].Candidate, name), ref["power "+name], 1e-9, 0)
	}
	approx(t, "b by least squares of kg", param(t, fits[3].Candidate, "b"), ref["nls b"], 0.01, 0) // another criterion
	assert.Equal(t, byPower, fits[choose(fits)].Model, "made with a power of 1.3")
}

// A quadrat left out changes the power a little or, lying far out, much: both ways of summing the rest agree with a fit
// without it.
func TestPowerLeftOut(t *testing.T) {
	logX := []float64{0.2, 1.1, 1.3, 1.6, 1.9, 2.0, 2.2, 2.4, 2.5, 2.9, 3.0, -6}
	logY := []float64{-2, -1.4, -1.1, -0.6, -0.7, 0.1, 0.3, 0.2, 0.6, 0.5, 1.2, 4}
	w := []float64{1, 2, 1, 3, 1, 1, 2, 1, 1, 1, 2, 1}
	for _, out := range []int{-1, 7} { // nothing, or a quadrat that cannot enter
		use := func(i int) bool { return i != out }
		l, ok := fitLogLog(logX, logY, w, use)
		require.True(t, ok)
		predict := l.leftOut(logX, logY, w, use)
		for i := range logX {
			rest, ok := fitLogLog(logX, logY, w, func(j int) bool { return use(j) && j != i })
			require.True(t, ok)
			approx(t, name("point ", i), predict(i), rest.smearing*math.Exp(rest.a+rest.b*logX[i]), 1e-9, 0)
		}
	}
}

// The influences on the parameters are their derivatives to the weights, by central differences.
func TestInfluences(t *testing.T) {
	_, r, p, _ := laidOut(weighedQuads(t))
	at := look{cover: 37, length: 25}
	for m, f := range p.fits("auto", nil, "", r) {
		sum := [2]float64{}
		for i := range p.y {
			sum[0], sum[1] = sum[0]+f.infl[i][0], sum[1]+f.infl[i][1]
			const h = 1e-5
			w := p.w[i]
			p.w[i] = w * (1 + h)
			up := p.fits("auto", nil, "", r)[m].curve.at(at)
			p.w[i] = w * (1 - h)
			down := p.fits("auto", nil, "", r)[m].curve.at(at)
			p.w[i] = w
			d := f.curve.slope(at)
			want := (up - down) / (2 * h)
			approx(t, f.Model, d[0]*f.infl[i][0]+d[1]*f.infl[i][1], want, 1e-5, 1e-8)
		}
		approx(t, f.Model+" sums to 0", math.Hypot(sum[0], sum[1]), 0, 0, 1e-9)
	}
}

// Generalised regression by a line: R survey's calibrate and svytotal, whose error is that given phase one with divisor
// n - 1 where ours has n - 2; by a power: the sandwich of all estimating equations, by differences (1e-6).
func TestCorrectedAgainstR(t *testing.T) {
	ref := convertReference(t)
	s, r, p, weights := laidOut(weighedQuads(t))
	n := ref["n"]
	for _, c := range []struct {
		f     fit
		model string
		se    float64
		tol   float64
	}{{p.linear(), "greg", ref["greg se"] * math.Sqrt((n-1)/(n-2)), 1e-9}, {p.power(), "power", ref["power se"], 1e-6}} {
		g := s.regress(r, p, c.f, nil, weights)
		approx(t, c.model+" total", s.design.total(g.summed).total, ref[c.model+" total"], 1e-9, 0)
		v := clusteredProduct(g.psi, p.units, 0, 0, p.covered(), c.f.lost)
		approx(t, c.model+" se", math.Sqrt(v.v), c.se, c.tol, 0)
		approx(t, "df", v.df, ref["units"]-1, 0, 0)
	}
}

// The general estimate by the ratio is the ratio estimate that is used, to the last digits; a constant added to a
// line's data moves it by the constant.
func TestCorrectedByRatio(t *testing.T) {
	for _, rows := range [][]quad{weighedQuads(t), tableQuads(t, "nested.csv", false)} {
		for i := range rows {
			rows[i].stratum = ""
		}
		s, r, p, weights := laidOut(rows)
		want := s.ownRatio(r)
		got := s.corrected(r, p, p.ratio(false), nil, weights)
		approx(t, "total", got.total.total, want.total.total, 1e-12, 0)
		approx(t, "variance", got.own.v, want.own.v, 1e-9, 0)
		approx(t, "df", got.own.df, want.own.df, 1e-9, 0)
	}
}

// Quadrats as units and everything holding the species: the line is the textbook's two-phase regression. The variance
// is written out as in the test of the ratio, with each quadrat's own squared residual in place of their mean.
func TestLinearIsTwoPhaseRegression(t *testing.T) {
	var rows []quad
	var y, x, one []float64
	rng := newStream(6, "two phase line")
	for i := range 90 {
		q := seen("A", "", name("q", i), "Fucus", testDay, math.Round(5+90*rng.Float64()))
		if i%3 == 0 {
			q.grams = math.Round(250 * (1.5 + 0.05*q.cover + 0.4*rng.NormFloat64()))
			y, x = append(y, q.grams/250), append(x, q.cover)
		}
		one, rows = append(one, q.cover), append(rows, q)
	}
	opt := DefaultOptions()
	opt.Conversion = byLinear
	got := only(t, Stocks(folderOf([]Bed{bedOf("A", 1000)}, rows), opt), "A", "Fucus", "2024")
	want := TwoPhaseRegression(y, x, one, true)
	assert.Equal(t, byLinear, got.Conversion)
	approx(t, "total", got.Kg.Value, 1000*want.Value, 1e-12, 0)
	l, _ := leastSquares(y, x)
	n, shift := float64(len(x)), mean(one)-l.meanX
	v, cov := l.slope*l.slope*variance(one)/90, 0.0
	for i := range x {
		e := y[i] - l.meanY - l.slope*(x[i]-l.meanX)
		psi := e * (1/n + shift*(x[i]-l.meanX)/l.sxx)
		v += psi * psi * n / (n - 2)
		cov += l.slope * (x[i] - mean(one)) * psi
	}
	v += 2 * cov / 89
	approx(t, "se", got.Kg.SE, 1000*math.Sqrt(v), 1e-9, 0)
	approx(t, "se of the textbook", got.Kg.SE, 1000*want.SE, 0.1, 0)
	assert.Greater(t, got.Kg.DF, 28.0)
	assert.Empty(t, got.Shared)
}

// bent are quadrats whose weight goes with a power of cover; every third is weighed.
func bent(bed string, seed uint64, n, every int, power, noise float64) []quad {
	rng := newStream(seed, "bent "+bed)
	var rows []quad
	for i := range n {
		q := seen(bed, name("T", i/6), name("q", i), "Fucus", testDay, math.Round(4+90*rng.Float64()))
		kg := 6 * math.Pow(q.cover/100, power) * math.Exp(noise*rng.NormFloat64())
		q.frond = math.Round(30 * math.Exp(0.2*rng.NormFloat64()))
		if i%every == 0 {
			q.grams = 250 * kg
		}
		rows = append(rows, q)
	}
	return rows
}

// What auto takes: the bent line where weight bends, the ratio where it does not, length where it counts; the
// candidates say what was tried.
func TestAutoChoice(t *testing.T) {
	s := only(t, Stocks(folderOf([]Bed{bedOf("A", 1000)}, bent("A", 1, 90, 3, 2, 0.15)), DefaultOptions()), "A", "Fucus", "2024")
	assert.Equal(t, byPower, s.Conversion)
	assert.Equal(t, "survey", s.Domain)
	require.Len(t, s.Candidates, 4)
	assert.True(t, s.Candidates[3].Chosen)
	approx(t, "power", param(t, s.Candidates[3], "b"), 2, 0, 0.1)
	assert.Less(t, s.Candidates[3].LOO.V, 0.95*s.Candidates[0].LOO.V)

	straight := bent("A", 2, 90, 3, 1, 0.08)
	assert.Equal(t, byRatio, only(t, Stocks(folderOf([]Bed{bedOf("A", 1000)}, straight), DefaultOptions()), "A", "Fucus", "2024").Conversion)
	for i := range straight {
		if !math.IsNaN(straight[i].grams) {
			straight[i].grams *= straight[i].frond / 30
		}
	}
	long := only(t, Stocks(folderOf([]Bed{bedOf("A", 1000)}, straight), DefaultOptions()), "A", "Fucus", "2024")
	assert.Equal(t, byRatioLength, long.Conversion)
	straight[0].frond, straight[1].frond = blank, blank // one weighed, one not
	long = only(t, Stocks(folderOf([]Bed{bedOf("A", 1000)}, straight), DefaultOptions()), "A", "Fucus", "2024")
	assert.Equal(t, byRatioLength, long.Conversion)
	assert.Contains(t, long.Candidates[1].Note, "frond length blank in 1 weighed quadrat")
	assert.False(t, math.IsNaN(long.Kg.SE))
}

// Weight proportional to cover: of 300 surveys with 12 weighed quadrats auto leaves the ratio in at most 3 of 100
// (seeded), where the smallest error alone would in more than 20 of 100.
func TestAutoDoesNotOverfit(t *testing.T) {
	other, smallest := 0, 0
	const surveys = 300
	for i := range surveys {
		_, r, p, _ := laidOut(bent("A", uint64(100+i), 36, 3, 1, 0.2))
		fits := p.fits("auto", nil, "", r)
		if choose(fits) != 0 {
			other++
		}
		for _, f := range fits[1:] {
			if f.LOO.V < fits[0].LOO.V {
				smallest++
				break
			}
		}
	}
	t.Logf("other than the ratio %d, a smaller error than the ratio's %d of %d", other, smallest, surveys)
	assert.LessOrEqual(t, other, 9)
	assert.Greater(t, smallest, 60)
}

// A model that is asked for is used where it can be fitted; else the ratio is, and the result says what is missing.
func TestConversionAskedFor(t *testing.T) {
	rows := bent("A", 3, 60, 4, 1.2, 0.1) // 15 weighed
	stock := func(rows []quad, conversion string) Stock {
		opt := DefaultOptions()
		opt.Conversion = conversion
		return only(t, Stocks(folderOf([]Bed{bedOf("A", 1000)}, rows), opt), "A", "Fucus", "2024")
	}
	for _, model := range []string{byRatio, byRatioLength, byLinear, byPower} {
		s := stock(rows, model)
		assert.Equal(t, model, s.Conversion)
		assert.Greater(t, s.Kg.SE, 0.0)
	}
	s := stock(rows, byAllometry)
	assert.Equal(t, byRatio, s.Conversion)
	assert.True(t, warns(s, "conversion allometry asked for, but no frond was measured: ratio taken"), s.Warnings)

	for i := range rows {
		if i > 20 {
			rows[i].frond = blank
		}
	}
	s = stock(rows, byRatioLength)
	assert.Equal(t, byRatio, s.Conversion)
	assert.True(t, warns(s, "frond length read in 6 weighed quadrats with cover, at least 10 needed"), s.Warnings)
	for i := range rows {
		rows[i].cover = 40
	}
	for _, model := range []string{byLinear, byPower} {
		s = stock(rows, model)
		assert.Equal(t, byRatio, s.Conversion)
		assert.True(t, warns(s, "all weighed quadrats have the same cover: weigh thin and thick ones too"), s.Warnings)
	}
	for i := range rows {
		rows[i].cover = 20 + float64(i)
		if i%4 == 0 {
			rows[i].grams = 2000 - 20*float64(i)
		}
	}
	for _, model := range []string{byLinear, byPower} {
		assert.True(t, warns(stock(rows, model), "weight does not rise with cover"))
	}
	for i := range rows {
		if i%4 == 0 && i > 20 {
			rows[i].grams = 0
		}
	}
	assert.True(t, warns(stock(rows, byPower), "6 quadrats with cover and weight, at least 10 needed"))
}

// Whatever the model, the mean residual brings the estimate back: with a model that is wrong by a factor the total of
// a survey in which the weighed stand for all is the same.
func TestMeanResidualCorrects(t *testing.T) {
	s, r, p, weights := laidOut(bent("A", 4, 60, 2, 1.5, 0))
	f := p.ratio(false)
	f.curve = powered{math.Log(0.001), 1.5} // a third of the true weight, and never fitted
	f.infl = make([][2]float64, len(p.y))
	direct := 0.0
	for i := range p.y {
		direct += p.w[i] * p.y[i]
	}
	got := s.corrected(r, p, f, nil, weights).total.total
	mine, all := 0.0, 0.0
	for i := range r.cover {
		m := f.curve.at(look{cover: r.cover[i]})
		all += weights[i] * m
		if r.paired(i) {
			mine += weights[i] * m
		}
	}
	w1, w2 := sumOf(weights), sumOf(p.w)
	approx(t, "difference estimator", got, all+w1/w2*(direct-mine), 1e-12, 0)
}

// In a wider domain the model is scaled to what was weighed there; its error is shared.
func TestWideModels(t *testing.T) {
	beds := []Bed{bedOf("A", 1000)}
	var rows []quad
	for i := range 6 {
		id := name("B", i)
		beds = append(beds, bedOf(id, 1000))
		rows = append(rows, bent(id, uint64(20+i), 24, 3, 1.8, 0.1)...) // 8 weighed on each
	}
	rows = append(rows, bent("A", 40, 30, 100, 1.8, 0.1)...) // 1 weighed
	f := folderOf(beds, rows)
	s := only(t, Stocks(f, DefaultOptions()), "A", "Fucus", "2024")
	assert.Equal(t, byPower, s.Conversion)
	assert.Equal(t, "shore and year", s.Domain)
	require.NotEmpty(t, s.Shared)
	assert.Equal(t, "calibration|Fucus|shore and year|North|2024|power", s.Shared[0].ID)
	truth := 0.0
	for _, r := range rows[len(rows)-30:] {
		truth += 1000. / 30 * 6 * math.Pow(r.cover/100, 1.8)
	}
	approx(t, "near what stands", s.Kg.Value, truth, 0.08, 0)
	assert.Equal(t, 6, s.BedRatios.Beds)
	assert.False(t, math.IsNaN(s.BedRatios.Tau2))
	opt := DefaultOptions()
	opt.Conversion = byRatio
	plain := only(t, Stocks(f, opt), "A", "Fucus", "2024")
	assert.Equal(t, byRatio, plain.Conversion)
	assert.Less(t, s.Kg.SE, plain.Kg.SE)
}

// wideCurve by a ratio is wideRatio.
func TestWideCurveByRatio(t *testing.T) {
	_, r, _, _ := laidOut(bent("A", 5, 30, 10, 1, 0.2))
	s, _, p, _ := laidOut(bent("A", 5, 30, 10, 1, 0.2))
	sets := []pairs{{bed: 1}, {bed: 2}}
	for b := range sets {
		_, _, q, _ := laidOut(bent("A", uint64(50+b), 60, 4, 1, 0.2))
		for i := range q.y {
			sets[b].kg, sets[b].cover = append(sets[b].kg, q.y[i]), append(sets[b].cover, q.q[i].cover)
			sets[b].m2, sets[b].length = append(sets[b].m2, 0.25), append(sets[b].length, 30)
			sets[b].units, sets[b].covered = append(sets[b].units, 100*b+q.units[i]), sets[b].covered+1
		}
	}
	require.NotEmpty(t, p.y)
	cal := calibrate(sets)
	cal.domain, cal.id = "species", "x"
	want := s.wideRatio(r, cal, "Fucus")
	m := &wideModel{p: pooled(sets), kappa: 1}
	m.fit = m.p.ratio(false)
	for i, q := range m.p.q {
		m.sum += m.p.w[i] * m.curve.at(q)
	}
	other := calibrate(m.predicted(sets))
	other.domain, other.id, other.model = "species", "x", m
	got := s.wideCurve(r, other, "Fucus")
	approx(t, "total", got.total.total, want.total.total, 1e-12, 0)
	for i := range got.shared {
		approx(t, fmt.Sprint("shared ", i), got.shared[i].v, want.shared[i].v, 1e-9, 0)
		approx(t, fmt.Sprint("df ", i), got.shared[i].df, want.shared[i].df, 1e-12, 0)
	}
}

// Weighed on one transect only: the error of any model is that between quadrats, and the result says so.
func TestModelsOnOneTransect(t *testing.T) {
	rows := bent("A", 9, 60, 100, 1.5, 0.1)
	for i := range rows {
		rows[i].transect = name("T", i/12)
		if i < 12 {
			rows[i].grams = 250 * 6 * math.Pow(rows[i].cover/100, 1.5)
		}
	}
	for _, model := range []string{byLinear, byPower} {
		opt := DefaultOptions()
		opt.Conversion = model
		s := only(t, Stocks(folderOf([]Bed{bedOf("A", 1000)}, rows), opt), "A", "Fucus", "2024")
		assert.Equal(t, model, s.Conversion)
		assert.True(t, warns(s, "weighed in one transect only"))
		assert.Greater(t, s.Kg.SE, 0.0)
	}
	// One sampling unit in all: an estimate without an error.
	for i := range rows {
		rows[i].transect = "T1"
	}
	opt := DefaultOptions()
	opt.Conversion = byLinear
	s := only(t, Stocks(folderOf([]Bed{bedOf("A", 1000)}, rows), opt), "A", "Fucus", "2024")
	assert.True(t, s.Kg.OK && s.Kg.Value > 0 && math.IsNaN(s.Kg.SE) && math.IsNaN(s.Kg.Lo))
}
