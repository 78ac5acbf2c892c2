package survey

import (
	"math"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
)

// R survey's intervals of 30 surveys of a patchy species (testdata/interval/bootstrap.R): total, standard error and
// degrees of freedom to 1e-9, and the t interval where it stays above 0; so both hold the truth in the same surveys.
// Where R's interval reaches below 0 ours is on the log, and Lo is above 0.
func TestIntervalsAgainstR(t *testing.T) {
	rows := map[string][]quad{}
	for _, rec := range intervalTable(t, "patchy.csv") {
		q := clipped("A", rec[2], rec[3], "Fucus", testDay, blank, 1000*number(t, rec[4])*number(t, rec[5]))
		if q.stratum, q.m2 = rec[1], number(t, rec[4]); q.grams == 0 {
			q.cover = 0
		}
		rows[rec[0]] = append(rows[rec[0]], q)
	}
	c := patchy(10, 0.5) // the strata and the true stock are those of every occupancy
	below, held := 0, [2]int{}
	for _, rec := range intervalTable(t, "intervals_R.csv") {
		f := folderOf([]Bed{bedOf("A", 5000)}, rows[rec[0]])
		f.Strata = c.strata()
		e := Stocks(f, DefaultOptions())[0].Kg
		for i, got := range []float64{e.Value, e.SE, e.DF} {
			approx(t, "survey "+rec[0], got, number(t, rec[1+i]), 1e-9, 0)
		}
		lo, hi := number(t, rec[4]), number(t, rec[5])
		w := tQuantile(0.975, e.DF) * e.SE // the plain interval of cover.csv
		approx(t, "plain lo "+rec[0], e.Value-w, lo, 0, 1e-9*e.Value)
		approx(t, "plain hi "+rec[0], e.Value+w, hi, 1e-9, 0)
		if lo < 0 {
			below++
			assert.Equal(t, "log-t", e.Kind)
			assert.Greater(t, e.Lo, 0.0)
			continue
		}
		approx(t, "lo "+rec[0], e.Lo, lo, 1e-9, 0)
		approx(t, "hi "+rec[0], e.Hi, hi, 1e-9, 0)
		for i, iv := range [][2]float64{{e.Lo, e.Hi}, {lo, hi}} {
			if iv[0] <= c.total() && c.total() <= iv[1] {
				held[i]++
			}
		}
	}
	assert.Equal(t, held[0], held[1])
	t.Logf("%d of 30 below 0; of the others %d hold the truth, R's %d", below, held[0], held[1])
	assert.Less(t, below, 20)
}

// The real cover of 95 % intervals by simulation, here with few surveys of the cells of testdata/interval/cover.csv
// (2000 surveys each, .ci/long/cover): within three standard errors of the difference from what stands there.
func TestCoverOfIntervals(t *testing.T) {
	const surveys = 300
	full := map[scene][]string{}
	for _, rec := range intervalTable(t, "cover.csv") {
		full[sceneOf(t, rec)] = rec
	}
	for _, c := range []scene{nearNormal(15, 0), nearNormal(15, 50), patchy(10, 0.2), patchy(15, 0.05), patchy(30, 0.5)} {
		r, rec := c.cover(surveys, 0, 3), full[c]
		if rec == nil {
			t.Fatalf("no cell %+v in cover.csv", c)
		}
		for i, got := range []float64{r.plain.share(), r.kind["t"].share(), r.kind["log-t"].share()} {
			want := number(t, rec[6+i])
			approx(t, c.name, got, want, 0, 3*math.Sqrt(want*(1-want)*(1./surveys+1./2000)))
		}
		m := r.sum / float64(r.plain.n)
		if r.none == 0 { // else the mean is of those that found it
			approx(t, c.name+" mean", m, c.total(), 0, 4*math.Sqrt(r.variances/float64(r.plain.n)/surveys))
		}
	}
}

