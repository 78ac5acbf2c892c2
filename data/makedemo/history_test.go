package makedemo

import (
	"cmp"
	"math"
	"slices"
	"testing"
	"time"
)

// A fine Runge-Kutta solution of the differential equation is the reference: error of order 1e-12 at 4000 steps.
func TestGrownSolvesTheEquation(t *testing.T) {
	kd := kinds[oarweed]
	const r, k, t1, t2 = 0.8, 12.0, 52.3, 54.1
	tp := (kd.peak - 1) / 12
	slope := func(at, b float64) float64 {
		return r * (1 + kd.amplitude*math.Cos(2*math.Pi*(at-tp))) * b * (1 - b/k)
	}
	b, h := 2.0, (t2-t1)/4000
	for i := range 4000 {
		at := t1 + float64(i)*h
		k1 := slope(at, b)
		k2 := slope(at+h/2, b+h/2*k1)
		k3 := slope(at+h/2, b+h/2*k2)
		k4 := slope(at+h, b+h*k3)
		b += h / 6 * (k1 + 2*k2 + 2*k3 + k4)
	}
	approx(t, "grown", grown(2, r, k, kd, t1, t2), b, 1e-9, 0)
	approx(t, "nothing grows from nothing", grown(0, r, k, kd, t1, t2), 0, 0, 0)
	approx(t, "full stays full", grown(k, r, k, kd, t1, t2), k, 1e-12, 0)
}

// loss is a cut (kg) or an event (share left), at a time in days.
type loss struct{ at, kg, left float64 }

// Replaying harvest.csv and the events with the true r and K leaves nothing but the noise between surveys.
func TestFilesExplainTheStocks(t *testing.T) {
	var s1, s2, n float64
	for seed := uint64(1); seed <= 12; seed++ {
		files, truth := Generate(seed)
		losses := map[Key][]loss{}
		for _, c := range readRows(t, files["harvest.csv"]) {
			if c["origin"] != "cut" {
				continue
			}
			from, to := day(c["date"]), day(c["date"])
			if c["date_to"] != "" {
				to = day(c["date_to"])
			}
			key := Key{c["bed"], c["species"]}
			losses[key] = append(losses[key], loss{float64(from+to) / 2, number(t, c["wet_kg"]), 1})
		}
		for _, key := range truth.Keys {
			if truth.K[key] == 0 {
				continue
			}
			all := slices.Clone(losses[key])
			for _, e := range events {
				if e.bed == key.Bed {
					all = append(all, loss{float64(day(e.date)), 0, e.left})
				}
			}
			slices.SortStableFunc(all, func(x, y loss) int { return cmp.Compare(x.at, y.at) })
			stocks := truth.Stock[key]
			for i := 1; i < len(stocks); i++ {
				dt, z := replay(truth, key, stocks[i-1], stocks[i], all)
				s1 += z / math.Sqrt(dt)
				s2 += z * z / dt
				n++
			}
		}
	}
	// About 1200 intervals: the standard errors are 0.15/sqrt(1200) = 0.004 of the mean and 0.003 of the sd; the mean may
	// be a little below 0, as stocks near full cover are held below it.
	approx(t, "mean of the noise", s1/n, 0, 0, 0.012)
	approx(t, "sd of the noise", math.Sqrt(s2/n), sigma, 0.07, 0)
}

// replay is the time between two surveys in years and the log of the second stock over what the model expects.
func replay(truth Truth, key Key, from, to StockAt, all []loss) (dt, z float64) {
	kd := kinds[key.Species]
	b, now, end := from.Kg, float64(day(from.Date)), float64(day(to.Date))
	for _, l := range all {
		if l.at <= now || l.at > end {
			continue
		}
		b = (grown(b, truth.R[key], truth.K[key], kd, years(now), years(l.at)) - l.kg) * l.left
		now = l.at
	}
	b = grown(b, truth.R[key], truth.K[key], kd, years(now), years(end))
	return years(end - float64(day(from.Date))), math.Log(to.Kg / b)
}

// Surveys start within three days of a new or full moon. Mean lunation from the new moon of 2000-01-06 18:14 UTC, period
// 29.530588853 days (Meeus 1998, Astronomical Algorithms, ch. 49; from memory); the true moon strays from it by 0.6 days.
func TestSurveysAreOnSpringTides(t *testing.T) {
	const period = 29.530588853
	first := float64(time.Date(2000, 1, 6, 18, 14, 0, 0, time.UTC).Unix()) / 86400
	for year, date := range surveyStart {
		phase := math.Mod(float64(day(date))+0.5-first, period/2)
		if late := min(phase, period/2-phase); late > 3 {
			t.Errorf("the survey of %d starts %.1f days off a new or full moon", year, late)
		}
	}
}

// A regrowth plot tells of growth alone: no storm fell on its bed while it was watched.
func TestPlotsSawNoStorm(t *testing.T) {
	for _, p := range plots {
		from := day(p.start)
		to := from + p.days[len(p.days)-1]
		if to > day(AsOf) {
			t.Errorf("plot %s goes on after the day of the assessment", p.name)
		}
		for _, e := range events {
			if at := day(e.date); e.bed == p.bed && e.left < 1 && from <= at && at <= to {
				t.Errorf("plot %s was hit by the event of %s", p.name, e.date)
			}
		}
	}
}
