package survey

import (
	"cmp"
	"math/rand/v2"
	"slices"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// labels are bed, survey and date of every round.
func labels(rs []round, beds []Bed) []string {
	var out []string
	for _, r := range rs {
		out = append(out, beds[r.bed].ID+" "+r.label+" "+r.date.String())
	}
	return out
}

func TestRoundsByDates(t *testing.T) {
	day := func(y int, m time.Month, d int) Day { return MakeDay(y, m, d) }
	days := []Day{day(2021, 5, 1), day(2021, 5, 11), day(2021, 9, 1), // 113 days between
		day(2022, 12, 10), day(2023, 1, 20), // 41 days, over New Year
		day(2024, 5, 1), day(2024, 6, 15), day(2024, 7, 31)} // 45 and 46 days
	var rows []quad
	for i, d := range days {
		rows = append(rows, seen("A", "", name("q", i), "Fucus", d, 10))
	}
	slices.Reverse(rows) // the order of the file does not matter
	f := folderOf([]Bed{bedOf("A", 100)}, rows)
	got := labels(rounds(f, 45), f.Beds)
	assert.Equal(t, []string{"A 2021 2021-05-06", "A 2021-2 2021-09-01", "A 2022 2022-12-31", // the mean of 10 Dec and 20 Jan, rounded up
		"A 2024 2024-05-24", "A 2024-2 2024-07-31"}, got)
	assert.Len(t, rounds(f, 46), 4)
}

// The date is the mean over quadrats, not over rows.
func TestRoundDateCountsQuadratsOnce(t *testing.T) {
	d := MakeDay(2024, 5, 1)
	rows := []quad{seen("A", "", "1", "Fucus", d, 1), seen("A", "", "1", "Ulva", d, 1), seen("A", "", "1", "Palmaria", d, 1),
		seen("A", "", "2", "Fucus", d+10, 1)}
	f := folderOf([]Bed{bedOf("A", 100)}, rows)
	assert.Equal(t, d+5, rounds(f, 45)[0].date)
}

func TestRoundsDeclared(t *testing.T) {
	d := MakeDay(2024, 5, 1)
	rows := []quad{seen("A", "", "1", "Fucus", d, 1), seen("A", "", "2", "Fucus", d+20, 1), seen("A", "", "3", "Fucus", d+30, 1),
		seen("B", "", "1", "Fucus", d, 1)}
	rows = append(rows, quad{bed: "B", quadrat: "2", day: d + 1, visit: Planned, m2: 0.25, cover: blank, grams: blank, weighed: blank, frond: blank})
	f := folderOf([]Bed{bedOf("A", 100), bedOf("B", 100)}, rows)
	f.Surveys = []Declared{{Bed: "A", Survey: "after the cut", From: d + 15, To: d + 25},
		{Bed: "A", Survey: "2024", From: d - 5, To: d + 15}, {Bed: "A", Survey: "next", From: d + 400, To: d + 410}}
	rs := rounds(f, 45)
	assert.Equal(t, []string{"A 2024 2024-05-01", "A after the cut 2024-05-21", "A 2024-2 2024-05-31", "A next 2025-06-10",
		"B 2024 2024-05-01"}, labels(rs, f.Beds))
	assert.Equal(t, [2]Day{d - 5, d + 15}, [2]Day{rs[0].from, rs[0].to})
	assert.Len(t, rs[4].rows, 1, "planned quadrats are no visits")

	stocks := Stocks(f, DefaultOptions())
	require.Len(t, stocks, 4, "no stock of a survey that was not done")
	assert.Equal(t, "2024", stocks[0].Survey)
}

// Rows come in the order of a plain stable sort, whether those of a quadrat stand together or not.
func TestSortByQuadratIsAStableSort(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		q := &drawnQuadrats(rand.New(rand.NewPCG(rapid.Uint64().Draw(t, "seed"), 6)), rapid.IntRange(0, 50).Draw(t, "quadrats")).Quadrats
		var rows []int32
		for i := range q.Len() {
			if rapid.IntRange(0, 9).Draw(t, "keep") > 0 {
				rows = append(rows, int32(i))
			}
		}
		want := slices.Clone(rows)
		slices.SortStableFunc(want, func(a, b int32) int {
			return cmp.Or(cmp.Compare(q.Stratum[a], q.Stratum[b]), cmp.Compare(q.Transect[a], q.Transect[b]),
				cmp.Compare(q.Quadrat[a], q.Quadrat[b]), cmp.Compare(q.Day[a], q.Day[b]), cmp.Compare(q.Species[a], q.Species[b]))
		})
		sortByQuadrat(q, rows)
		require.Equal(t, want, rows)
	})
}