// What the full simulation must show: near-normal surveys of 15 transects hold the truth in 93 to 97 of 100, all weighed,
// and in 92 to 97 with 30 or more weighed; the log-t interval is not worse than the t interval for patchy species of half
// occupancy and more; where most surveys could be resampled, the bootstrap is nearer to 95 than either.
func TestCoverTableHolds(t *testing.T) {
	for _, rec := range intervalTable(t, "cover.csv") {
		c := sceneOf(t, rec)
		at := func(i int) float64 { return number(t, rec[i]) }
		plain, log, boot, resampled := at(7), at(8), at(9), at(10)
		if c.name == "near-normal" && c.transects >= 15 && (c.weighed == 0 || c.weighed >= 30) {
			least := 0.93
			if c.weighed > 0 {
				least = 0.92
			}
			assert.True(t, plain >= least && plain <= 0.97, "%v: %g", rec, plain)
		}
		if c.name == "patchy" && c.occupancy >= 0.5 {
			assert.Greater(t, log, plain, "%v", rec)
		}
		if c.name == "patchy" && resampled > 0.9 {
			assert.True(t, math.Abs(boot-0.95) < math.Abs(plain-0.95) && math.Abs(boot-0.95) < math.Abs(log-0.95), "%v", rec)
		}
	}
}

// sceneOf is the scene of a row of cover.csv.
func sceneOf(t *testing.T, rec []string) scene {
	n, w := int(number(t, rec[1])), int(number(t, rec[3]))
	if rec[0] == "near-normal" {
		return nearNormal(n, w)
	}
	return patchy(n, number(t, rec[2])/100)
}

// The figures of the warning are those of the simulations: within half a percent of holding.csv, by rows as in
// realCover, of the t, the log-t and the bootstrap interval; the last where at least 200 surveys could be resampled.
func TestRealCover(t *testing.T) {
	type sums struct{ n, held [3]float64 }
	rows := make([]sums, len(realCover))
	enough := sums{}
	for _, rec := range intervalTable(t, "holding.csv") {
		at := func(i int) float64 { return number(t, rec[i]) }
		all, k := int(at(0)), int(at(1))
		to := &enough
		if _, ok := coverOf("t", k, all); ok {
			to = &rows[slices.IndexFunc(realCover, func(r coverRow) bool { return k <= r.most })]
		}
		for i, col := range [3][2]int{{2, 3}, {2, 4}, {5, 6}} {
			to.n[i], to.held[i] = to.n[i]+at(col[0]), to.held[i]+at(col[1])
		}
	}
	for i, r := range rows {
		for kind, want := range [3]float64{realCover[i].t, realCover[i].log, realCover[i].bootstrap} {
			if kind == 2 && r.n[kind] < 200 {
				approx(t, "not known", want, math.NaN(), 0, 0)
				continue
			}
			approx(t, name("row ", i)+name(" kind ", kind), want, 100*r.held[kind]/r.n[kind], 0, 0.5)
		}
	}
	t.Logf("not warned of: t %.3f, log-t %.3f, bootstrap %.3f", enough.held[0]/enough.n[0], enough.held[1]/enough.n[1],
		enough.held[2]/enough.n[2])
	assert.Greater(t, enough.held[0]/enough.n[0], 0.9)
}

// The warning tells the real cover of the interval that was taken, and of fourteen transects only where others lack it.
func TestNarrowWarning(t *testing.T) {
	stock := func(with, all int, interval string) Stock {
		var rows []quad
		for i := range all {
			kg := 1 + float64(i%4)
			if i >= with {
				kg = 0
			}
			rows = append(rows, clipped("A", name("T", i), "1", "Fucus", testDay, 10*kg, 250*kg))
		}
		opt := bootstrapOptions()
		opt.Interval = interval
		return Stocks(folderOf([]Bed{bedOf("A", 100)}, rows), opt)[0]
	}
	assert.True(t, warns(stock(1, 12, "t"), "only 1 transect holds the species; where it is patchy, a 95 % interval holds the stock about 77 % of the time"))
	assert.True(t, warns(stock(8, 12, "t"), "only 8 transects hold the species; where it is patchy, a 95 % interval holds the stock about 89 % of the time"))
	assert.True(t, warns(stock(8, 12, "log-t"), "holds the stock about 91 % of the time"))
	s := stock(8, 12, "bootstrap")
	assert.Equal(t, "bootstrap", s.Kg.Kind)
	assert.False(t, warns(s, "too narrow"))
	assert.True(t, warns(stock(12, 20, "t"), "only 12 transects hold the species"))
	assert.False(t, warns(stock(12, 12, "t"), "too narrow"))
	assert.False(t, warns(stock(15, 30, "t"), "too narrow"))
}
