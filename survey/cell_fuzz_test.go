package survey

import (
	"fmt"
	"math"
	"runtime"
	"strconv"
	"strings"
	"testing"
	"time"
	"unicode/utf8"

	"github.com/stretchr/testify/require"
)

// thrifty fails where reading a text of that size takes more memory than 64 times the text and 4 MiB. What is taken
// is counted for the whole program, so a first look that is too high is taken again.
func thrifty(t *testing.T, size int, read func()) {
	t.Helper()
	took := uint64(math.MaxUint64)
	most := 4<<20 + 64*uint64(size)
	for range 3 {
		var before, after runtime.MemStats
		runtime.ReadMemStats(&before)
		read()
		runtime.ReadMemStats(&after)
		if took = min(took, after.TotalAlloc-before.TotalAlloc); took <= most {
			return
		}
	}
	t.Errorf("%d bytes of text took %d bytes of memory", size, took)
}

// Any cell in any column of any table, with the numbers and dates of its file written in any way: it is read within
// the limits of its column or refused with a reason, a blank is never a value, and what is read is what is written.
func FuzzCell(f *testing.F) {
	for _, s := range []string{"", "0", "12.5", "1,234", "1.234,5", "-1e-3", "1e999", "0x1p-2", "45123", "1 234", "12 %", "<1", "n/a", "yes", "D", "2030-02-30",
		"3/4/2031", "31.12.2031", "2031/1/2", "+.5e+1", "1_000", "\u0661", "..", "e", "+", ",", "\u2212" + "5", "%!"} {
		f.Add(s)
	}
	var columns []column // one of those that are read alike
	seen := map[string]bool{}
	for _, spec := range surveyTables {
		for _, c := range spec.columns {
			if key := fmt.Sprint(c.kind, c.filled, c.lo, c.hi, c.loOpen, c.words); !seen[key] {
				seen[key] = true
				columns = append(columns, c)
			}
		}
	}
	f.Fuzz(func(t *testing.T, s string) {
		s = strings.TrimSpace(s) // as the readers do
		// every column reads it ten times: with each mark of decimals and each order of dates, as a word, and as yes or no
		thrifty(t, 10*len(s)*len(columns), func() {
			for i := range columns {
				oneCell(t, columns[i], s)
			}
		})
	})
}

func oneCell(t *testing.T, c column, s string) {
	for c.decimal = pointMark; c.decimal <= unsureMark; c.decimal++ {
		oneNumber(t, &c, s)
	}
	for c.order = isoOrder; c.order <= unsureOrder; c.order++ {
		oneDay(t, &c, s)
	}
	oneWord(t, &c, s)
}

// reasoned fails where a flaw does not say what is wrong, in words that can be shown.
func reasoned(t *testing.T, bad *flaw, s string) {
	if bad == nil {
		return
	}
	p := Problem{Text: fmt.Sprintf(bad.format, bad.args...), Hint: bad.hint}
	if p.Text == "" || strings.Contains(p.Text, "%!") && !strings.Contains(s, "%!") || utf8.ValidString(s) && !utf8.ValidString(p.Text+p.Hint) {
		t.Errorf("%q: %q, %q", s, p.Text, p.Hint)
	}
}

func oneNumber(t *testing.T, c *column, s string) {
	v, bad := c.number(s)
	reasoned(t, bad, s)
	switch {
	case bad != nil || s == "" || c.decimal == unsureMark && v != v:
		require.True(t, math.IsNaN(v), "%q is refused, blank or unsure, and %v", s, v)
	case !(v >= c.lo && v <= c.hi) || c.loOpen && v <= c.lo || math.IsInf(v, 0) || c.kind == wholeKind && v != math.Trunc(v):
		t.Errorf("%s: %q is read as %v", c.name, s, v)
	default:
		if want, err := strconv.ParseFloat(strings.Replace(s, ",", ".", 1), 64); err != nil || want != v {
			t.Errorf("%q is read as %v, not %v", s, v, want)
		}
	}
}

func oneDay(t *testing.T, c *column, s string) {
	d, bad := c.day(s)
	reasoned(t, bad, s)
	if bad != nil || d == NoDay {
		require.Equal(t, NoDay, d, "%q is refused or blank, and %v", s, d)
		return
	}
	layout := time.DateOnly
	if _, err := time.Parse(layout, s); err != nil {
		mark := string(strings.Trim(s, "0123456789")[0])
		layout = map[dateOrder]string{dayFirst: "2_1_2006", monthFirst: "1_2_2006", yearFirst: "2006_1_2"}[c.order]
		layout = strings.ReplaceAll(layout, "_", mark)
	}
	want, err := time.Parse(layout, s)
	if err != nil || !want.Equal(d.Time()) {
		t.Errorf("%q is read as %s in the order %v: %v", s, d, c.order, err)
	}
}

func oneWord(t *testing.T, c *column, s string) {
	i, bad := c.word(s)
	reasoned(t, bad, s)
	if (i < 0) != (bad != nil || s == "") || i >= len(c.words) {
		t.Errorf("%s: %q is read as word %d", c.name, s, i)
	}
	yes, bad := c.truth(s)
	reasoned(t, bad, s)
	if yes && (bad != nil || s == "") {
		t.Errorf("%q is refused and yes", s)
	}
}
