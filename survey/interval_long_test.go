//go:build long

package survey

import (
	"fmt"
	"os"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// The full simulation, run by .ci/long/cover: 2000 surveys a cell. It writes testdata/interval/cover.csv (by transects
// and occupancy) and holding.csv (by the numbers of transects and of those that held the species, over all
// occupancies).
func TestCoverTable(t *testing.T) {
	const surveys, draws, seed = 2000, 1000, 7
	var scenes []scene
	for _, n := range []int{4, 6, 8, 10, 15, 30} {
		for _, p := range []float64{0.05, 0.2, 0.5, 1} {
			scenes = append(scenes, patchy(n, p))
		}
	}
	for _, n := range []int{4, 8, 15, 30} {
		scenes = append(scenes, nearNormal(n, 0))
	}
	for _, w := range []int{12, 30, 50} {
		scenes = append(scenes, nearNormal(15, w))
	}
	var cells strings.Builder
	cells.WriteString("scene,transects,occupancy_pct,weighed,surveys,none_found,plain_t,t,log_t,bootstrap,resampled," +
		"width_t,width_log_t,width_bootstrap,mean_over_truth,variance_ratio\n")
	holding := map[[2]int]*[3]coverTally{}
	for _, c := range scenes {
		r := c.cover(surveys, draws, seed)
		n := float64(r.plain.n)
		m := r.sum / n
		fmt.Fprintf(&cells, "%s,%d,%g,%d,%d,%.4f,%.4f,%.4f,%.4f,%.4f,%.4f,%.3f,%.3f,%.3f,%.4f,%.4f\n", c.name, c.transects,
			100*c.occupancy, c.weighed, surveys, float64(r.none)/surveys, r.plain.share(), r.kind["t"].share(),
			r.kind["log-t"].share(), r.kind["bootstrap"].share(), float64(r.resampled)/n, r.kind["t"].meanWidth(),
			r.kind["log-t"].meanWidth(), r.kind["bootstrap"].meanWidth(), m/c.total(), r.variances/n/(r.squares/n-m*m))
		t.Log(c, r.plain.share(), r.kind["t"].share(), r.kind["log-t"].share(), r.kind["bootstrap"].share())
		if c.name != "patchy" {
			continue
		}
		for k, v := range r.holding {
			if holding[k] == nil {
				holding[k] = &[3]coverTally{}
			}
			for i := range v {
				holding[k][i].n, holding[k][i].held = holding[k][i].n+v[i].n, holding[k][i].held+v[i].held
			}
		}
	}
	require.NoError(t, os.WriteFile("testdata/interval/cover.csv", []byte(cells.String()), 0o644))
	var keys [][2]int
	for k := range holding {
		keys = append(keys, k)
	}
	slices.SortFunc(keys, func(a, b [2]int) int { return slices.Compare(a[:], b[:]) })
	var by strings.Builder
	by.WriteString("transects,holding,surveys,held_t,held_log_t,resampled,held_bootstrap\n")
	for _, k := range keys {
		fmt.Fprintf(&by, "%d,%d,%d,%d,%d,%d,%d\n", k[0], k[1], holding[k][0].n, holding[k][0].held, holding[k][1].held,
			holding[k][2].n, holding[k][2].held)
	}
	require.NoError(t, os.WriteFile("testdata/interval/holding.csv", []byte(by.String()), 0o644))
}

// meanWidth is the mean width of the intervals over the truth.
func (t coverTally) meanWidth() float64 { return t.width / float64(t.n) }
