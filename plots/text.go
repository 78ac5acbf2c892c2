package plots

import (
	"strings"
	"unicode"
	"unicode/utf8"

	xfont "golang.org/x/image/font"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"
)

const boldWeight = xfont.WeightBold

// side says which part of a text stands at the given x.
type side float64

const (
	left   side = 0
	middle side = 0.5
	right  side = 1
)

// write draws one line of text with its baseline at y.
func write(c draw.Canvas, s textStyle, at side, x, y vg.Length, txt string) {
	txt = clean(txt)
	if txt == "" {
		return
	}
	c.SetColor(s.clr)
	c.FillString(s.face(), vg.Point{X: x - vg.Length(at)*s.width(txt), Y: y}, txt)
}

// clean makes a text of a file fit to be drawn: one line, valid UTF-8, nothing that XML forbids, blanks at the ends
// removed.
func clean(txt string) string {
	txt = strings.Map(func(r rune) rune {
		switch {
		case r == utf8.RuneError, r == 0xFFFE, r == 0xFFFF:
			return '?'
		case unicode.Is(unicode.Bidi_Control, r):
			return -1
		case unicode.IsControl(r), r == 0x2028, r == 0x2029:
			return ' '
		}
		return r
	}, txt)
	return strings.TrimSpace(txt)
}

// fit shortens a text with an ellipsis until it is at most w wide.
func fit(s textStyle, txt string, w vg.Length) string {
	txt = clean(txt)
	if s.width(txt) <= w {
		return txt
	}
	rs := []rune(txt)
	lo, hi := 0, len(rs)-1 // the longest beginning that fits
	for lo < hi {
		mid := (lo + hi + 1) / 2
		if s.width(cut(rs[:mid])) <= w {
			lo = mid
		} else {
			hi = mid - 1
		}
	}
	return cut(rs[:lo])
}

func cut(rs []rune) string { return strings.TrimRight(string(rs), " ,;:") + "…" }

// wrap breaks a text at blanks into at most n lines of width w; what does not fit is shortened.
func wrap(s textStyle, txt string, w vg.Length, n int) []string {
	words := strings.Fields(clean(txt))
	var lines []string
	for len(words) > 0 {
		if len(lines) == n-1 {
			return append(lines, fit(s, strings.Join(words, " "), w))
		}
		k := 1
		for k < len(words) && s.width(strings.Join(words[:k+1], " ")) <= w {
			k++
		}
		lines = append(lines, fit(s, strings.Join(words[:k], " "), w))
		words = words[k:]
	}
	return lines
}

// sentence joins the parts that are not blank, each ended by a full stop.
func sentence(parts ...string) string {
	var b strings.Builder
	for _, p := range parts {
		p = clean(p)
		if p == "" {
			continue
		}
		if b.Len() > 0 {
			b.WriteByte(' ')
		}
		b.WriteString(p)
		if !strings.HasSuffix(p, ".") {
			b.WriteByte('.')
		}
	}
	return b.String()
}

// capital begins a text, whose first letter is one of a to z, with a capital.
func capital(txt string) string { return strings.ToUpper(txt[:1]) + txt[1:] }

// subject names a bed and species.
func subject(bed, species string) string {
	bed, species = clean(bed), clean(species)
	switch {
	case bed == "":
		return species
	case species == "":
		return bed
	}
	return bed + ", " + species
}
