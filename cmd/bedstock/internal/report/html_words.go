package report

import (
	"fmt"
	"math"
	"strings"

	"bedstock/cmd/bedstock/internal/table"
	"bedstock/model"
	"bedstock/survey"
)

// none stands in a cell for a number that is not to be had.
const none = "not known"

// kilos writes a weight for people, without unit.
func kilos(v float64) string {
	if !isNumber(v) {
		return none
	}
	return table.Thousands(model.Kg(v))
}

// span is a weight with its interval.
type span struct{ Value, Range string }

// spanOf writes a number with the digits that its interval allows.
func spanOf(v, lo, hi float64) span {
	if !isNumber(v) {
		return span{Value: none}
	}
	if !isNumber(lo) || !isNumber(hi) {
		return span{Value: kilos(v)}
	}
	return span{table.Thousands(significant(v, lo, hi)), fmt.Sprintf("%s to %s", table.Thousands(significant(lo, lo, hi)),
		table.Thousands(significant(hi, lo, hi)))}
}

func (s span) String() string {
	if s.Range == "" {
		return s.Value
	}
	return s.Value + " (" + s.Range + ")"
}

func estimateSpan(e survey.Estimate) span {
	if !e.OK {
		return span{Value: "not estimable"}
	}
	return spanOf(e.Value, e.Lo, e.Hi)
}

// number writes a number with so many significant digits.
func number(v float64, digits int) string {
	if math.IsInf(v, 1) {
		return "no upper end"
	}
	if !isNumber(v) {
		return none
	}
	return table.Thousands(table.Number(v, digits).String())
}

// percent writes a share; a share above 0 is never shown as 0 %, one below 1 never as 100 %.
func percent(share float64) string {
	p := 100 * share
	switch {
	case !isNumber(share):
		return none
	case p > 0 && p < 0.05:
		return "under 0.1 %"
	case p > 99.5 && p < 100:
		return "over 99 %"
	case p < 1.95 && p > 0:
		return fmt.Sprintf("%.1f %%", p)
	}
	return fmt.Sprintf("%.0f %%", p)
}

func isNumber(v float64) bool { return !math.IsNaN(v) && !math.IsInf(v, 0) }

// plural counts things.
func plural(n int, one, many string) string {
	if n == 1 {
		return "1 " + one
	}
	return fmt.Sprintf("%d %s", n, many)
}

// listed joins words as people do: a, b and c.
func listed(words []string) string {
	switch n := len(words); n {
	case 0:
		return ""
	case 1:
		return words[0]
	default:
		return strings.Join(words[:n-1], ", ") + " and " + words[n-1]
	}
}

// capital begins a sentence.
func capital(s string) string {
	if s == "" || s[0] < 'a' || s[0] > 'z' {
		return s
	}
	return strings.ToUpper(s[:1]) + s[1:]
}
