package plots

import (
	"fmt"
	"strings"
)

// caption says what the figure shows and how many rows can be told.
func (in PressureInput) caption(rows []PressureRow) string {
	if len(rows) == 0 {
		return sentence("No bed has a cut and a recovery to compare", inventedNote(in.Invented))
	}
	told := 0
	for _, r := range rows {
		if r.told() {
			told++
		}
	}
	parts := []string{fmt.Sprintf("What was cut over what grew back in the same time, from most to least pressure: point and %s "+
		"(%d of %d rows can be told)", interval(in.Level), told, len(rows)),
		"Right of the line at 1 more was cut than grew back", "The shape says what can be concluded"}
	if l := layRows(rows, in.Level); l.onePeriod != "" {
		parts = append(parts, "Period: "+l.onePeriod)
	}
	return sentence(append(parts, inventedNote(in.Invented))...)
}

// alt is the text alternative: every row.
func (in PressureInput) alt(rows []PressureRow) string {
	if len(rows) == 0 {
		return in.caption(rows)
	}
	parts := []string{"Cut over recovery, from most to least pressure"}
	for _, r := range rows {
		name := clean(r.Label)
		if p := clean(r.Period); p != "" {
			name += ", " + p
		}
		switch {
		case !r.told():
			parts = append(parts, name+": "+r.reason())
		case finite(r.Lo) && finite(r.Hi) && r.Lo < r.Hi:
			parts = append(parts, strings.TrimSpace(fmt.Sprintf("%s: %s (%s %s to %s), %s", name, ratioText(r.Ratio),
				interval(in.Level), ratioText(r.Lo), ratioText(r.Hi), kind(r.Verdict))))
		default:
			parts = append(parts, name+": "+ratioText(r.Ratio)+", "+kind(r.Verdict))
		}
	}
	return sentence(append(parts, inventedNote(in.Invented))...)
}
