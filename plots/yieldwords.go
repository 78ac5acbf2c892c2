package plots

import (
	"fmt"
	"strings"
)

// caption says what the figure shows and what its marks are.
func (in YieldInput) caption() string {
	if !in.drawable() {
		return sentence("What comes of a cut could not be worked out", in.Note, inventedNote(in.Invented))
	}
	above := "Above: what is cut a year, median over " + in.span()
	if in.Draws > 0 {
		above += fmt.Sprintf(" of %s draws", plain(float64(in.Draws), 0))
	}
	parts := []string{above + ", where the same share of the exploitable stock is cut every time",
		"Below: the highest yearly probability of being under the limit; dashed across, the highest that the rules allow"}
	if w := in.markWords(); w != "" {
		parts = append(parts, "Upright lines: "+w)
	}
	return sentence(append(parts, in.Note, inventedNote(in.Invented))...)
}

// markWords names the marked shares with their meaning.
func (in YieldInput) markWords() string {
	var out []string
	for _, m := range in.marks() {
		switch m.word {
		case "advised":
			out = append(out, "solid with a star, what is advised ("+wholePercent(m.at)+")")
		case thirdWord:
			out = append(out, "dotted, a third, the rule of thumb")
		default:
			out = append(out, "dashed, the share beyond which the stand dies out in the long run ("+wholePercent(m.at)+", median)")
		}
	}
	return strings.Join(out, "; ")
}

// alt is the text alternative: the marked shares and the curves at every tenth or so.
func (in YieldInput) alt() string {
	parts := []string{subject(in.Bed, in.Species)}
	if !in.drawable() {
		return sentence(append(parts, "What comes of a cut could not be worked out", in.Note, inventedNote(in.Invented))...)
	}
	for _, m := range in.marks() {
		txt := capital(m.text()) + " of the exploitable stock"
		if y, r := at(in.Fraction, in.Yield, m.at), at(in.Fraction, in.Risk, m.at); finite(y) && finite(r) {
			txt += fmt.Sprintf(": %s a year, risk %s", mass(y), wholePercent(r))
		}
		parts = append(parts, txt)
	}
	step := max(1, (len(in.Fraction)-1)/6)
	for i := 0; i < len(in.Fraction); i += step {
		if finite(in.Yield[i]) && finite(in.Risk[i]) {
			parts = append(parts, fmt.Sprintf("Cutting %s: %s a year, risk %s", wholePercent(in.Fraction[i]), mass(in.Yield[i]),
				wholePercent(in.Risk[i])))
		}
	}
	if in.RiskRule > 0 {
		parts = append(parts, "The rules allow a risk of "+wholePercent(in.RiskRule))
	}
	return sentence(append(parts, inventedNote(in.Invented))...)
}
