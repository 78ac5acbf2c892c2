package table

import (
	"math"
	"strconv"
	"strings"
)

// digitsWithoutSE is how many significant digits a number shows whose standard error is not known; common practice,
// no source.
const digitsWithoutSE = 3

// Significant writes v, which has the standard error se, for people: rounded as [Round] does, with no digit behind
// the last that counts and no mark between thousands. A number that is not finite gives "-".
func Significant(v, se float64) string { return Estimate(v, se).String() }

// Round rounds v to the digits that its standard error se allows, which are those down to the second significant
// digit of se:
//
//	place = floor(log10 se2) - 1
//	Round = 10^place * nearest(v / 10^place)
//
// where se2 is se rounded to two significant digits, v and se have the same unit. The decimal nearest to v is taken,
// ties to even. Special cases are:
//
//	Round(v, 0)            = v in full, since v is exact
//	Round(v, se), se < 0, NaN or infinite: three significant digits
//	Round(NaN or ±Inf, se) = v
//
// References:
//   - JCGM 100:2008: Evaluation of measurement data: Guide to the expression of uncertainty in measurement, 7.2.6
func Round(v, se float64) float64 {
	if math.IsNaN(v) || math.IsInf(v, 0) {
		return v
	}
	return roundAt(v, placeOf(v, se))
}

// placeOf is the decimal exponent of the last digit of v that counts.
func placeOf(v, se float64) int {
	switch {
	case se == 0:
		return allDigits
	case se > 0 && !math.IsInf(se, 1):
		return exponent(se, 2) - 1
	case v == 0:
		return 0
	}
	return exponent(v, digitsWithoutSE) - digitsWithoutSE + 1
}

// exponent is the decimal exponent of the first digit of v, not 0, after rounding to so many significant digits.
func exponent(v float64, digits int) int {
	s := strconv.FormatFloat(math.Abs(v), 'e', digits-1, 64)
	e, err := strconv.Atoi(s[strings.IndexByte(s, 'e')+1:])
	if err != nil {
		panic("table: no exponent in " + s)
	}
	return e
}

// roundAt rounds a finite v to a multiple of 10^place, to the nearest decimal, ties to even.
func roundAt(v float64, place int) float64 {
	if place == allDigits || v == 0 {
		return v + 0 // -0 becomes 0
	}
	digits := exponent(v, 17) - place // digits after the first
	var s string
	switch {
	case digits >= 17:
		return v
	case digits >= 0:
		s = strconv.FormatFloat(v, 'e', digits, 64)
	default: // v is below the place: it is 0 or one unit of the place
		unit := pow10(place)
		return unit*math.RoundToEven(v/unit) + 0
	}
	r, err := strconv.ParseFloat(s, 64)
	if err != nil {
		return v // only near the largest float, where rounding up overflows
	}
	return r
}

// pow10 is the float nearest to 10^e.
func pow10(e int) float64 {
	v, err := strconv.ParseFloat("1e"+strconv.Itoa(e), 64)
	if err != nil {
		panic("table: 10^" + strconv.Itoa(e) + " is no float")
	}
	return v
}

// noMinusZero takes the sign from a zero, as in "-0.00".
func noMinusZero(s string) string {
	if strings.HasPrefix(s, "-") && strings.Trim(s, "-0.") == "" {
		return s[1:]
	}
	return s
}

// noBreak is the narrow no-break space that parts the thousands in a web page.
const noBreak = "\u202f"

// Thousands puts a narrow no-break space between the thousands of a decimal number of five or more digits before its
// point, for web pages. In terminals and files numbers stay plain. Any other text is returned as it is.
//
// References:
//   - ISO 80000-1:2009, 7.3.1: digits parted in groups of three by a small space
func Thousands(s string) string {
	sign, digits := "", s
	if strings.HasPrefix(s, "-") {
		sign, digits = "-", s[1:]
	}
	whole, fraction, _ := strings.Cut(digits, ".")
	if len(whole) < 5 || strings.Trim(whole, "0123456789") != "" || strings.Trim(fraction, "0123456789") != "" {
		return s
	}
	var b strings.Builder
	b.WriteString(sign)
	for i := range len(whole) {
		if i > 0 && (len(whole)-i)%3 == 0 {
			b.WriteString(noBreak)
		}
		b.WriteByte(whole[i])
	}
	b.WriteString(digits[len(whole):])
	return b.String()
}
