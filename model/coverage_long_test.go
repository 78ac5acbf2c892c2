//go:build long

package model

import (
	"bytes"
	"fmt"
	"math"
	"os"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// The cover of the intervals of r, K and the last stock over 200 simulated regions, run by .ci/long/coverage. The stands
// of a region share their species' truth, so that the standard error is that between regions; here it is bounded by that
// of as many independent regions: sqrt(0.95 0.05/200) = 0.015. It writes testdata/coverage.csv.
func TestCoverageTable(t *testing.T) {
	const regions = 200
	var b bytes.Buffer
	b.WriteString("species,stands,not_converged,r_pct,k_pct,last_stock_pct\n")
	out := covered(t, regions, 2000)
	for _, species := range loopSpecies {
		c := out[species]
		fmt.Fprintf(&b, "%s,%d,%d,%.1f,%.1f,%.1f\n", species, c.stands, c.refused, 100*c.share(c.r), 100*c.share(c.k), 100*c.share(c.stock))
		for name, n := range map[string]int{"r": c.r, "K": c.k, "stock": c.stock} {
			assert.InDelta(t, 0.95, c.share(n), 3*math.Sqrt(0.95*0.05/regions), "%s: %s", species, name)
		}
	}
	t.Logf("\n%s", b.String())
	require.NoError(t, os.WriteFile("testdata/coverage.csv", b.Bytes(), 0o644))
}
