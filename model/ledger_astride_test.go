package model

import (
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"bedstock/survey"
)

// A return over two seasons whose middle is in neither counts in none: both say so with its days, and neither is said to be
// within where it could push it over. One that began over a year ago is told as long as its end is not.
func TestReturnOverTwoSeasons(t *testing.T) {
	plain := bookOf(t, nil)
	l := bookOf(t, func(files fstest.MapFS) {
		add(files, "harvest.csv", "marrowgate,2026-06-01,2026-09-08,Palmaria palmata,400,cut,TS-11,,\n")
	})
	for _, name := range []string{"spring", "autumn"} {
		before, row := rowOf(t, plain, name, "", 2026), rowOf(t, l, name, "", 2026)
		assert.Equal(t, 400.0, row.AstrideKg, name)
		assert.Equal(t, before.CutKg, row.CutKg, "counted in none")
		assert.Equal(t, before.LeftKg, row.LeftKg)
		require.True(t, row.CutKg <= row.LimitKg() && row.CutKg+400 > row.LimitKg(), "%s: %g of %g", name, row.CutKg, row.LimitKg())
		assert.Contains(t, notesOf(row), "400 kg of 2026-06-01 to 2026-09-08 (harvest.csv:")
		assert.Contains(t, notesOf(row), "may be of this, and is not counted here: whether it is within cannot be told")
		assert.Contains(t, row.Sentence(l.On, Kg), "whether it is within cannot be told")
		assert.NotContains(t, row.Sentence(l.On, Kg), "will stay within")
		assert.Equal(t, 400.0, rowOf(t, l, name, "TS-11", 2026).AstrideKg, "the permit that sent it")
		assert.Zero(t, rowOf(t, l, name, "TS-12", 2026).AstrideKg)
		total := totalOf(t, l, row)
		assert.Equal(t, 400.0, total.AstrideKg)
		assert.Contains(t, total.Sentence(l.On, Kg), "400 kg of returns over several seasons may be of this one besides")
	}
	require.NotEmpty(t, l.Strays)
	last := l.Strays[len(l.Strays)-1]
	assert.Equal(t, survey.MakeDay(2026, 9, 8), last.Last)
	assert.Contains(t, last.Why, "2026-06-01 to 2026-09-08 counts in no season: it runs over spring 2026 (2026-03-15 to 2026-06-30) and autumn 2026 (2026-08-15 to 2026-10-15)")
	assert.Equal(t, plain.OutsideMg+400e6, l.OutsideMg)

	// The middle is in the spring: it counts there, and may be of the autumn.
	l = bookOf(t, func(files fstest.MapFS) {
		add(files, "harvest.csv", "marrowgate,2026-05-01,2026-08-20,Palmaria palmata,1,cut,TS-11,,\n")
	})
	assert.Zero(t, rowOf(t, l, "spring", "", 2026).AstrideKg)
	assert.Equal(t, rowOf(t, plain, "spring", "", 2026).CutKg+1, rowOf(t, l, "spring", "", 2026).CutKg)
	assert.Equal(t, 1.0, rowOf(t, l, "autumn", "", 2026).AstrideKg)
}

// totalOf is the sum of the season of a row over all shores.
func totalOf(t *testing.T, l Ledger, row *LedgerRow) *LedgerTotal {
	for i := range l.Totals {
		if x := &l.Totals[i]; x.All && x.Season == row.Season && x.From == row.From {
			return x
		}
	}
	require.Fail(t, "no such total")
	return nil
}
