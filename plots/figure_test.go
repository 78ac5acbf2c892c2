package plots

import (
	"bytes"
	"image/png"
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"
	"pgregory.net/rapid"
)

func TestSVGHead(t *testing.T) {
	svg, err := Recovery(recoveryInput()).SVG()
	require.NoError(t, err)
	head, _, _ := strings.Cut(string(svg), "\n")
	assert.True(t, strings.HasPrefix(head, "<svg "), "stands inline in HTML")
	assert.Contains(t, head, `role="img"`)
	assert.Contains(t, head, `font-family="Liberation Sans, Arial, sans-serif"`)
	assert.Contains(t, head, `viewBox="0 0 439.37 297.64"`)
	assert.NotContains(t, head, ` width="`)
	assert.Equal(t, 1, strings.Count(string(svg), "font-family"))
	assert.Equal(t, 1, strings.Count(string(svg), "http"), "the namespace alone")
}

func TestSVGIDs(t *testing.T) {
	a := Recovery(recoveryInput())
	in := recoveryInput()
	in.Bed = "Otter Skerry"
	b := Recovery(in)
	assert.NotEqual(t, a.id(), b.id(), "figures of two beds in one page")
	a.ID = `1 "Kittle" <Ledge>`
	assert.Equal(t, "f-1__Kittle___Ledge_", a.id())
	svg, err := a.SVG()
	require.NoError(t, err)
	wellFormed(t, svg)
	assert.Contains(t, string(svg), `aria-labelledby="f-1__Kittle___Ledge_-title f-1__Kittle___Ledge_-desc"`)
}

func TestSVGEscapes(t *testing.T) {
	in := recoveryInput()
	in.Bed = "</title><script>alert('x')</script>&\x00\x1b[31m\u202egnol\xff]]>"
	in.Species = "a\n\tstyle=\"font-family:Liberation Sans;font-variant:normal;"
	in.Cuts[0].Year = `"><image href="http://x"/>`
	in.AdviceOK, in.Note = false, "<b>"
	hostile := []Figure{
		Recovery(in),
		Pressure(PressureInput{Rows: []PressureRow{{Label: in.Bed, Period: in.Species, Reason: in.Bed}}}),
		History(HistoryInput{Bed: in.Bed, Species: in.Species, Surveys: []SurveyPoint{{T: 2020.5, Note: in.Bed}}}),
	}
	for _, f := range hostile {
		svg, err := f.SVG()
		require.NoError(t, err)
		wellFormed(t, svg)
		assert.NotContains(t, string(svg), "<script")
		assert.NotContains(t, string(svg), "<image")
		assert.NotContains(t, string(svg), "<b>")
		assert.Contains(t, string(svg), "style=&#34;font-family:Liberation Sans;font-variant:normal;", "text is left as it is")
	}
}

func TestSameBytes(t *testing.T) {
	for _, f := range []func() Figure{
		func() Figure { return Recovery(recoveryInput()) },
		func() Figure { return Pressure(pressureInput()) },
		func() Figure { return History(historyInput()) },
	} {
		a, err := f().SVG()
		require.NoError(t, err)
		b, err := f().SVG()
		require.NoError(t, err)
		assert.True(t, bytes.Equal(a, b), "two figures of one input")
		once := f()
		a, err = once.PNG(50)
		require.NoError(t, err)
		b, err = once.PNG(50)
		require.NoError(t, err)
		assert.True(t, bytes.Equal(a, b), "one figure drawn twice")
	}
}

func TestPNGSize(t *testing.T) {
	b, err := Pressure(pressureInput()).PNG(100)
	require.NoError(t, err)
	img, err := png.DecodeConfig(bytes.NewReader(b))
	require.NoError(t, err)
	assert.InDelta(t, 15.5/2.54*100, float64(img.Width), 1) // 15.5 cm at 100 dots per inch
}

func TestFigureErrors(t *testing.T) {
	_, err := Figure{}.SVG()
	assert.EqualError(t, err, "figure without a drawing")
	_, err = Figure{Title: "a", Draw: func(draw.Canvas) {}, Width: 10}.PNG(100)
	assert.EqualError(t, err, `figure "a" has no size`)
	_, err = Figure{Title: "a", Draw: func(draw.Canvas) {}, Width: vg.Length(math.NaN()), Height: 1}.SVG()
	assert.EqualError(t, err, `figure "a" has no size`)
	_, err = Pressure(pressureInput()).PNG(0)
	assert.EqualError(t, err, "0 dots per inch: must be 1 to 1200")
}

