//go:build long

package growth

import (
	"bytes"
	"fmt"
	"os"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/stat/distuv"
)

// Simulation-based calibration at full size, run by .ci/long/sbc: 1000 simulated coasts of three beds, the least
// chi-square p of all quantities above 1 % over their number (Bonferroni), and below one in a million for one of them where
// the process noise is taken at half of what it is. Coasts of six beds are sampled as the tool does it, in runs that are
// lengthened until a bed has converged, while others have ended or run on.
// It writes testdata/sbc.csv, a row a quantity with the counts of ranks, which are the figure.
func TestCalibrationTable(t *testing.T) {
	s := sbcSetting()
	s.beds, s.bins = 3, 20
	s.effort = effort{warmUp: []int{60, 120, 200}, points: 7960, attempts: 1}
	const sims = 1000
	law := distuv.ChiSquared{K: float64(s.bins - 1)}
	var b bytes.Buffer
	b.WriteString("model,quantity,simulations,unconverged,chi_square,p" + strings.Repeat(",bin", s.bins) + "\n")
	tested := float64(3*len(calibrated) - 2) // of those that are right
	once := s
	for _, model := range []string{"right", "reported share not known", "lengthened", "noise halved"} {
		s = once
		if model == "lengthened" {
			s.beds, s.effort = 6, effort{warmUp: []int{60, 120, 200}, points: 3980, attempts: 6}
		}
		if model == "reported share not known" {
			s.set.ReportedCV = 0.6
		}
		ranks, unconverged := s.ranks(t, sims, func(set *Settings) {
			if model == "noise halved" {
				set.SigmaProcess /= 2
			}
		})
		least := 1.0
		for j, chi := range s.uniformity(ranks) {
			p := law.Survival(chi)
			least = min(least, p)
			fmt.Fprintf(&b, "%s,%s,%d,%d,%.1f,%.4f", model, calibrated[j], sims, unconverged, chi, p)
			for _, n := range s.counts(ranks[j]) {
				fmt.Fprintf(&b, ",%.0f", n)
			}
			b.WriteString("\n")
			if model != "noise halved" {
				assert.Greater(t, p, 0.01/tested, calibrated[j])
			}
		}
		if model == "noise halved" {
			assert.Less(t, least, 1e-6, "a wrong process noise goes unnoticed")
		}
	}
	t.Logf("\n%s", b.String())
	require.NoError(t, os.WriteFile("testdata/sbc.csv", b.Bytes(), 0o644))
}
