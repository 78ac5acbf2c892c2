package main

import (
	"bytes"
	"encoding/csv"
	"fmt"
	"math/rand/v2"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// fillIn types made-up finds into the rows of a plan: a day, covers, weights where it says weigh, a quadrat in nine not
// reached. The quadrats of every other bed stay planned where half is set.
func fillIn(t *testing.T, text []byte, day string, half bool) []byte {
	rows, err := csv.NewReader(bytes.NewReader(text)).ReadAll()
	require.NoError(t, err)
	at := map[string]int{}
	for i, name := range rows[0] {
		at[name] = i
	}
	src := rand.New(rand.NewPCG(3, 9))
	var b bytes.Buffer
	w := csv.NewWriter(&b)
	lost, last := false, ""
	for _, r := range rows[1:] {
		if quadrat := r[at["bed"]] + r[at["quadrat"]]; quadrat != last {
			last, lost = quadrat, src.IntN(9) == 0
		}
		if !half || strings.Compare(r[at["bed"]], "m") < 0 {
			r[at["date"]], r[at["visit"]], r[at["observer"]] = day, "done", "EB"
			if lost {
				r[at["visit"]] = "not_reached"
			} else {
				cover := max(0, src.IntN(90)-25)
				r[at["cover_pct"]] = fmt.Sprint(cover)
				if r[at["notes"]] == "weigh" {
					r[at["biomass_g"]] = fmt.Sprintf("%.0f", float64(cover)*(12+4*src.Float64()))
				}
			}
		}
		require.NoError(t, w.Write(r))
	}
	w.Flush()
	return b.Bytes()
}

// The rows that a plan leaves to be typed into, put below the folder's own, go through check, stock and the next plan
// without an edit: empty, half filled in and filled in.
func TestPlanIsFilledInAndReadAgain(t *testing.T) {
	dir := t.TempDir()
	shore, next := filepath.Join(dir, "shore"), filepath.Join(dir, "next")
	printed(t, "demo", shore)
	printed(t, "plan", shore, "-o", next, "-q")
	rows, err := os.ReadFile(filepath.Join(next, "quadrats.csv"))
	require.NoError(t, err)
	own, err := os.ReadFile(filepath.Join(shore, "quadrats.csv"))
	require.NoError(t, err)
	header, empty, _ := bytes.Cut(rows, []byte("\n"))
	require.True(t, bytes.HasPrefix(own, append(header, '\n')), "the columns are those of the folder")
	surveys, err := os.ReadFile(filepath.Join(next, "surveys.csv"))
	require.NoError(t, err)
	listed, err := os.ReadFile(filepath.Join(shore, "surveys.csv"))
	require.NoError(t, err)
	put := func(rows []byte) {
		require.NoError(t, os.WriteFile(filepath.Join(shore, "quadrats.csv"), append(own[:len(own):len(own)], rows...), 0o644))
	}

	put(empty)
	checked := printed(t, "check", shore, "--on", "2026-09-20")
	assert.Regexp(t, `(?m)^bed lantry: (\d+) of (\d+) planned quadrats not filled in yet$`, checked)
	assert.Contains(t, checked, "0 errors")

	head, blank, _ := bytes.Cut(surveys, []byte("\n"))
	require.True(t, bytes.HasPrefix(listed, append(head, '\n')))
	var named []byte
	for line := range bytes.SplitSeq(bytes.TrimSpace(blank), []byte("\n")) {
		bed, rest, _ := bytes.Cut(line, []byte(",,,"))
		named = fmt.Appendf(named, "%s,late 2026,2026-09-15,2026-09-20,%s\n", bed, rest)
	}
	require.NoError(t, os.WriteFile(filepath.Join(shore, "surveys.csv"), append(listed, named...), 0o644))
	put(fillIn(t, rows, "2026-09-19", true))
	checked = printed(t, "check", shore, "--on", "2026-09-20")
	assert.NotContains(t, checked, "bed lantry: ")
	assert.Regexp(t, `bed tarrowick: \d+ of \d+ planned`, checked)

	put(fillIn(t, rows, "2026-09-19", false))
	checked = printed(t, "check", shore, "--on", "2026-09-20")
	assert.NotContains(t, checked, "not filled in yet")
	assert.Contains(t, checked, "0 errors")
	assert.Contains(t, printed(t, "stock", shore, "-q"), "2026-09-19")
	again := filepath.Join(dir, "again")
	printed(t, "plan", shore, "-o", again, "-q")
	_, err = os.Stat(filepath.Join(again, "sheets", "01-candlemoss.html"))
	assert.NoError(t, err)
}
