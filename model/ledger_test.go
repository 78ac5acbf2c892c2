package model

import (
	"fmt"
	"math"
	"strings"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// bookOf is the ledger of one bed of the demo with its own returns, grants and permits, on 2026-09-20.
func bookOf(t *testing.T, change func(fstest.MapFS)) (*Assessment, Ledger) {
	t.Helper()
	files := demoOf(t, "marrowgate")
	if change != nil {
		change(files)
	}
	a := assessFolder(t, files, nil)
	return a, a.Ledger()
}

// row is the row of a season and permit of the dulse on the bed.
func rowOf(t *testing.T, l Ledger, season, permit string, year int) LedgerRow {
	t.Helper()
	for _, r := range l.Rows {
		if r.Species == "Palmaria palmata" && r.Season == season && r.Permit == permit && r.From.Year() == year {
			return r
		}
	}
	require.Fail(t, fmt.Sprint("no row ", season, " ", year, " ", permit))
	return LedgerRow{}
}

// Every gram of harvest.csv is in exactly one season or among the strays.
func TestLedgerSumsAgreeWithTheFile(t *testing.T) {
	a, l := bookOf(t, func(files fstest.MapFS) {
		add(files, "harvest.csv", "marrowgate,2026-09-14,,Palmaria palmata,0.1,cut,TS-11,,\nmarrowgate,2026-09-15,,Palmaria palmata,0.2,cut,TS-11,,\n"+
			"marrowgate,2026-07-10,,Palmaria palmata,12.345678,cut,TS-11,,outside\n")
	})
	var file, seasons, permits, outside int64
	for _, c := range a.Folder.Cuts {
		file += milligrams(c.Kg)
	}
	for _, r := range l.Rows {
		if r.Permit == "" {
			seasons += r.ReturnsMg + r.CastMg
		} else {
			permits += r.ReturnsMg + r.CastMg
		}
	}
	for _, s := range l.Strays {
		if s.Why == "outside every season" {
			outside += milligrams(s.Kg)
		}
	}
	castOutside := l.TotalMg - seasons - outside
	assert.Equal(t, file, l.TotalMg)
	assert.GreaterOrEqual(t, castOutside, int64(0), "only cast weed lies in no season and is no stray")
	assert.LessOrEqual(t, castOutside, l.CastMg)
	assert.Equal(t, seasons, permits+castOf(a, l), "each return is under a permit, cast weed under none")
	require.Len(t, l.Strays, 1)
	assert.Equal(t, int64(12345678), milligrams(l.Strays[0].Kg))
	assert.Positive(t, l.Strays[0].Line)
}

// castOf is what the seasons hold without a permit, mg.
func castOf(a *Assessment, l Ledger) (sum int64) {
	for _, r := range l.Rows {
		if r.Permit != "" {
			continue
		}
		for _, c := range a.Folder.Cuts {
			if c.Permit == "" && c.Bed == r.Bed && c.Species == r.Species && c.From >= r.From && c.From <= r.To {
				sum += milligrams(c.Kg)
			}
		}
	}
	return sum
}

func TestLedgerSplitsOverPermits(t *testing.T) {
	_, l := bookOf(t, nil)
	whole := rowOf(t, l, "autumn", "", 2026)
	require.True(t, whole.Issued())
	assert.Equal(t, 450.0, whole.DecidedKg)
	assert.Equal(t, SeasonRunning, whole.State)
	sum := 0.0
	for _, permit := range []string{"TS-11", "TS-12", "TS-13", "TS-14"} {
		r := rowOf(t, l, "autumn", permit, 2026)
		assert.Equal(t, 112.5, r.DecidedKg, "a quarter")
		sum += r.CutKg
	}
	approx(t, "permits add up", sum, whole.CutKg, 1e-12, 0)
	idle := rowOf(t, l, "autumn", "TS-13", 2026)
	assert.Contains(t, strings.Join(idle.Notes, ";"), "no return so far")
	past := rowOf(t, l, "autumn", "TS-11", 2025)
	assert.Equal(t, SeasonOver, past.State)
	assert.True(t, math.IsNaN(past.AdvisedKg), "the advice of a season that is over is not worked out anew")
	assert.True(t, past.Over())
	assert.Zero(t, past.LeftKg)
}

func TestLedgerOfClosedBedsAndNilReturns(t *testing.T) {
	_, l := bookOf(t, func(files fstest.MapFS) {
		add(files, "closures.csv", "bed,species,from,to,reason\nmarrowgate,,2026-09-10,,red water\n")
		add(files, "harvest.csv", "marrowgate,2026-09-09,,Palmaria palmata,0,cut,TS-13,,nil\n")
	})
	var shut []string
	for _, s := range l.Strays {
		shut = append(shut, fmt.Sprint(s.Day, " ", s.Why))
	}
	assert.Contains(t, shut, "2026-09-12 closed: red water")
	for _, s := range l.Strays {
		assert.GreaterOrEqual(t, s.Day.String(), "2026-09-10", "what was cut before it stays lawful")
	}
	r := rowOf(t, l, "autumn", "TS-13", 2026)
	assert.Equal(t, []int{1, 1}, []int{r.Returns, r.Nil})
	assert.NotContains(t, strings.Join(r.Notes, ";"), "no return so far")
}

// A decision above the advice stands with its risk; the reported share lifts what is cut.
func TestLedgerDecisionAboveTheAdvice(t *testing.T) {
	_, l := bookOf(t, func(files fstest.MapFS) {
		add(files, "decisions.csv", "marrowgate,Palmaria palmata,spring,2027-03-15,2027-06-30,,4000,committee,2026-09-19,,\n")
		files["rules.toml"].Data = append([]byte("reported_share = 0.5\n"), files["rules.toml"].Data...)
	})
	r := rowOf(t, l, "spring", "", 2027)
	assert.Equal(t, 4000.0, r.DecidedKg)
	assert.Greater(t, r.Risk, 0.05)
	assert.Contains(t, strings.Join(r.Notes, ";"), "decided above the advice")
	assert.Equal(t, 4000.0, r.LeftKg)
	now := rowOf(t, l, "autumn", "", 2026)
	approx(t, "twice", now.CutKg, 2*Kilos(now.ReturnsMg), 1e-12, 0)
}

// The pace against the moments of a compound Poisson sum with a gamma rate: mean (n+1/2)/d R m, variance
// E N (s² + m²) + (n+1/2)/d² R² m², with the weights' own mean m and variance s².
func TestPaceOfASeason(t *testing.T) {
	_, l := bookOf(t, nil)
	r := rowOf(t, l, "autumn", "", 2026)
	weights, d, ahead := []float64{70, 93, 99}, 37.0, 25.0
	m, s2 := (70+93+99)/3.0, 0.0
	for _, w := range weights {
		s2 += (w - m) * (w - m) / 3
	}
	n := 3.5 / d * ahead
	mean := 262 + n*m
	sd := math.Sqrt(n*(s2+m*m) + 3.5/(d*d)*ahead*ahead*m*m)
	assert.Greater(t, r.Projected.Median, 262.0)
	assert.InDelta(t, mean, r.Projected.Median, sd/2, "skewed to the right, the median lies below")
	assert.InDelta(t, mean+2*sd, r.Projected.Hi, 0.7*sd)
	assert.InDelta(t, 262, r.Projected.Lo, 90)
	assert.Contains(t, r.Sentence(r.From+36), "262 of 450 kg is cut with 25 days to go; at this pace ")
	few := rowOf(t, l, "spring", "", 2027)
	assert.True(t, math.IsNaN(few.Projected.Median))
}
