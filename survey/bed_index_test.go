package survey

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"pgregory.net/rapid"
)

func TestRowsOfABedAreThoseOfAWalk(t *testing.T) {
	type row struct {
		bed string
		n   int
	}
	rapid.Check(t, func(t *rapid.T) {
		var rows []row
		for n, bed := range rapid.SliceOf(rapid.SampledFrom([]string{"a", "b", "c", "*"})).Draw(t, "beds") {
			rows = append(rows, row{bed, n})
		}
		found := NewBedIndex(rows, func(r row) string { return r.bed })
		for _, bed := range []string{"a", "b", "c", "d"} {
			var want []row
			for _, r := range rows {
				if r.bed == bed || r.bed == "*" {
					want = append(want, r)
				}
			}
			assert.Equal(t, want, append([]row(nil), found.Of(bed)...), bed)
		}
	})
}
