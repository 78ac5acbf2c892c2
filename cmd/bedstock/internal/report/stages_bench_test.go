//go:build bench && linux

package report

import (
	"flag"
	"fmt"
	"math"
	"os"
	"testing"

	"github.com/stretchr/testify/require"

	"bedstock/data"
	"bedstock/model"
	"bedstock/model/growth"
	"bedstock/survey"
)

var (
	benchFolder = flag.String("folder", "", "the survey folder")
	benchTo     = flag.String("to", "report", "the last stage: stock, assess, report or figures")
	benchDraws  = flag.Int("draws", 4000, "draws of the posterior")
)

// TestStages runs the main job on a folder and prints, for each stage alone, its time (s), the time of all cores (s), and
// the most memory that the process held by its end (kB): "stage NAME WALL CPU MEMORY"; and how well growth was sampled.
// .ci/bench/run reads it.
func TestStages(t *testing.T) {
	if *benchFolder == "" {
		t.Skip("-folder is not given")
	}
	table, problems := survey.ReadSpecies(data.FS, "species.csv")
	require.Empty(t, problems.Faults())
	c := newStageClock()
	f, rules, err := model.Load(os.DirFS(*benchFolder), table, model.LoadOptions{})
	require.NoError(t, err)
	fmt.Printf("rows %d\n", f.Quadrats.Len())
	c.lap("read")
	stocks := survey.Stocks(f, rules.Survey)
	c.lap("stock")
	fmt.Printf("stocks %d\n", len(stocks))
	if *benchTo == "stock" {
		return
	}
	growth.TogetherBySpecies(model.FitPlots(f, rules.Survey.Confidence), rules.Survey.Confidence)
	c.lap("plots")
	a := assessed(c, f, model.Config{Rules: rules, Seed: 1, Draws: *benchDraws})
	if *benchTo == "assess" {
		return
	}
	a.EvidenceTable()
	c.lap("evidence")
	opt := Options{Version: "bench", Figures: DrawNone}
	_, err = Files(a, opt)
	require.NoError(t, err)
	c.lap("tables")
	if *benchTo == "report" {
		return
	}
	figs, err := Figures(a, Options{Version: "bench"})
	require.NoError(t, err)
	c.lap("figures")
	fmt.Printf("figures %d\n", len(figs))
}

// assessed runs the assessment and tells its stages apart by what it tells of its progress: stocks and plots once more
// and what else goes before growth are "prepare", what comes after growth is "offtake".
// What the page asks of each advice is asked by the page here, in "tables"; the built program asks it beside the advice.
func assessed(c *stageClock, f *survey.Folder, cfg model.Config) *model.Assessment {
	cfg.Progress = func(stage string, done, _ int) {
		switch {
		case stage == model.StageGrowth && done == 0:
			c.lap("prepare")
		case stage == model.StageOfftake && done == 0:
			c.lap("growth")
		}
	}
	a := model.Assess(f, cfg)
	c.lap("offtake")
	printReached(a)
	return a
}

// printReached prints "reached growth ESS RHAT", the smallest effective size and the largest R-hat of what growth sampled.
func printReached(a *model.Assessment) {
	ess, rhat := math.Inf(1), 0.0
	worst := func(e, r float64) {
		if !math.IsNaN(e) { // not sampled
			ess, rhat = min(ess, e), max(rhat, r)
		}
	}
	for _, s := range a.Species {
		worst(s.Pool.ESS, s.Pool.RHat)
		for _, b := range s.Pool.Beds {
			worst(b.ESS, b.RHat)
		}
	}
	fmt.Printf("reached growth %.0f %.3f\n", ess, rhat)
}
