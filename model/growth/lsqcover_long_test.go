//go:build long

package growth

import (
	"bytes"
	"fmt"
	"os"
	"testing"

	"github.com/stretchr/testify/require"
)

// The real cover of 95 % intervals of the rate over 1000 simulated recoveries a cell, run by .ci/long/lsqcover. It
// writes testdata/lsq_cover.csv; the standard error of a cover near 95 % is 0.7 %.
func TestLSQCoverTable(t *testing.T) {
	var b bytes.Buffer
	b.WriteString("noise,measures,recoveries,fits,se_pct,profile_pct,profile_open_pct,with_bootstrap,profile_of_these_pct,percentile_pct,bca_pct,width_bca_over_profile\n")
	for _, noise := range []string{"even", "uneven"} {
		for _, n := range []int{6, 8, 12, 20, 40} {
			c := coverRate(n, 1000, 999, noise, 1)
			pct := func(hits, of int) float64 { return 100 * share(hits, of) }
			fmt.Fprintf(&b, "%s,%d,%d,%d,%.1f,%.1f,%.1f,%d,%.1f,%.1f,%.1f,%.2f\n", noise, n, c.simulated, c.fits, pct(c.se, c.fits),
				pct(c.profile, c.fits), pct(c.open, c.fits), c.resampled, pct(c.profileToo, c.resampled),
				pct(c.percentile, c.resampled), pct(c.bca, c.resampled), c.wideBCa/c.wide)
		}
	}
	t.Logf("\n%s", b.String())
	require.NoError(t, os.WriteFile("testdata/lsq_cover.csv", b.Bytes(), 0o644))
}
