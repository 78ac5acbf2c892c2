package survey

import (
	"math/big"
	"strconv"
	"strings"
)

// decimal is a number as written: digits times a power of ten, so that units are converted and parts added without
// rounding. Only the result is rounded, once, when it is read as a binary number.
type decimal struct {
	digits *big.Int
	power  int
}

// maxPower bounds the powers of ten, so that a cell such as 1e999999999 costs nothing.
const maxPower = 400

// parseDecimal reads decimal syntax as [parseNumber] does.
func parseDecimal(s string) (decimal, bool) {
	if s == "" || len(s) > maxPower {
		return decimal{}, false
	}
	if _, bad := parseNumber(s); bad != nil {
		return decimal{}, false
	}
	s = strings.ToLower(s)
	mantissa, exponent, _ := strings.Cut(s, "e")
	power := 0
	if exponent != "" {
		power, _ = strconv.Atoi(exponent)
	}
	whole, part, _ := strings.Cut(mantissa, ".")
	power -= len(part)
	digits, ok := new(big.Int).SetString(strings.TrimPrefix(whole, "+")+part, 10)
	return decimal{digits, power}, ok && -maxPower <= power && power <= maxPower
}

func (d decimal) times(e decimal) decimal {
	return decimal{new(big.Int).Mul(d.digits, e.digits), d.power + e.power}
}

func (d decimal) plus(e decimal) decimal {
	power := min(d.power, e.power)
	return decimal{new(big.Int).Add(d.scaled(power), e.scaled(power)), power}
}

// scaled gives the digits for a power that is not larger.
func (d decimal) scaled(power int) *big.Int {
	ten := new(big.Int).Exp(big.NewInt(10), big.NewInt(int64(d.power-power)), nil)
	return ten.Mul(ten, d.digits)
}

// String writes the number without an exponent and without zeros at the end of its decimals.
func (d decimal) String() string {
	if d.digits.Sign() == 0 {
		return "0"
	}
	if d.power >= 0 {
		return d.scaled(0).String()
	}
	sign, s := "", new(big.Int).Abs(d.digits).String()
	if d.digits.Sign() < 0 {
		sign = "-"
	}
	if n := -d.power - len(s) + 1; n > 0 {
		s = strings.Repeat("0", n) + s
	}
	whole, part := s[:len(s)+d.power], strings.TrimRight(s[len(s)+d.power:], "0")
	if part == "" {
		return sign + whole
	}
	return sign + whole + "." + part
}

// product multiplies numbers as written; a text that is no number comes back as it is, to be refused where it is read.
func product(s string, factors ...string) string {
	d, ok := parseDecimal(s)
	for _, f := range factors {
		e, fine := parseDecimal(f)
		if !ok || !fine {
			return s
		}
		d = d.times(e)
	}
	if !ok {
		return s
	}
	return d.String()
}
