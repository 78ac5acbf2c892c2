package model

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"bedstock/data"
	"bedstock/model/offtake"
	"bedstock/survey"
)

// The assignment is the best of all, tried one by one.
func TestAssignmentIsTheLeast(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(1, 5).Draw(t, "rows")
		m := rapid.IntRange(n, 6).Draw(t, "columns")
		cost := make([][]float64, n)
		for i := range cost {
			for range m {
				cost[i] = append(cost[i], float64(rapid.IntRange(-9, 9).Draw(t, "cost")))
			}
		}
		got, used := 0.0, map[int]bool{}
		for i, j := range assignLeast(cost) {
			require.False(t, used[j], "a column twice")
			used[j] = true
			got += cost[i][j]
		}
		assert.Equal(t, leastOf(cost, 0, map[int]bool{}), got)
	})
}

func leastOf(cost [][]float64, row int, used map[int]bool) float64 {
	if row == len(cost) {
		return 0
	}
	least := math.Inf(1)
	for j, c := range cost[row] {
		if !used[j] {
			used[j] = true
			least = min(least, c+leastOf(cost, row+1, used))
			used[j] = false
		}
	}
	return least
}

// Beds are spread evenly over the period, none before its rest is over, and none yields less for the others than it must.
func TestOrderOfTurns(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := turnPlan{period: rapid.IntRange(2, 5).Draw(t, "period")}
		n := rapid.IntRange(1, 9).Draw(t, "beds")
		for range n {
			p.ready = append(p.ready, 0)
			p.now = append(p.now, false)
			var gain []float64
			for range p.years() {
				gain = append(gain, rapid.Float64Range(0, 100).Draw(t, "kg"))
			}
			p.gain = append(p.gain, gain)
		}
		turns := make([]int, p.period)
		for _, y := range p.order(true) {
			require.Less(t, y, p.period)
			turns[y]++
		}
		assert.LessOrEqual(t, slices.Max(turns)-slices.Min(turns), 1, "%v", turns)
		assert.GreaterOrEqual(t, gainOf(p, p.order(true)), gainOf(p, p.order(false))-1e-9)
	})
}

func gainOf(p turnPlan, turns []int) (sum float64) {
	for i, y := range turns {
		sum += p.gain[i][y]
	}
	return sum
}

// A rotation that has run for a while goes on in its order; beds that were all cut at once wait until each has rested and
// no year has more than its part; a bed that is cut this year has its turn this year.
func TestOrderAfterCuts(t *testing.T) {
	plan := func(ready []int, now ...int) []int {
		p := turnPlan{period: 4, ready: ready, now: make([]bool, len(ready))}
		for i := range ready {
			gain := make([]float64, p.years())
			for y := range gain {
				gain[y] = float64(100 - y - i) // all would rather be cut at once
			}
			p.gain = append(p.gain, gain)
		}
		for _, i := range now {
			p.now[i] = true
		}
		return p.order(true)
	}
	assert.Equal(t, []int{1, 3, 0, 2}, plan([]int{1, 3, 0, 2}), "goes on")
	all := plan([]int{3, 3, 3, 3})
	slices.Sort(all)
	assert.Equal(t, []int{3, 4, 5, 6}, all, "all were cut last year")
	assert.Equal(t, 0, plan([]int{0, 0, 0, 0}, 2)[2], "is cut already")
	both := plan([]int{0, 0, 0, 0}, 1, 3)
	assert.Equal(t, []int{0, 0}, []int{both[1], both[3]}, "two are cut already")
	assert.NotContains(t, []int{both[0], both[2]}, 0)
}

func rotated(t testing.TB, rule string, change func(fstest.MapFS), beds ...string) *Assessment {
	files := demoOf(t, beds...)
	add(files, "rules.toml", "\n"+rule)
	if change != nil {
		change(files)
	}
	return assessFolder(t, files, nil)
}

const threeInTurn = "[[rotation]]\nname = \"west\"\nbeds = [\"tarrowick\", \"marrowgate\", \"quernside\"]\nperiod = 3\n"

func TestRotationOfTheDemo(t *testing.T) {
	a := rotated(t, threeInTurn, nil, "tarrowick", "marrowgate", "quernside", "lantry")
	require.Len(t, a.Rotations, 1)
	r := a.Rotations[0]
	require.Len(t, r.Turns, 3)
	assert.Equal(t, 2026, r.From)
	assert.Greater(t, r.YieldKg, 0.0)
	assert.GreaterOrEqual(t, r.YieldKg, r.LeastKg)
	for _, turn := range r.Turns {
		assert.Greater(t, turn.Kg.Median, 0.0, turn.Bed)
	}
	for _, u := range a.Units {
		for _, s := range u.Seasons {
			switch {
			case u.Bed == "lantry":
				assert.NotEqual(t, offtake.ByRest, s.LimitedBy, "in no rotation")
			case s.Status == Closed:
			case r.YearOf(u.Bed, s.From.Year()):
				assert.NotEqual(t, Resting, s.Status, u.Pair)
			default:
				assert.Equal(t, Resting, s.Status, u.Pair)
				assert.Equal(t, 0.0, s.AdvisedKg)
				assert.Contains(t, s.Reason, fmt.Sprintf("its turn in the rotation west is %d", r.Next(u.Bed, s.From.Year())))
			}
		}
	}
	u := unit(t, a, "tarrowick", egg)
	plain := unit(t, assessFolder(t, demoOf(t, "tarrowick", "marrowgate", "quernside", "lantry"), nil), "tarrowick", egg)
	assert.Greater(t, u.Basis.Year.ReplacementKg, plain.Basis.Year.ReplacementKg, "three years to grow back")
	assert.Equal(t, 2, a.Rules.OfftakeOf(u.Pair).RestYears)
	assert.Equal(t, 0, a.Rules.OfftakeOf(Pair{"lantry", egg}).RestYears)
}

