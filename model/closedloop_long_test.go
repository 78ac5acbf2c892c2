//go:build long

package model

import (
	"bytes"
	"flag"
	"fmt"
	"math"
	"os"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

var (
	regions = flag.Int("regions", 300, "regions of the closed loop")
	write   = flag.String("write", "", "where the table of the closed loop is written; empty: nowhere")
)

// The full closed loop, run by .ci/long/closedloop: in every one of ten years the share of stands below the limit stays
// within the risk that the rules allow plus three standard errors, and a third of everything does worse where growth is
// slow. It writes testdata/closedloop/closedloop.csv.
func TestClosedLoopTable(t *testing.T) {
	out := loop(t, *regions, 1000, loopSpecies...)
	var b bytes.Buffer
	b.WriteString("rule,species,stands,yield_pct_of_k_a_year,years_without_cut_pct,years_not_assessed_pct")
	for y := range loopYears {
		fmt.Fprintf(&b, ",below_pct_%d", y+1)
	}
	b.WriteString(",se_pct_10\n")
	for _, rule := range []string{"advice", "third", "uncut"} {
		for _, species := range loopSpecies {
			l := out[rule][species]
			years := float64(l.stands * loopYears)
			if rule == "uncut" {
				l.none, l.unknown = l.unknown, 0 // nothing was asked for
			}
			fmt.Fprintf(&b, "%s,%s,%d,%.2f,%.1f,%.1f", rule, species, l.stands, 100*l.yield/years, 100*float64(l.none)/years, 100*float64(l.unknown)/years)
			for y := range loopYears {
				fmt.Fprintf(&b, ",%.2f", 100*float64(l.below[y])/float64(l.stands))
			}
			fmt.Fprintf(&b, ",%.2f\n", 100*l.se(loopYears-1, 0))
		}
	}
	t.Logf("%d regions\n%s", *regions, b.String())
	for _, species := range loopSpecies {
		l := out["advice"][species]
		for y := range loopYears {
			share := float64(l.below[y]) / float64(l.stands)
			assert.LessOrEqual(t, share, 0.05+3*l.se(y, 0.05), "%s, year %d", species, y+1)
		}
	}
	slow, last := loopSpecies[0], loopYears-1
	assert.Greater(t, out["third"][slow].below[last], out["advice"][slow].below[last])
	if *write != "" {
		require.NoError(t, os.WriteFile(*write, b.Bytes(), 0o644))
	}
}

// se is the standard error of the share below in a year: between regions, whose stands share much, but not less than
// that of as many independent stands at the risk that the rules allow.
func (l *loopTally) se(y int, risk float64) float64 {
	n, mean, ss := float64(len(l.shares[y])), 0.0, 0.0
	for _, x := range l.shares[y] {
		mean += x / n
	}
	for _, x := range l.shares[y] {
		ss += (x - mean) * (x - mean)
	}
	return math.Max(math.Sqrt(ss/math.Max(n-1, 1)/n), math.Sqrt(risk*(1-risk)/float64(l.stands)))
}
