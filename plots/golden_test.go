package plots

import (
	"bytes"
	"encoding/xml"
	"errors"
	"flag"
	"html"
	"image"
	"image/draw"
	"image/png"
	"io"
	"math"
	"os"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
	"gonum.org/v1/plot/vg"
)

var (
	update = flag.Bool("update", false, "rewrite the golden figures")
	pngDir = flag.String("png", "", "also write each figure as PNG into this directory, to be looked at")
)

// golden compares the SVG of a figure with testdata/NAME_golden.svg: the same text, with numbers within a step of
// their rounding.
func golden(t *testing.T, name string, f Figure) {
	t.Helper()
	got, err := f.SVG()
	require.NoError(t, err)
	wellFormed(t, got)
	legible(t, got, f)
	file := filepath.Join("testdata", name+"_golden.svg")
	if *pngDir != "" {
		picture(t, name, f)
	}
	if *update {
		require.NoError(t, os.MkdirAll("testdata", 0o755))
		require.NoError(t, os.WriteFile(file, got, 0o644))
		return
	}
	want, err := os.ReadFile(file)
	require.NoError(t, err)
	if diff := svgDiff(string(got), string(want), 0.11); diff != "" {
		t.Errorf("%s: %s (look at the figure, then run with -update)", file, diff)
	}
}

// picture writes a figure to be looked at: at its size, at 360 pixels of width, and in grey.
func picture(t *testing.T, name string, f Figure) {
	t.Helper()
	for suffix, dpi := range map[string]int{"": 110, "_360": int(360*72/f.Width.Points() + 0.5)} {
		b, err := f.PNG(dpi)
		require.NoError(t, err)
		require.NoError(t, os.WriteFile(filepath.Join(*pngDir, name+suffix+".png"), b, 0o644))
		if suffix != "" {
			continue
		}
		img, err := png.Decode(bytes.NewReader(b))
		require.NoError(t, err)
		grey := image.NewGray(img.Bounds())
		draw.Draw(grey, grey.Bounds(), img, image.Point{}, draw.Src)
		var out bytes.Buffer
		require.NoError(t, png.Encode(&out, grey))
		require.NoError(t, os.WriteFile(filepath.Join(*pngDir, name+"_grey.png"), out.Bytes(), 0o644))
	}
}

// drawnText is one text element of an SVG document, with the box that it covers.
type drawnText struct {
	words string
	box   vg.Rectangle
}

var textElement = regexp.MustCompile(`<text x="([-\d.]+)" y="([-\d.]+)"(?: style="([^"]*)")?>([^<]*)</text>`)

// texts lists the text of a document.
func texts(t *testing.T, svg []byte, height vg.Length) []drawnText {
	t.Helper()
	var out []drawnText
	for _, m := range textElement.FindAllStringSubmatch(string(svg), -1) {
		x, err := strconv.ParseFloat(m[1], 64)
		require.NoError(t, err)
		y, err := strconv.ParseFloat(m[2], 64)
		require.NoError(t, err)
		_, rest, _ := strings.Cut(m[3]+";"+plainStyle, "font-size:") // that of the root where it has none
		digits, _, _ := strings.Cut(rest, "px")
		size, err := strconv.ParseFloat(digits, 64)
		require.NoError(t, err)
		s := textStyle{size: vg.Length(size), bold: strings.Contains(m[3], "font-weight:bold")}
		words := html.UnescapeString(m[4])
		low := height - vg.Length(y)
		out = append(out, drawnText{words, vg.Rectangle{ // digits and lower case letters, without descenders
			Min: vg.Point{X: vg.Length(x), Y: low}, Max: vg.Point{X: vg.Length(x) + s.width(words), Y: low + 0.7*s.size}}})
	}
	require.Equal(t, strings.Count(string(svg), "<text"), len(out))
	return out
}

// legible checks that no text of a document is clipped or lies on another.
func legible(t *testing.T, svg []byte, f Figure) {
	t.Helper()
	all := texts(t, svg, f.Height)
	for i, a := range all {
		if a.box.Min.X < 0 || a.box.Min.Y < 0 || a.box.Max.X > f.Width || a.box.Max.Y > f.Height {
			t.Errorf("%q is clipped: %v in %v by %v", a.words, a.box, f.Width, f.Height)
		}
		for _, b := range all[:i] {
			if overlap(a.box, b.box) > 0 {
				t.Errorf("%q lies on %q", a.words, b.words)
			}
		}
	}
}

var (
	numbers = regexp.MustCompile(`-?(\d+(\.\d+)?|\.\d+)`)
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

// wellFormed checks that a document has no fault.
func wellFormed(t *testing.T, svg []byte) {
	t.Helper()
	require.Empty(t, svgFault(svg))
}

// svgFault says what is wrong with a document: it must parse as strict XML, no coordinate may be NaN or infinite, and
// the ids that name and describe it must exist once. Blank: nothing.
func svgFault(svg []byte) string {
	d := xml.NewDecoder(bytes.NewReader(svg))
	ids, refs := map[string]int{}, []string{}
	for {
		tok, err := d.Token()
		if errors.Is(err, io.EOF) {
			break
		}
		if err != nil {
			return err.Error()
		}
		el, _ := tok.(xml.StartElement)
		for _, a := range el.Attr {
			switch {
			case strings.Contains(a.Value, "NaN"), strings.Contains(a.Value, "Inf"):
				return el.Name.Local + " " + a.Name.Local + "=" + a.Value
			case a.Name.Local == "id":
				ids[a.Value]++
			case a.Name.Local == "aria-labelledby":
				refs = append(refs, strings.Fields(a.Value)...)
			}
		}
	}
	if len(refs) != 2 || ids[refs[0]] != 1 || ids[refs[1]] != 1 {
		return "named by " + strings.Join(refs, " ")
	}
	return ""
}

func TestSVGDiff(t *testing.T) {
	require.Empty(t, svgDiff("M1.00,2 a", "M1.01,2 a", 0.02))
	require.NotEmpty(t, svgDiff("M1.00,2 a", "M1.03,2 a", 0.02))
	require.NotEmpty(t, svgDiff("M1.00,2 a", "M1.00,2 b", 0.02))
	require.NotEmpty(t, svgDiff("M1", "M1 2", 0.02))
	require.NotEmpty(t, svgDiff("a\nb", "a", 0.02))
	require.Empty(t, svgDiff("f0123456789abcdef-title", "f0123456789abcde0-title", 0.02))
}
