package plots

import (
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"
)

// inventedWords stand on and under everything that is made from invented data.
const inventedWords = "INVENTED DATA"

// sheet draws the ground and the title of a figure, and the stamp where the data are invented. It returns the height at
// which the rest begins.
func sheet(c draw.Canvas, title string, invented bool) vg.Length {
	filled(c, c.Rectangle, white)
	y := c.Max.Y - margin - titleText.size*0.8
	write(c, titleText, left, c.Min.X+margin, y, fit(titleText, title, c.Max.X-c.Min.X-2*margin))
	if invented {
		write(c, stampText, right, c.Max.X-margin, c.Min.Y+margin-1, inventedWords)
	}
	return y - 5
}

// message draws words in the middle of a rectangle, in place of what is not there.
func message(c draw.Canvas, box vg.Rectangle, txt string) {
	w := box.Max.X - box.Min.X
	lines := wrap(lightText, txt, w*0.9, 4)
	y := (box.Min.Y+box.Max.Y)/2 + vg.Length(len(lines)-1)*lineHeight/2 - 3.5
	for i, l := range lines {
		write(c, lightText, middle, box.Min.X+w/2, y-vg.Length(i)*lineHeight, l)
	}
}

// inventedNote is the sentence that a caption ends with.
func inventedNote(invented bool) string {
	if invented {
		return inventedWords
	}
	return ""
}

// same panics where slices that belong together differ in length; those that are nil may be left out.
func same(what string, n int, lists ...[]float64) {
	for _, l := range lists {
		if l != nil && len(l) != n {
			panic("plots: " + what + ": slices of unequal length")
		}
	}
}
