package plots

import (
	"image/color"

	"gonum.org/v1/plot/font"
	"gonum.org/v1/plot/font/liberation"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"
)

// The colours are those of Okabe and Ito, told apart by most people with a colour vision deficiency. No figure leans on
// colour alone: shapes, line types and hatches say the same. Text is never coloured.
//
// References:
//   - Okabe, M. and Ito, K.: Color Universal Design (2008), as printed in Wong, B., Nature Methods 8 (2011) 441
var (
	orange     = color.NRGBA{R: 0xE6, G: 0x9F, B: 0x00, A: 0xFF}
	sky        = color.NRGBA{R: 0x56, G: 0xB4, B: 0xE9, A: 0xFF}
	green      = color.NRGBA{R: 0x00, G: 0x9E, B: 0x73, A: 0xFF}
	blue       = color.NRGBA{R: 0x00, G: 0x72, B: 0xB2, A: 0xFF}
	vermillion = color.NRGBA{R: 0xD5, G: 0x5E, B: 0x00, A: 0xFF}

	ink   = color.NRGBA{R: 0x22, G: 0x22, B: 0x22, A: 0xFF} // text and points
	muted = color.NRGBA{R: 0x59, G: 0x59, B: 0x59, A: 0xFF} // light words; contrast with white 7:1
	rule  = color.NRGBA{R: 0xDD, G: 0xDD, B: 0xDD, A: 0xFF} // grid
	wash  = color.NRGBA{R: 0xF4, G: 0xF4, B: 0xF4, A: 0xFF} // every second row of a table
	white = color.NRGBA{R: 0xFF, G: 0xFF, B: 0xFF, A: 0xFF}
)

// Sizes shared by the figures. At 360 px width a figure of figureWidth shows its text at 8 px.
const (
	figureWidth = 15.5 * vg.Centimeter
	margin      = vg.Length(6)
	lineHeight  = vg.Length(13)
)

// fonts holds the faces with which text is measured and, in pictures of pixels, drawn.
var fonts = font.NewCache(liberation.Collection())

// textStyle is the look of one piece of text.
type textStyle struct {
	size vg.Length
	bold bool
	clr  color.Color
}

var (
	titleText = textStyle{size: 11, bold: true, clr: ink}
	plainText = textStyle{size: 10, clr: ink}
	boldText  = textStyle{size: 10, bold: true, clr: ink}
	lightText = textStyle{size: 10, clr: muted}
	stampText = textStyle{size: 9, bold: true, clr: muted}
)

func (s textStyle) face() font.Face {
	f := font.Font{Typeface: "Liberation", Variant: "Sans"}
	if s.bold {
		f.Weight = boldWeight
	}
	return fonts.Lookup(f, s.size)
}

// width is the width of one line of text.
func (s textStyle) width(txt string) vg.Length {
	f := s.face()
	return f.Width(txt)
}

// Line styles.
var (
	axisLine    = draw.LineStyle{Color: ink, Width: 0.8}
	gridLine    = draw.LineStyle{Color: rule, Width: 0.6}
	leaderLine  = draw.LineStyle{Color: muted, Width: 0.5}
	limitLine   = draw.LineStyle{Color: ink, Width: 1.1, Dashes: []vg.Length{5, 3}}
	triggerLine = draw.LineStyle{Color: ink, Width: 1.1, Dashes: []vg.Length{1.5, 2.5}}
)

// alpha is a colour made translucent, a from 0 (clear) to 255.
func alpha(c color.NRGBA, a uint8) color.NRGBA {
	c.A = a
	return c
}
