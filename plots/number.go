package plots

import (
	"math"
	"strconv"
	"strings"
)

// nbsp stands between the thousands and before a unit.
const nbsp = "\u00a0"

// largestNumber bounds what is drawn; in kg it is a thousand times the life on Earth.
const largestNumber = 1e15

// finite says whether v can be drawn: it is a number, and none that only a slip could have made.
func finite(v float64) bool { return v >= -largestNumber && v <= largestNumber }

// plain writes a number with the given decimals, thousands apart: 12 345.6. It has no exponent; NaN is "?".
func plain(v float64, decimals int) string {
	if !finite(v) {
		return "?"
	}
	s := strconv.FormatFloat(math.Abs(v), 'f', decimals, 64)
	whole, frac, _ := strings.Cut(s, ".")
	for i := len(whole) - 3; i > 0; i -= 3 {
		whole = whole[:i] + nbsp + whole[i:]
	}
	if frac != "" {
		whole += "." + frac
	}
	if v < 0 && strings.Trim(s, "0.") != "" {
		whole = "−" + whole
	}
	return whole
}

// short writes a number without closing zeros, with at most three decimals.
func short(v float64) string {
	s := plain(v, 3)
	if strings.Contains(s, ".") {
		s = strings.TrimRight(strings.TrimRight(s, "0"), ".")
	}
	return s
}

// round3 keeps three significant digits.
func round3(v float64) float64 {
	if v == 0 || !finite(v) {
		return v
	}
	s, err := strconv.ParseFloat(strconv.FormatFloat(v, 'g', 3, 64), 64)
	if err != nil {
		return v
	}
	return s
}

// exactMass writes a weight given in kg as it is, in tonnes from 10 000 kg on.
func exactMass(kg float64) string {
	if math.Abs(kg) >= 1e4 {
		return short(kg/1000) + nbsp + "t"
	}
	return short(kg) + nbsp + "kg"
}

// mass writes a weight given in kg with three significant digits.
func mass(kg float64) string { return exactMass(round3(kg)) }

// massUnit picks the unit of an axis that reaches up to a weight in kg: kg, or tonnes from 10 000 kg on. Divide by per.
func massUnit(kg float64) (unit string, per float64) {
	if kg >= 1e4 {
		return "t", 1000
	}
	return "kg", 1
}

// percent writes a level such as 0.95 as "95 %"; blank where it is none.
func percent(level float64) string {
	if !(level > 0 && level < 1) {
		return ""
	}
	return short(math.Round(level*1000)/10) + nbsp + "%"
}

// interval names the interval of a level: "95 % interval".
func interval(level float64) string { return strings.TrimSpace(percent(level) + " interval") }

// ratioText writes a ratio with about two significant digits.
func ratioText(v float64) string {
	switch {
	case !finite(v):
		return "?"
	case v >= 999.5:
		return "over" + nbsp + "999"
	case v == 0:
		return "0"
	case v >= 9.95:
		return plain(v, 0)
	case v >= 0.995:
		return plain(v, 1)
	}
	return plain(v, 2)
}

// top is the largest finite value of several lists, 0 where there is none.
func top(lists ...[]float64) float64 {
	m := 0.0
	for _, l := range lists {
		for _, v := range l {
			if finite(v) && v > m {
				m = v
			}
		}
	}
	return m
}
