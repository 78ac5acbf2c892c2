package plan

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

var shoreCosts = Costs{Quadrat: 5, Weigh: 10, Transect: 15, Visit: 45, Tide: 180}

// drawDays draws beds and low waters: few beds, days and heights, so that all calendars can be tried.
func drawDays(rng *rand.Rand, c Costs, sites int) ([]Task, []Low) {
	var tasks []Task
	for i := range 1 + rng.IntN(5) {
		tasks = append(tasks, Task{Bed: fmt.Sprint("b", i), Site: fmt.Sprint("s", rng.IntN(sites)), At: float64(rng.IntN(5)) / 10,
			Work: (c.Tide - c.Visit) * (0.05 + 2.4*rng.Float64()*rng.Float64())})
	}
	var lows []Low
	for d := range 1 + rng.IntN(8) {
		lows = append(lows, Low{Day: 3 * d, Minute: 600 + rng.IntN(300), Height: float64(rng.IntN(6)) / 10})
	}
	return tasks, lows
}

// tryAll finds the most beds that any calendar holds, and the fewest days with so many.
func tryAll(tasks []Task, lows []Low, c Costs) (most, least int) {
	heights := []float64{}
	for _, d := range lows {
		heights = append(heights, d.Height)
	}
	slices.Sort(heights)
	for set := range 1 << len(tasks) {
		var held []Task
		for i, t := range tasks {
			if set>>i&1 == 1 {
				held = append(held, t)
			}
		}
		if len(held) < most {
			continue
		}
		var needs []float64
		for _, t := range held {
			for range c.Tides(t.Work) - 1 {
				needs = append(needs, t.At)
			}
		}
		type bin struct {
			site       string
			room, need float64
		}
		var try func(i int, bins []bin)
		try = func(i int, bins []bin) {
			if i == len(held) {
				all := slices.Clone(needs)
				for _, b := range bins {
					all = append(all, b.need)
				}
				slices.Sort(all)
				if serve(heights, all) && (len(held) > most || len(all) < least) {
					most, least = len(held), len(all)
				}
				return
			}
			t := held[i]
			size := t.Work - float64(c.Tides(t.Work)-1)*(c.Tide-c.Visit) + c.Visit
			for k, b := range bins {
				if b.site == t.Site && b.room >= size-1e-9 {
					more := slices.Clone(bins)
					more[k] = bin{b.site, b.room - size, min(b.need, t.At)}
					try(i+1, more)
				}
			}
			try(i+1, append(slices.Clone(bins), bin{t.Site, c.Tide - size, t.At}))
		}
		try(0, nil)
	}
	return most, least
}

// sound checks what every calendar must keep.
func sound(t *testing.T, k Calendar, tasks []Task, c Costs) {
	t.Helper()
	work, parts, day := map[string]float64{}, map[string]int{}, math.MinInt
	for _, o := range k.Outings {
		require.Greater(t, o.Day, day, "one outing a day, in order")
		day = o.Day
		full := 0.0
		for _, p := range o.Parts {
			i := slices.IndexFunc(tasks, func(x Task) bool { return x.Bed == p.Bed })
			require.LessOrEqual(t, o.Height, tasks[i].At)
			require.Equal(t, tasks[slices.IndexFunc(tasks, func(x Task) bool { return x.Bed == o.Parts[0].Bed })].Site, tasks[i].Site)
			parts[p.Bed]++
			require.Equal(t, parts[p.Bed], p.Number)
			work[p.Bed] += p.Work
			full += p.Work + c.Visit
		}
		require.LessOrEqual(t, full, c.Tide+1e-6)
	}
	for _, x := range tasks {
		left := slices.ContainsFunc(k.Without, func(w Without) bool { return w.Bed == x.Bed })
		if left {
			require.Zero(t, parts[x.Bed])
			continue
		}
		require.InDelta(t, x.Work, work[x.Bed], 1e-6)
		require.Equal(t, c.Tides(x.Work), parts[x.Bed])
	}
	require.LessOrEqual(t, len(tasks)-len(k.Without), k.Most)
	require.GreaterOrEqual(t, len(k.Outings), k.Least)
}

// Where no beds share a low water the most beds are held, in as few days as their work takes: the rule is exact.
func TestDaysOfTheirOwnAreExact(t *testing.T) {
	rng := rand.New(rand.NewPCG(4, 4))
	c := shoreCosts
	c.Visit = 91 // two beds do not fit into one low water
	for range 300 {
		tasks, lows := drawDays(rng, c, 1)
		k := LayDays(tasks, lows, c, 1000)
		sound(t, k, tasks, c)
		most, _ := tryAll(tasks, lows, c)
		require.Equal(t, most, len(tasks)-len(k.Without), "%v %v", tasks, lows)
	}
}

