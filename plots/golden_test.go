package plots

import (
	"encoding/xml"
	"errors"
	"flag"
	"io"
	"math"
	"os"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

var (
	update = flag.Bool("update", false, "rewrite the golden figures")
	pngDir = flag.String("png", "", "also write each figure as PNG into this directory, to be looked at")
)

// golden compares the SVG of a figure with testdata/NAME_golden.svg: the same text, with numbers within 0.02.
func golden(t *testing.T, name string, f Figure) {
	t.Helper()
	got, err := f.SVG()
	require.NoError(t, err)
	wellFormed(t, got)
	file := filepath.Join("testdata", name+"_golden.svg")
	if *pngDir != "" {
		picture(t, filepath.Join(*pngDir, name+".png"), f)
	}
	if *update {
		require.NoError(t, os.MkdirAll("testdata", 0o755))
		require.NoError(t, os.WriteFile(file, got, 0o644))
		return
	}
	want, err := os.ReadFile(file)
	require.NoError(t, err)
	if diff := svgDiff(string(got), string(want), 0.02); diff != "" {
		t.Errorf("%s: %s (look at the figure, then run with -update)", file, diff)
	}
}

func picture(t *testing.T, file string, f Figure) {
	t.Helper()
	b, err := f.PNG(110)
	require.NoError(t, err)
	require.NoError(t, os.WriteFile(file, b, 0o644))
}

var (
	numbers = regexp.MustCompile(`-?\d+(\.\d+)?(e[-+]?\d+)?`)
	hashes  = regexp.MustCompile(`\bf[0-9a-f]{16}-`)
)

// svgDiff says how got differs from want, blank where it does not: ids apart, the text between the numbers must be the
// same and the numbers within tol.
func svgDiff(got, want string, tol float64) string {
	got, want = hashes.ReplaceAllString(got, "ID-"), hashes.ReplaceAllString(want, "ID-")
	gl, wl := strings.Split(got, "\n"), strings.Split(want, "\n")
	for i := range min(len(gl), len(wl)) {
		if !lineEqual(gl[i], wl[i], tol) {
			return "line " + strconv.Itoa(i+1) + "\n got " + gl[i] + "\nwant " + wl[i]
		}
	}
	if len(gl) != len(wl) {
		return strconv.Itoa(len(gl)) + " lines, want " + strconv.Itoa(len(wl))
	}
	return ""
}

func lineEqual(got, want string, tol float64) bool {
	if got == want {
		return true
	}
	if numbers.ReplaceAllString(got, "#") != numbers.ReplaceAllString(want, "#") {
		return false
	}
	g, w := numbers.FindAllString(got, -1), numbers.FindAllString(want, -1)
	for i := range g {
		a, errA := strconv.ParseFloat(g[i], 64)
		b, errB := strconv.ParseFloat(w[i], 64)
		if errA != nil || errB != nil || math.Abs(a-b) > tol {
			return false
		}
	}
	return true
}

// wellFormed checks that a document parses as strict XML, that no coordinate is NaN or infinite, and that all ids that
// are referred to exist.
func wellFormed(t *testing.T, svg []byte) {
	t.Helper()
	d := xml.NewDecoder(strings.NewReader(string(svg)))
	ids, refs := map[string]bool{}, []string{}
	for {
		tok, err := d.Token()
		if errors.Is(err, io.EOF) {
			break
		}
		require.NoError(t, err)
		el, ok := tok.(xml.StartElement)
		if !ok {
			continue
		}
		for _, a := range el.Attr {
			require.NotContains(t, a.Value, "NaN", "%s of %s", a.Name.Local, el.Name.Local)
			require.NotContains(t, a.Value, "Inf", "%s of %s", a.Name.Local, el.Name.Local)
			switch a.Name.Local {
			case "id":
				require.False(t, ids[a.Value], "id %s twice", a.Value)
				ids[a.Value] = true
			case "aria-labelledby":
				refs = append(refs, strings.Fields(a.Value)...)
			}
		}
	}
	require.Len(t, refs, 2)
	for _, r := range refs {
		require.True(t, ids[r], "no id %s", r)
	}
}

func TestSVGDiff(t *testing.T) {
	require.Empty(t, svgDiff("M1.00,2 a", "M1.01,2 a", 0.02))
	require.NotEmpty(t, svgDiff("M1.00,2 a", "M1.03,2 a", 0.02))
	require.NotEmpty(t, svgDiff("M1.00,2 a", "M1.00,2 b", 0.02))
	require.NotEmpty(t, svgDiff("M1", "M1 2", 0.02))
	require.NotEmpty(t, svgDiff("a\nb", "a", 0.02))
	require.Empty(t, svgDiff("f0123456789abcdef-title", "f0123456789abcde0-title", 0.02))
}
