package report

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"bedstock/model"
)

// The page shows what the ledger says of the running season, row by row, and the weights of returns in full.
func TestLedgerInThePage(t *testing.T) {
	a := demoOnce()
	p := ledgerPartOf(a, Options{})
	require.NotNil(t, p)
	require.NotEmpty(t, p.Seasons)
	running := p.Seasons[0]
	assert.True(t, running.Running)
	l := a.Ledger(model.LedgerOptions{})
	want, over := 0, 0
	for _, s := range LedgerSeasons(l) {
		if s.State != model.SeasonRunning {
			continue
		}
		for _, r := range s.Rows {
			if Used(r) {
				line := running.Rows[want]
				want++
				assert.Equal(t, r.Permit, line.Permit)
				assert.Equal(t, Grams(r.CutKg).String(), line.Cut)
				assert.Equal(t, r.Over(), line.Over)
				if r.Over() {
					over++
				}
			}
		}
	}
	assert.Len(t, running.Rows, want)
	assert.Positive(t, over, "the demo has an over-take")
	for _, s := range p.Seasons[1:] {
		assert.False(t, s.Running)
	}
}

// The public edition tells of no permit: it has no ledger, in the page and among the tables.
func TestNoLedgerInPublic(t *testing.T) {
	a, opt := Public(demoOnce(), Options{})
	assert.Nil(t, ledgerPartOf(a, opt))
	files, _, err := tablesOf(a, opt)
	require.NoError(t, err)
	assert.NotContains(t, files, "ledger.csv")
	files, _, err = tablesOf(demoOnce(), Options{})
	require.NoError(t, err)
	assert.Contains(t, files, "ledger.csv")
}

// Where nothing was decided and nothing is cut there is nothing to show.
func TestNoLedgerWithoutCuts(t *testing.T) {
	a := *demoOnce()
	f := *a.Folder
	f.Cuts, f.Decisions = nil, nil
	a.Folder = &f
	assert.Nil(t, ledgerPartOf(&a, Options{}))
}