func TestInventedIsSaid(t *testing.T) {
	r, p, h := recoveryInput(), pressureInput(), historyInput()
	for _, invented := range []bool{true, false} {
		r.Invented, p.Invented, h.Invented = invented, invented, invented
		for _, f := range []Figure{Recovery(r), Pressure(p), History(h)} {
			svg, err := f.SVG()
			require.NoError(t, err)
			assert.Equal(t, invented, strings.Contains(string(svg), ">"+inventedWords+"</text>"), f.Title)
			assert.Equal(t, invented, strings.Contains(f.Caption, inventedWords), f.Title)
			assert.Equal(t, invented, strings.Contains(f.Alt, inventedWords), f.Title)
		}
	}
}

// TestAnyInput draws figures of arbitrary numbers and words: none panics, none has a coordinate that is not a number,
// and no text leaves the figure.
func TestAnyInput(t *testing.T) {
	number := rapid.OneOf(rapid.Float64(), rapid.Float64Range(-10, 1e5), rapid.SampledFrom([]float64{nan, math.Inf(1), math.Inf(-1), 0}))
	year := rapid.OneOf(rapid.Float64Range(1990, 2060), number)
	rapid.Check(t, func(rt *rapid.T) {
		n := rapid.IntRange(0, 6).Draw(rt, "n")
		list := func(name string) []float64 { return rapid.SliceOfN(number, n, n).Draw(rt, name) }
		words := rapid.String()
		r := RecoveryInput{Bed: words.Draw(rt, "bed"), Stock: list("stock"), Median: list("median"), Lo: list("lo"), Hi: list("hi"),
			Limit: number.Draw(rt, "limit"), Trigger: number.Draw(rt, "trigger"), AdviceOK: rapid.Bool().Draw(rt, "ok"),
			AdviceStock: number.Draw(rt, "b"), AdviceKg: number.Draw(rt, "kg"), Note: words.Draw(rt, "note"), Level: number.Draw(rt, "level")}
		var p PressureInput
		h := HistoryInput{Bed: r.Bed, Limit: r.Limit, CutsKnown: true, Level: r.Level}
		for i := range n {
			r.Cuts = append(r.Cuts, CutPoint{words.Draw(rt, "year"), r.Stock[i], r.Lo[i], words.Draw(rt, "verdict")})
			p.Rows = append(p.Rows, PressureRow{r.Bed, words.Draw(rt, "period"), r.Median[i], r.Lo[i], r.Hi[i], i%2 == 0, "", r.Note})
			h.Surveys = append(h.Surveys, SurveyPoint{year.Draw(rt, "t"), r.Median[i], r.Lo[i], r.Hi[i], i%2 == 0, r.Note})
			h.Cuts = append(h.Cuts, YearBar{rapid.IntRange(1990, 2060).Draw(rt, "y"), r.Lo[i], r.Hi[i]})
			h.Advised = append(h.Advised, FanPoint{year.Draw(rt, "t"), r.Median[i], r.Lo[i], r.Hi[i]})
		}
		h.NoCut, h.State = h.Advised, h.Advised
		for _, f := range []Figure{Recovery(r), Pressure(p), History(h)} {
			svg, err := f.SVG()
			if err != nil {
				rt.Fatal(err)
			}
			if s := svgFault(svg); s != "" {
				rt.Fatalf("%s: %s", f.Title, s)
			}
			for _, w := range texts(t, svg, f.Height) {
				if w.box.Min.X < -1 || w.box.Max.X > f.Width+1 || w.box.Min.Y < 0 || w.box.Max.Y > f.Height {
					rt.Fatalf("%s: %q is clipped: %v", f.Title, w.words, w.box)
				}
			}
		}
	})
}

func BenchmarkRecoverySVG(b *testing.B) {
	in := recoveryInput()
	for b.Loop() {
		if _, err := Recovery(in).SVG(); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkPressureSVG(b *testing.B) {
	in := pressureInput()
	for b.Loop() {
		if _, err := Pressure(in).SVG(); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkHistorySVG(b *testing.B) {
	in := historyInput()
	for b.Loop() {
		if _, err := History(in).SVG(); err != nil {
			b.Fatal(err)
		}
	}
}