// Where they share, the bounds hold those of all calendars, and the calendar is nearly always the best there is.
func TestSharedDaysAgainstAll(t *testing.T) {
	rng := rand.New(rand.NewPCG(5, 5))
	const cases = 600
	beds, days, told := 0, 0, 0
	for range cases {
		tasks, lows := drawDays(rng, shoreCosts, 2)
		k := LayDays(tasks, lows, shoreCosts, 1000)
		sound(t, k, tasks, shoreCosts)
		most, least := tryAll(tasks, lows, shoreCosts)
		held := len(tasks) - len(k.Without)
		require.LessOrEqual(t, held, most)
		require.LessOrEqual(t, most, k.Most)
		if held == most {
			beds++
			if len(k.Outings) == least {
				days++
			}
			if held == k.Most && len(k.Outings) == k.Least {
				told++
			}
		}
	}
	t.Logf("of %d: most beds %d, in fewest days too %d, shown to be best by the bounds %d", cases, beds, days, told)
	assert.GreaterOrEqual(t, beds, cases*98/100)
	assert.GreaterOrEqual(t, days, cases*96/100)
}

// Visits of a bed lie no farther apart than the window; as many beds are held as in any calendar of beds by themselves.
func TestDaysWithinTheWindow(t *testing.T) {
	rng := rand.New(rand.NewPCG(4, 9))
	c := shoreCosts
	c.Visit = 91 // two beds do not fit into one low water
	const cases, window = 600, 10
	same, apart := 0, 0
	for range cases {
		tasks, _ := drawDays(rng, c, 1)
		var lows []Low
		day := 0
		for range 2 + rng.IntN(8) {
			day += 1 + rng.IntN(3)*rng.IntN(12)
			lows = append(lows, Low{Day: day, Minute: 700, Height: float64(rng.IntN(6)) / 10})
		}
		k := LayDays(tasks, lows, c, window)
		sound(t, k, tasks, c)
		require.Empty(t, farthest(k.Outings, window))
		most, held := mostWithin(tasks, lows, c, window), len(tasks)-len(k.Without)
		require.LessOrEqual(t, held, most)
		require.LessOrEqual(t, most, k.Most)
		if held == most {
			same++
		}
		if slices.ContainsFunc(k.Without, func(w Without) bool { return w.Cause == Apart }) {
			apart++
		}
	}
	t.Logf("of %d: most beds %d; %d with a bed whose days lie too far apart", cases, same, apart)
	assert.GreaterOrEqual(t, same, cases*99/100)
	assert.Positive(t, apart)
}

// mostWithin is the most beds that any calendar holds where none share a low water, by trying all.
func mostWithin(tasks []Task, days []Low, c Costs, window int) int {
	best, used := 0, make([]bool, len(days))
	var put func(i, from, left, last, held int)
	next := func(i, held int) {
		if best = max(best, held); i < len(tasks) {
			put(i, 0, c.Tides(tasks[i].Work), -1, held)
		}
	}
	put = func(i, from, left, last, held int) {
		if left == 0 {
			next(i+1, held+1)
			return
		}
		for d := from; d < len(days); d++ {
			if used[d] || days[d].Height > tasks[i].At || last >= 0 && days[d].Day-days[last].Day > window {
				continue
			}
			used[d] = true
			put(i, d+1, left-1, d, held)
			used[d] = false
		}
		if last < 0 {
			next(i+1, held)
		}
	}
	next(0, 0)
	return best
}

// No other choice of days for the same outings has its first, second, ... day earlier.
func TestDaysAreTheEarliest(t *testing.T) {
	rng := rand.New(rand.NewPCG(6, 6))
	for range 200 {
		tasks, lows := drawDays(rng, shoreCosts, 1)
		k := LayDays(tasks, lows, shoreCosts, 1000)
		var needs []float64
		var got []int
		for _, o := range k.Outings {
			needs, got = append(needs, o.Need), append(got, o.Day)
		}
		slices.Sort(needs)
		for set := range 1 << len(k.Days) {
			var heights []float64
			var days []int
			for i, d := range k.Days {
				if set>>i&1 == 1 {
					heights, days = append(heights, d.Height), append(days, d.Day)
				}
			}
			slices.Sort(heights)
			if len(heights) != len(needs) || !serve(heights, needs) {
				continue
			}
			for i := range days {
				require.LessOrEqual(t, got[i], days[i], "%v %v", tasks, lows)
			}
		}
	}
}

