package plots

import (
	"fmt"
	"strings"
)

// caption says what the figure shows and how sure it is.
func (in RecoveryInput) caption() string {
	var parts []string
	if in.hasCurve() {
		line := "Recovery within a year over the standing stock: the line is the median"
		if in.Lo != nil && in.Hi != nil {
			line += ", the band the " + interval(in.Level)
		}
		if in.Draws > 0 {
			line += fmt.Sprintf(" of %s draws", plain(float64(in.Draws), 0))
		}
		parts = append(parts, line)
	} else {
		parts = append(parts, "Recovery could not be estimated, so there is no curve")
	}
	if n := len(in.cutsDrawn()); n > 0 {
		parts = append(parts, fmt.Sprintf("Points are cuts (n = %d) at the stock they grew back from; their shape says whether "+
			"the cut was above or below recovery, or whether that cannot be told", n), in.CutsNote)
		if in.hasCurve() {
			parts = append(parts, "Under the line the cut is within what grows back in a year")
		}
	}
	if g := in.guideWords(); g != "" {
		parts = append(parts, "Upright lines: "+g)
	}
	if in.adviceDrawn() {
		parts = append(parts, "The star is this year's advice", in.Note)
	}
	return sentence(append(parts, inventedNote(in.Invented))...)
}

// guideWords names limit and trigger with their meaning.
func (in RecoveryInput) guideWords() string {
	var g []string
	if finite(in.Limit) {
		g = append(g, "limit (dashed), which the stock must stay above")
	}
	if finite(in.Trigger) {
		g = append(g, "trigger (dotted), below which the advice is reduced")
	}
	return strings.Join(g, ", ")
}

// alt is the text alternative.
func (in RecoveryInput) alt() string {
	parts := []string{subject(in.Bed, in.Species)}
	if i := in.peak(); i >= 0 {
		grown := in.weight(in.Median[i])
		if in.Lo != nil && in.Hi != nil && finite(in.Lo[i]) && finite(in.Hi[i]) {
			grown += fmt.Sprintf(" (%s %s to %s)", interval(in.Level), in.weight(in.Lo[i]), in.weight(in.Hi[i]))
		}
		parts = append(parts, fmt.Sprintf("Recovery within a year is largest, %s, at a standing stock of %s",
			grown, in.weight(in.Stock[i])))
	} else {
		parts = append(parts, "No recovery curve: growth could not be estimated")
	}
	if finite(in.Limit) {
		parts = append(parts, "Limit "+in.weight(in.Limit))
	}
	if finite(in.Trigger) {
		parts = append(parts, "Trigger "+in.weight(in.Trigger))
	}
	for _, p := range in.cutsDrawn() {
		parts = append(parts, fmt.Sprintf("%s: cut %s at a stock of %s, %s", clean(p.Year), in.weight(p.Kg),
			in.weight(p.Stock), kind(p.Verdict)))
	}
	if in.adviceDrawn() {
		parts = append(parts, fmt.Sprintf("This year's %s at a stock of %s", in.adviceText(), in.weight(in.AdviceStock)), in.Note)
	} else {
		parts = append(parts, capital(in.adviceText()))
	}
	return sentence(append(parts, inventedNote(in.Invented))...)
}

// peak is the index of the largest median, -1 where there is no curve.
func (in RecoveryInput) peak() int {
	best := -1
	if !in.hasCurve() {
		return best
	}
	for i, v := range in.Median {
		if finite(v) && finite(in.Stock[i]) && (best < 0 || v > in.Median[best]) {
			best = i
		}
	}
	return best
}