// What is asked for does not change the calendar.
func TestRotationUnderAFilter(t *testing.T) {
	files := demoOf(t, "tarrowick", "marrowgate", "quernside")
	add(files, "rules.toml", "\n"+threeInTurn)
	whole := assessFolder(t, files, nil)
	part := Assess(whole.Folder, Config{Rules: whole.Rules, Seed: 1, Draws: testDraws, Only: func(p Pair) bool {
		return p == (Pair{"tarrowick", egg})
	}})
	require.Len(t, part.Units, 1)
	assert.Equal(t, whole.Rotations, part.Rotations)
	for i, s := range unit(t, whole, "tarrowick", egg).Seasons {
		assert.Equal(t, []any{s.AdvisedKg, s.LimitedBy, s.Reason}, []any{part.Units[0].Seasons[i].AdvisedKg, part.Units[0].Seasons[i].LimitedBy,
			part.Units[0].Seasons[i].Reason})
	}
}

// Year after year, cut as the calendar says, each bed is cut once in the period.
func TestRotationRunsOn(t *testing.T) {
	files := demoOf(t, "tarrowick", "marrowgate", "quernside")
	add(files, "rules.toml", "\n"+threeInTurn+"start = 2027\n")
	table, problems := survey.ReadSpecies(data.FS, "species.csv")
	require.Empty(t, problems.Faults())
	cuts := map[string][]int{}
	for year := 2027; year < 2031; year++ {
		folder, rules, err := Load(files, table, LoadOptions{Change: func(r *Rules) error { return r.Override("as_of", "test", fmt.Sprintf("%d-03-20", year)) }})
		require.NoError(t, err)
		a := Assess(folder, Config{Rules: rules, Seed: 1, Draws: 1000})
		require.Len(t, a.Rotations, 1)
		turns := 0
		for _, turn := range a.Rotations[0].Turns {
			if turn.Year == year {
				turns++
				cuts[turn.Bed] = append(cuts[turn.Bed], year)
				add(files, "harvest.csv", fmt.Sprintf("%s,%d-04-01,,%s,50,cut,,,\n", turn.Bed, year, egg))
			}
		}
		assert.Equal(t, 1, turns, "%d: %v", year, a.Rotations[0].Turns)
	}
	require.Len(t, cuts, 3)
	for bed, years := range cuts {
		if years[0] == 2027 {
			assert.Equal(t, []int{2027, 2030}, years, bed)
		} else {
			assert.Len(t, years, 1, bed)
		}
	}
}

// A bed that is closed in a year is not given its turn then where another can take it.
func TestRotationAroundAClosure(t *testing.T) {
	a := rotated(t, threeInTurn+"start = 2027\n", func(files fstest.MapFS) {
		add(files, "closures.csv", "bed,species,from,to,reason\nquernside,,2027-01-01,2028-12-31,works at the slip\n")
	}, "tarrowick", "marrowgate", "quernside")
	r := a.Rotations[0]
	assert.Equal(t, 2029, r.Next("quernside", 2027))
	assert.Empty(t, r.turn("quernside").Note)
}

func TestRotationMistakes(t *testing.T) {
	for _, c := range []struct{ text, want string }{
		{"[[rotation]]\nname = \"a\"\nbeds = [\"tarrowick\", \"tarrowick\"]\nperiod = 3", "rules.toml:3:1: rotation beds: tarrowick is named twice"},
		{"[[rotation]]\nname = \"a\"\nbeds = [\"tarrowick\"]\nperiod = 1", "rules.toml:4:1: rotation period: 1 is not between 2 and 20"},
		{"[[rotation]]\nname = \"a\"\nbeds = [\"tarrowick\"]\nperiod = 11", "rules.toml:1:3: rotation period: 11 years are more than horizon_years 10"},
		{"[[rotation]]\nname = \"a\"\nperiod = 3", "rules.toml:1:3: rotation without beds"},
		{"[[rotation]]\nname = \"a\"\nbeds = [\"tarrowick\"]\nperiod = 3\n[[rotation]]\nname = \"b\"\nbeds = [\"tarrowick\"]\nperiod = 3",
			"rules.toml:7:1: rotation \"b\": tarrowick is in rotation \"a\" already"},
		{"rest_years = 10", "rules.toml:1:1: rest_years: 10 is not less than horizon_years 10"},
	} {
		_, problems := ParseRules(RulesText{Name: RulesFile, Text: []byte(c.text)})
		assert.True(t, strings.HasPrefix(problems.Error(), c.want), "%q\n got %s\nwant %s", c.text, problems.Error(), c.want)
	}
}
