package survey

import (
	"os"
	"testing"

	"github.com/stretchr/testify/require"
)

// Lengths of the invented demo survey, in ns per row of quadrats.csv and fronds.csv.
func BenchmarkLengths(b *testing.B) {
	table, problems := ReadSpecies(os.DirFS("../data"), "species.csv")
	require.Empty(b, problems.Faults())
	f, err := Read(os.DirFS("../data/demo"), table, DefaultOptions())
	require.NoError(b, err)
	for b.Loop() {
		Lengths(f, DefaultOptions())
	}
	b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N)/float64(f.Quadrats.Len()+f.Fronds.Len()), "ns/row")
}

// Stocks of the demo survey, most of whose species have rules of length.
func BenchmarkStocksWithLengths(b *testing.B) {
	table, problems := ReadSpecies(os.DirFS("../data"), "species.csv")
	require.Empty(b, problems.Faults())
	f, err := Read(os.DirFS("../data/demo"), table, DefaultOptions())
	require.NoError(b, err)
	for b.Loop() {
		Stocks(f, DefaultOptions())
	}
	b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N)/float64(f.Quadrats.Len()+f.Fronds.Len()), "ns/row")
}
