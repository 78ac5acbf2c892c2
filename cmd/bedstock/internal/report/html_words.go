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

// undisclosed stands for a weight that the public edition withholds.
const undisclosed = "undisclosed"

// kilos writes a weight for people, without unit.
func kilos(v float64) string {
	if math.IsInf(v, 1) {
		return undisclosed
	}
	if !isNumber(v) {
		return none
	}
	return table.Thousands(model.Kg(v))
}

// atMost writes a weight rounded down, without unit: a limit is never shown larger than it is.
func atMost(v float64) string {
	if !isNumber(v) {
		return none
	}
	return table.Thousands(model.KgDown(v))
}

// span is a weight with its interval.
type span struct{ Value, Range string }

// spanOf writes a number with the digits that the narrower side of its interval allows. An end that lies more than
// tenfold off has two digits.
func spanOf(v, lo, hi float64) span {
	if !isNumber(v) {
		return span{Value: none}
	}
	if !isNumber(lo) || !isNumber(hi) || hi <= lo {
		return span{Value: kilos(v)}
	}
	se := math.Min(v-lo, hi-v) / 2
	if !(se > 0) {
		se = (hi - lo) / 4
	}
	end := func(x float64) string {
		if math.Abs(x) > 10*math.Abs(v) && v != 0 || x != 0 && table.Round(x, se) == 0 {
			return number(x, 2)
		}
		return table.Thousands(table.Significant(x, se))
	}
	value := table.Thousands(table.Significant(v, se))
	if v != 0 && table.Round(v, se) == 0 {
		value = number(v, 2)
	}
	s := span{value, end(lo) + " to " + end(hi)}
	if v > 0 && hi > 100*v {
		s.Range = hardly + s.Range
	}
	return s
}

// hardly begins an interval whose upper end is more than a hundred times the number.
const hardly = "hardly known, "

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
	s := table.Number(v, digits).String()
	if strings.Contains(s, ".") {
		s = strings.TrimRight(strings.TrimRight(s, "0"), ".")
	}
	return table.Thousands(s)
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
