package survey

import (
	"fmt"
	"math"
	"strings"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

func typed(t require.TestingT, file, first, name, second string) (*Typings, Problems) {
	out, problems, err := CompareTypings(fstest.MapFS{file: {Data: []byte(first)}}, fstest.MapFS{name: {Data: []byte(second)}}, name, Options{})
	require.NoError(t, err)
	return out, problems
}

const twiceHeader = "bed,date,transect,quadrat,quadrat_m2,species,cover_pct,biomass_g,notes\n"

// Numbers are compared as numbers, dates and names of species as such, text trimmed; blank is not 0.
func TestTypingsSayTheSame(t *testing.T) {
	first := twiceHeader + "Reef,2031-06-14,1,Q1,0.25,Fucus serratus,40,120,\nReef,2031-06-14,1,Q2,0.25,,0,,calm\n"
	second := "species,cover_pct,notes,bed,date,transect,quadrat,quadrat_m2,biomass_g\r\n" +
		"fucus  serratus,40.0,,Reef,2031-06-14,1,Q1,.25,1.2e2\r\n,0, calm ,Reef,2031-06-14,1,Q2,0.250,\r\n"
	out, problems := typed(t, "quadrats.csv", first, "quadrats-2.csv", second)
	assert.Empty(t, problems)
	assert.Empty(t, out.Differ)
	assert.Equal(t, 2, out.Rows)
	assert.Equal(t, 15, out.All.Cells)

	out, _ = typed(t, "quadrats.csv", first, "quadrats.csv", strings.Replace(first, "0.25,,0,,", "0.25,,0,0,", 1))
	require.Len(t, out.Differ, 1)
	assert.Equal(t, TypingDiff{Kind: CellDiffers, Column: "biomass_g", Row: "Reef 2031-06-14 1 Q2",
		First: TypedCell{Line: 3, Column: 30, Text: ""}, Second: TypedCell{Line: 3, Column: 30, Text: "0"}}, out.Differ[0])
}

// Every difference has its place in both files, in whatever order their rows and columns stand; characters count, not
// bytes.
func TestTypingsPlaces(t *testing.T) {
	first := "bed,quadrat,date,quadrat_m2,species,cover_pct\nMünd,Q1,2031-06-14,0.25,Egg,40\nMünd,Q2,2031-06-14,0.25,Egg,13\n"
	second := "bed,date,quadrat,quadrat_m2,species,cover_pct\nMünd,2031-06-14,Q2,0.25,Egg,31\nMünd,2031-06-14,Q1,0.25,Egg,40\n"
	out, _ := typed(t, "quadrats.csv", first, "anna.csv", second)
	require.Len(t, out.Differ, 1)
	assert.Equal(t, TypedCell{3, 29, "13"}, out.Differ[0].First)
	assert.Equal(t, TypedCell{2, 29, "31"}, out.Differ[0].Second)
	assert.Equal(t, "quadrats.csv", out.Table)
}

// A slip in the key is one cell, not two lost rows; a row that was left out is one row.
func TestTypingsSlipInTheKey(t *testing.T) {
	row := func(q string, cover int) string { return fmt.Sprintf("Reef,2031-06-14,1,%s,0.25,Egg,%d,,\n", q, cover) }
	out, _ := typed(t, "quadrats.csv", twiceHeader+row("Q07", 10)+row("Q08", 20)+row("Q09", 30),
		"quadrats_b.csv", twiceHeader+row("Q70", 10)+row("Q08", 20)+row("Q09", 30))
	require.Len(t, out.Differ, 1)
	assert.Equal(t, "quadrat", out.Differ[0].Column)
	assert.Equal(t, "Q70", out.Differ[0].Second.Text)

	out, _ = typed(t, "quadrats.csv", twiceHeader+row("Q07", 10)+row("Q08", 20)+row("Q09", 30),
		"quadrats_b.csv", twiceHeader+row("Q08", 20)+row("Q09", 30))
	assert.Equal(t, []TypingDiff{{Kind: FirstOnly, Row: "Reef 2031-06-14 1 Q07 Egg", First: TypedCell{Line: 2}}}, out.Differ)

	out, _ = typed(t, "quadrats.csv", twiceHeader+row("Q07", 10)+row("Q08", 20),
		"quadrats_b.csv", twiceHeader+row("Q11", 10)+row("Q12", 20))
	assert.Len(t, out.Differ, 4, "which row is which cannot be told")
}

// Rows without a key of their own are laid beside one another in their order: one left out does not shift the rest.
func TestTypingsOfFronds(t *testing.T) {
	var first, second strings.Builder
	for _, b := range []*strings.Builder{&first, &second} {
		b.WriteString("bed,date,quadrat,species,frond_cm,wet_g\n")
	}
	for i := range 40 {
		row := fmt.Sprintf("Reef,2031-06-14,Q1,Egg,%d,%d\n", 20+7*i%31, 3*i)
		first.WriteString(row)
		if i == 20 {
			row = strings.Replace(row, ",60", ",06", 1)
		}
		if i != 11 {
			second.WriteString(row)
		}
	}
	out, _ := typed(t, "fronds.csv", first.String(), "fronds 2.csv", second.String())
	require.Len(t, out.Differ, 2)
	assert.Equal(t, 13, out.Differ[0].First.Line)
	assert.Equal(t, FirstOnly, out.Differ[0].Kind)
	assert.Equal(t, "wet_g", out.Differ[1].Column)
}

// A file whose table cannot be told is refused; rows that cannot be told apart are mistakes, and the rest is compared.
func TestTypingsRefused(t *testing.T) {
	_, _, err := CompareTypings(fstest.MapFS{}, fstest.MapFS{"x.csv": {Data: []byte("a,b\n1,2\n")}}, "x.csv", Options{})
	assert.ErrorContains(t, err, "which table")
	first := twiceHeader + "Reef,2031-06-14,1,Q1,0.25,Egg,40,120,\n"
	out, problems := typed(t, "quadrats.csv", first, "quadrats.csv", first+"Reef,2031-06-14\n")
	require.Len(t, problems, 1)
	assert.Equal(t, "second quadrats.csv:3: has 2 cells, the header has 9", problems[0].String())
	assert.Equal(t, 1, out.Rows)
}

// Cells changed in a copy are found, all and no others.
func TestTypingsFindEverySlip(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(1, 30).Draw(t, "rows")
		slips := rapid.SliceOfDistinct(rapid.IntRange(0, n-1), rapid.ID[int]).Draw(t, "slips")
		rows := make([]string, n)
		for i := range rows {
			rows[i] = fmt.Sprintf("Reef,2031-06-14,%d,Q%d,0.25,Egg,%d,,", i%3, i, i)
		}
		first := twiceHeader + strings.Join(rows, "\n") + "\n"
		for _, i := range slips {
			rows[i] = fmt.Sprintf("Reef,2031-06-14,%d,Q%d,0.25,Egg,%d,,", i%3, i, i+50)
		}
		rows = rapid.Permutation(rows).Draw(t, "order")
		out, _ := typed(t, "quadrats.csv", first, "quadrats.csv", twiceHeader+strings.Join(rows, "\n"))
		assert.Len(t, out.Differ, len(slips))
		assert.Equal(t, len(slips), out.All.Differ)
		assert.Equal(t, 7*n, out.All.Cells)
		assert.InDelta(t, float64(len(slips))/float64(14*n), out.All.Rate, 1e-15)
	})
}