// A worked example: springs and neaps, one bed low on the shore, two that may share a low water and one too high.
func TestDaysByHand(t *testing.T) {
	lows := []Low{{1, 600, 1.2}, {2, 640, 0.9}, {3, 680, 0.6}, {3, 400, 0.5}, {4, 720, 0.3}, {5, 760, 0.4}, {6, 800, 0.8}, {60, 700, 0.3}}
	k := LayDays([]Task{{"ledge", "north", 0.4, 200, 0}, {"point", "north", 0.9, 30, 0}, {"rocks", "north", 0.9, 40, 0}, {"skerry", "north", 0.1, 10, 0},
		{"far", "south", 0.9, 20, 0}, {"flats", "north", 0.9, 1000, 0}}, lows, shoreCosts, 45)
	var got []string
	for _, o := range k.Outings {
		line := []string{fmt.Sprintf("%d %.1f:", o.Day, o.Height)}
		for _, p := range o.Parts {
			line = append(line, fmt.Sprintf("%s %d/%d %.0f", p.Bed, p.Number, p.Of, p.Work))
		}
		got = append(got, strings.Join(line, " "))
	}
	assert.Equal(t, []string{"2 0.9: rocks 1/1 40 point 1/1 30", "3 0.5: far 1/1 20", "4 0.3: ledge 1/2 100", "5 0.4: ledge 2/2 100"}, got)
	assert.Equal(t, []Without{{"skerry", TooHigh, 1, 0}, {"flats", TooFew, 8, 6}}, k.Without)
	assert.Equal(t, 4, k.Most)
	assert.Equal(t, 4, k.Least)
	assert.Len(t, k.Days, 7, "day 3 counts once, at its lowest")

	// Only 4 and 60 are left for the ledge: too far apart for one survey. The others keep their days.
	k = LayDays([]Task{{"ledge", "north", 0.3, 200, 0}, {"point", "north", 0.9, 30, 0}}, lows, shoreCosts, 45)
	assert.Equal(t, []Without{{"ledge", Apart, 2, 2}}, k.Without)
	require.Len(t, k.Outings, 1)
	assert.Equal(t, 2, k.Outings[0].Day)

	// Two beds want the same two days: the shorter work has them.
	k = LayDays([]Task{{"long", "north", 0.4, 260, 0}, {"short", "north", 0.4, 130, 0}}, lows[:7], shoreCosts, 45)
	assert.Equal(t, []Without{{"long", Taken, 2, 2}}, k.Without)
	assert.Equal(t, 1, k.Most)
	assert.Empty(t, LayDays(nil, lows, shoreCosts, 45).Outings)
	assert.Len(t, LayDays([]Task{{"ledge", "", 0.4, 1, 0}}, nil, shoreCosts, 45).Without, 1)
}

// Where not all beds can be held those of a smaller rank come first, though their work is longer and fewer are held; whatever
// still fits is held besides. Where all can be held the ranks change nothing.
func TestDaysByRank(t *testing.T) {
	lows := []Low{{1, 600, 0.3}, {2, 640, 0.3}, {3, 680, 0.8}}
	beds := func(k Calendar) (out []string) {
		for _, o := range k.Outings {
			for _, p := range o.Parts {
				if p.Number == p.Of {
					out = append(out, p.Bed)
				}
			}
		}
		slices.Sort(out)
		return out
	}
	tasks := []Task{{"long", "a", 0.4, 260, 0}, {"one", "b", 0.4, 130, 0}, {"two", "c", 0.4, 130, 0}, {"high", "d", 0.9, 100, 0}}
	k := LayDays(tasks, lows, shoreCosts, 45)
	assert.Equal(t, []string{"high", "one", "two"}, beds(k))
	for i, rank := range []int{1, 2, 2, 2} {
		tasks[i].Rank = rank
	}
	k = LayDays(tasks, lows, shoreCosts, 45)
	sound(t, k, tasks, shoreCosts)
	assert.Equal(t, []string{"high", "long"}, beds(k))
	assert.Equal(t, 3, k.Most)

	rng := rand.New(rand.NewPCG(8, 8))
	first := 0
	for range 300 {
		tasks, lows := drawDays(rng, shoreCosts, 2)
		plain := LayDays(tasks, lows, shoreCosts, 20)
		for i := range tasks {
			tasks[i].Rank = rng.IntN(3)
		}
		k := LayDays(tasks, lows, shoreCosts, 20)
		sound(t, k, tasks, shoreCosts)
		require.Empty(t, farthest(k.Outings, 20))
		if len(plain.Without) == 0 {
			require.Equal(t, plain, k)
			continue
		}
		least := slices.MinFunc(tasks, func(a, b Task) int { return a.Rank - b.Rank }).Rank
		alone := slices.DeleteFunc(slices.Clone(tasks), func(x Task) bool { return x.Rank != least })
		held := 0
		for _, x := range alone {
			if holds(k.Outings, x.Bed) {
				held++
			}
		}
		require.Equal(t, len(alone)-len(LayDays(alone, lows, shoreCosts, 20).Without), held, "of the first rank as many as without the others")
		first++
	}
	assert.Positive(t, first)
}

func BenchmarkLayDays(b *testing.B) {
	rng := rand.New(rand.NewPCG(7, 7))
	var tasks []Task
	for i := range 60 {
		tasks = append(tasks, Task{Bed: fmt.Sprint(i), Site: fmt.Sprint(i % 4), At: rng.Float64(), Work: 600 * rng.Float64()})
	}
	var lows []Low
	for d := range 700 {
		lows = append(lows, Low{Day: d / 2, Minute: 700, Height: 2 * rng.Float64()})
	}
	for _, window := range []int{45, 3} {
		b.Run(fmt.Sprint("window=", window), func(b *testing.B) {
			for b.Loop() {
				LayDays(tasks, lows, shoreCosts, window)
			}
		})
	}
}
