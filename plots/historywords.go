package plots

import (
	"fmt"
	"math"
	"strings"
)

// caption says what the figure shows, with the number of surveys and the level of the intervals.
func (in HistoryInput) caption() string {
	parts := []string{in.stockWords()}
	if len(in.State) > 0 {
		parts = append(parts, "Grey: the stock as fitted between surveys")
	}
	if w := in.fanWords(); w != "" {
		parts = append(parts, w)
	}
	if finite(in.Limit) {
		parts = append(parts, "The dashed level line is the limit, which the stock must stay above")
	}
	switch {
	case !in.CutsKnown:
		parts = append(parts, in.notKnown())
	case len(in.Cuts) == 0:
		parts = append(parts, "The returns hold no cut")
	case in.hasCast():
		parts = append(parts, "Below: what was cut in each year (filled) and, apart, cast weed that was gathered (hatched)")
	default:
		parts = append(parts, "Below: what was cut in each year")
	}
	if in.CutsKnown && in.unknownYear() {
		parts = append(parts, "A question mark is a year that is not known")
	}
	if in.CutsKnown {
		parts = append(parts, in.CutsNote)
	}
	return sentence(append(parts, inventedNote(in.Invented))...)
}

// notKnown says that cuts are not shown, and why where that is not for want of returns.
func (in HistoryInput) notKnown() string {
	if in.CutsWhy == "" {
		return "Cuts are not known"
	}
	return "Cuts are not shown, " + in.CutsWhy
}

// stockWords says how many surveys are shown and how.
func (in HistoryInput) stockWords() string {
	shown, gaps := 0, 0
	for _, s := range in.Surveys {
		if s.shown() {
			shown++
		} else {
			gaps++
		}
	}
	if shown+gaps == 0 {
		return "No survey of this bed"
	}
	w := fmt.Sprintf("Standing stock at the surveys (n = %d): points with %s", shown, interval(in.Level))
	if gaps > 0 {
		w += fmt.Sprintf("; crosses on the axis are surveys without an estimate (n = %d)", gaps)
	}
	return w
}

// fanWords says what the projections look like.
func (in HistoryInput) fanWords() string {
	var w []string
	if len(in.Advised) > 0 {
		w = append(w, wordsAdvised+" (solid line, filled)")
	}
	if len(in.NoCut) > 0 {
		w = append(w, wordsNoCut+" (dashed line, combed)")
	}
	if len(w) == 0 {
		return ""
	}
	return "Expected stock " + strings.Join(w, " and ") + ": median and " + interval(in.Level)
}

func (in HistoryInput) unknownYear() bool {
	for _, b := range in.Cuts {
		if !finite(b.Cut) {
			return true
		}
	}
	return false
}

// alt is the text alternative: every survey, every year, the ends of the projections.
func (in HistoryInput) alt() string {
	parts := []string{subject(in.Bed, in.Species)}
	level := interval(in.Level)
	for _, s := range in.Surveys {
		switch {
		case !isYear(s.T):
		case s.shown() && finite(s.Lo) && finite(s.Hi):
			parts = append(parts, fmt.Sprintf("%s: stock %s, %s %s to %s", when(s.T), mass(s.Kg), level, mass(s.Lo), mass(s.Hi)))
		case s.shown():
			parts = append(parts, fmt.Sprintf("%s: stock %s", when(s.T), mass(s.Kg)))
		default:
			parts = append(parts, fmt.Sprintf("%s: no estimate, %s", when(s.T), s.note()))
		}
	}
	if len(in.Surveys) == 0 {
		parts = append(parts, "No survey of this bed")
	}
	parts = append(parts, in.cutWords()...)
	if finite(in.Limit) {
		parts = append(parts, "Limit "+mass(in.Limit))
	}
	parts = append(parts, fanEnd(wordsAdvised, in.Advised, level), fanEnd(wordsNoCut, in.NoCut, level))
	return sentence(append(parts, inventedNote(in.Invented))...)
}

// cutWords lists what left the bed.
func (in HistoryInput) cutWords() []string {
	if !in.CutsKnown {
		return []string{in.notKnown()}
	}
	if len(in.Cuts) == 0 {
		return []string{"The returns hold no cut"}
	}
	var out []string
	for _, b := range in.Cuts {
		w := fmt.Sprintf("%d: cut %s", b.Year, mass(b.Cut))
		if !finite(b.Cut) {
			w = fmt.Sprintf("%d: cut not known", b.Year)
		}
		if b.Cast > 0 && finite(b.Cast) {
			w += ", cast weed " + mass(b.Cast)
		}
		out = append(out, w)
	}
	return out
}

// fanEnd says where a projection ends.
func fanEnd(words string, ps []FanPoint, level string) string {
	i := columns(ps, 1).last()
	if i < 0 {
		return ""
	}
	p := ps[i]
	w := fmt.Sprintf("Expected stock in %s %s: %s", when(p.T), words, mass(p.Median))
	if finite(p.Lo) && finite(p.Hi) {
		w += fmt.Sprintf(", %s %s to %s", level, mass(p.Lo), mass(p.Hi))
	}
	return w
}

// when writes a decimal year as a month and year.
func when(t float64) string {
	y := math.Floor(t)
	months := []string{"January", "February", "March", "April", "May", "June", "July", "August", "September", "October",
		"November", "December"}
	return months[min(int((t-y)*12), 11)] + " " + yearText(y)
}