// The interval of a share against its definition: at either end, the tail of the binomial is 2.5 %.
func TestClopperPearson(t *testing.T) {
	tail := func(x, n int, p float64) (atLeast, atMost float64) {
		for k := 0; k <= n; k++ {
			a, _ := math.Lgamma(float64(n + 1))
			b, _ := math.Lgamma(float64(k + 1))
			c, _ := math.Lgamma(float64(n - k + 1))
			w := math.Exp(a - b - c + float64(k)*math.Log(p) + float64(n-k)*math.Log1p(-p))
			if k >= x {
				atLeast += w
			}
			if k <= x {
				atMost += w
			}
		}
		return atLeast, atMost
	}
	for _, c := range [][2]int{{1, 8}, {3, 100}, {40, 41}, {12, 900}} {
		lo, hi := clopperPearson(c[0], c[1], 0.95)
		atLeast, _ := tail(c[0], c[1], lo)
		_, atMost := tail(c[0], c[1], hi)
		assert.InDelta(t, 0.025, atLeast, 1e-9)
		assert.InDelta(t, 0.025, atMost, 1e-9)
	}
	lo, hi := clopperPearson(0, 50, 0.95)
	assert.Zero(t, lo)
	assert.InDelta(t, 1-math.Pow(0.025, 1.0/50), hi, 1e-12) // closed form
}

// What rules.toml says of a table holds for its second typing too, where that leaves it open; else that is read as it stands.
func TestTypingsInTheOrderOfTheFolder(t *testing.T) {
	first := "bed,date,species,wet_kg\nA,1.8.2030,Fucus serratus,120\nA,2.8.2030,Fucus serratus,90\n"
	opt := Options{Input: map[string]InputRules{"harvest.csv": {Dates: "day-first"}}}
	for second, differ := range map[string]int{
		strings.Replace(first, "90", "95", 1):                                                                    1,
		"bed,date,species,wet_kg\nA,2030-08-01,Fucus serratus,120\nA,2030-08-02,Fucus serratus,90\n":             0,
		"bed,date,species,wet_kg\nA,8/1/2030,Fucus serratus,120\nA,8/2/2030,Fucus serratus,90\nA,8/31/2030,,1\n": 1,
	} {
		out, problems, err := CompareTypings(fstest.MapFS{"harvest.csv": {Data: []byte(first)}}, fstest.MapFS{"h2.csv": {Data: []byte(second)}}, "h2.csv", opt)
		require.NoError(t, err)
		assert.Empty(t, problems, second)
		assert.Len(t, out.Differ, differ, second)
	}
	_, problems, err := CompareTypings(fstest.MapFS{"harvest.csv": {Data: []byte(first)}}, fstest.MapFS{"h2.csv": {Data: []byte(first)}}, "h2.csv", Options{})
	require.NoError(t, err)
	require.Len(t, problems, 2)
	for _, p := range problems {
		assert.Contains(t, p.Hint, `[input."harvest.csv"]`, "rules.toml knows the table alone")
	}
}
