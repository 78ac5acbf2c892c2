package survey

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Twice the beds take about twice the places in memory from records to stocks: no step goes through all beds for every bed
// and keeps what it finds there.
func TestStocksAllocateByTheBed(t *testing.T) {
	measure := func(beds int) float64 {
		f, err := Read(files(manyVisits(beds)), smallTable(), DefaultOptions())
		require.NoError(t, err)
		return testing.AllocsPerRun(2, func() { require.Len(t, Stocks(f, DefaultOptions()), beds*5*4) })
	}
	few, some, many := measure(4), measure(8), measure(16)
	t.Logf("allocations of 4, 8 and 16 beds: %.0f, %.0f, %.0f", few, some, many)
	assert.LessOrEqual(t, (many-some)/(some-few), 2.05, "2 is linear, 4 quadratic")
}
