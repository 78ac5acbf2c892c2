//go:build long

package model

import (
	"bufio"
	"bytes"
	"encoding/json"
	"flag"
	"fmt"
	"io"
	"math"
	"os"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

var (
	regions = flag.Int("regions", 300, "regions of the closed loop")
	write   = flag.String("write", "", "where the table of the closed loop is written; empty: nowhere")
	kept    = flag.String("kept", "", "file that keeps each region as it is done, so that a run that was stopped goes on; empty: none")
)

// The full closed loop, run by .ci/long/closedloop: in every one of ten years the share of stands below the limit stays
// within the risk that the rules allow plus three standard errors, and a third of everything does worse where growth is
// slow. It writes testdata/closedloop/closedloop.csv.
func TestClosedLoopTable(t *testing.T) {
	out := loopKept(t, *regions, *kept)
	var b bytes.Buffer
	b.WriteString("rule,species,stands,yield_pct_of_k_a_year,years_without_cut_pct,years_not_assessed_pct")
	for y := range loopYears {
		fmt.Fprintf(&b, ",below_pct_%d", y+1)
	}
	b.WriteString(",se_pct_10\n")
	for _, rule := range loopRules {
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

// loopKept follows the regions, those apart that the file holds from an earlier run, and writes each to it when it is done.
func loopKept(t *testing.T, regions int, file string) loopOutcome {
	out := newLoopOutcome(loopSpecies)
	var w io.Writer = io.Discard
	done := 0
	if file != "" {
		f, err := os.OpenFile(file, os.O_RDWR|os.O_CREATE|os.O_APPEND, 0o644)
		require.NoError(t, err)
		defer f.Close()
		for lines := bufio.NewScanner(f); lines.Scan() && done < regions; done++ {
			out.add(readRegion(t, lines.Bytes()))
		}
		w = f
	}
	for region := done; region < regions; region++ {
		o := loop(t, region, 1000, loopSpecies...)
		line, err := json.Marshal(o.plain())
		require.NoError(t, err)
		_, err = fmt.Fprintf(w, "%s\n", line)
		require.NoError(t, err)
		out.add(o)
	}
	return out
}

// plainTally is a tally as a file keeps it.
type plainTally struct {
	Stands, None, Unknown int
	Below                 [loopYears]int
	Shares                [loopYears][]float64
	Yield                 float64
}

func (o loopOutcome) plain() map[string]map[string]plainTally {
	out := map[string]map[string]plainTally{}
	for rule, by := range o {
		out[rule] = map[string]plainTally{}
		for species, l := range by {
			out[rule][species] = plainTally{l.stands, l.none, l.unknown, l.below, l.shares, l.yield}
		}
	}
	return out
}

func readRegion(t *testing.T, line []byte) loopOutcome {
	var plain map[string]map[string]plainTally
	require.NoError(t, json.Unmarshal(line, &plain))
	out := loopOutcome{}
	for rule, by := range plain {
		out[rule] = map[string]*loopTally{}
		for species, p := range by {
			out[rule][species] = &loopTally{stands: p.Stands, none: p.None, unknown: p.Unknown, below: p.Below, shares: p.Shares, yield: p.Yield}
		}
	}
	return out
}

// add adds what became of other regions.
func (o loopOutcome) add(b loopOutcome) {
	for rule, by := range b {
		for species, l := range by {
			sum := o[rule][species]
			sum.stands, sum.none, sum.unknown, sum.yield = sum.stands+l.stands, sum.none+l.none, sum.unknown+l.unknown, sum.yield+l.yield
			for y := range loopYears {
				sum.below[y] += l.below[y]
				sum.shares[y] = append(sum.shares[y], l.shares[y]...)
			}
		}
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
