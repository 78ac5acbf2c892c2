package survey

import (
	"fmt"
	"strings"
	"time"
)

// pattern is a text with headers in braces: literals[0] header[0] literals[1] ...
type pattern struct {
	literals, headers []string
}

// parsePattern reads a text such as "{Site}-{Plot}".
func parsePattern(s string) (pattern, error) {
	var p pattern
	rest := s
	for {
		literal, after, open := strings.Cut(rest, "{")
		if strings.Contains(literal, "}") {
			return p, fmt.Errorf("%q has a } without a {", s)
		}
		p.literals = append(p.literals, literal)
		if !open {
			break
		}
		header, next, closed := strings.Cut(after, "}")
		if header = strings.TrimSpace(header); !closed || header == "" || strings.Contains(header, "{") {
			return p, fmt.Errorf("%q has a { without a header and a }", s)
		}
		p.headers = append(p.headers, header)
		rest = next
	}
	if len(p.headers) == 0 {
		return p, fmt.Errorf("%q names no header in braces", s)
	}
	return p, nil
}

// fill puts the cells into the text. It is blank where every cell is; a part may be blank.
func (p pattern) fill(cells []string) string {
	if strings.Join(cells, "") == "" {
		return ""
	}
	var b strings.Builder
	for i, literal := range p.literals {
		b.WriteString(literal)
		if i < len(cells) {
			b.WriteString(cells[i])
		}
	}
	return strings.TrimSpace(b.String())
}

// dayForm is how the dates of a file are written: year, month and day in some order with something between them.
type dayForm struct {
	parts []string // YYYY, MM, Month, DD or literal text
}

var formParts = []string{"YYYY", "MM", "Month", "DD"}

// parseForm reads a form such as "DD.MM.YYYY" or "YYYY Month DD".
func parseForm(s string) (dayForm, error) {
	var f dayForm
	count := map[string]int{}
	for rest := s; rest != ""; {
		part := ""
		for _, p := range formParts {
			if strings.HasPrefix(rest, p) {
				part = p
			}
		}
		if part == "" {
			part = rest[:1]
			if len(f.parts) == 0 || isDigitOrLetter(part[0]) || part[0] >= 0x80 {
				return f, fmt.Errorf("form %q is not made of YYYY, MM or Month, and DD with marks between them", s)
			}
		}
		count[part]++
		f.parts = append(f.parts, part)
		rest = rest[len(part):]
	}
	if count["YYYY"] != 1 || count["DD"] != 1 || count["MM"]+count["Month"] != 1 {
		return f, fmt.Errorf("form %q must have YYYY, MM or Month, and DD, each once", s)
	}
	for i := 1; i < len(f.parts); i++ {
		if len(f.parts[i-1]) > 1 && len(f.parts[i]) > 1 && f.parts[i] != "MM" && f.parts[i] != "DD" {
			return f, fmt.Errorf("form %q needs a mark between its parts", s)
		}
	}
	return f, nil
}

func isDigitOrLetter(b byte) bool {
	return '0' <= b && b <= '9' || 'a' <= b && b <= 'z' || 'A' <= b && b <= 'Z'
}

// iso turns a date in that form into YYYY-MM-DD. What does not fit comes back as it is, to be refused where it is read.
// A day and a month may have one figure where a mark stands after them; the year has four.
func (f dayForm) iso(s string) string {
	if date, rest := f.read(s); date != "" && rest == "" {
		return date
	}
	return s
}

// isoMoment is iso where a time of day stands behind the date.
func (f dayForm) isoMoment(s string) string {
	if date, rest := f.read(s); date != "" && rest != "" && strings.Contains(" T", rest[:1]) {
		return date + rest
	}
	return s
}

// read reads the date at the start of a text as YYYY-MM-DD, empty where there is none in that form, and what follows it.
func (f dayForm) read(s string) (date, rest string) {
	year, month, day := 0, 0, 0
	rest = s
	for i, part := range f.parts {
		switch part {
		case "YYYY":
			year, rest = leadingNumber(rest, 4, 4)
		case "MM":
			month, rest = leadingNumber(rest, f.least(i), 2)
		case "DD":
			day, rest = leadingNumber(rest, f.least(i), 2)
		case "Month":
			month, rest = leadingMonth(rest)
		default:
			if !strings.HasPrefix(rest, part) {
				return "", rest
			}
			rest = rest[len(part):]
		}
	}
	if year == 0 || month == 0 || day == 0 {
		return "", rest
	}
	return fmt.Sprintf("%04d-%02d-%02d", year, month, day), rest
}

// least is how many figures a day or month must have: two where the next part follows without a mark.
func (f dayForm) least(i int) int {
	if i+1 < len(f.parts) && len(f.parts[i+1]) > 1 || i > 0 && len(f.parts[i-1]) > 1 {
		return 2
	}
	return 1
}

// leadingNumber reads at least so many and at most so many figures; 0 where there are fewer.
func leadingNumber(s string, least, most int) (int, string) {
	n, v := 0, 0
	for n < len(s) && n < most && '0' <= s[n] && s[n] <= '9' {
		v = 10*v + int(s[n]-'0')
		n++
	}
	if n < least {
		return 0, s
	}
	return v, s[n:]
}

// leadingMonth reads an English name of a month, or its first three letters.
func leadingMonth(s string) (int, string) {
	n := 0
	for n < len(s) && isDigitOrLetter(s[n]) && s[n] > '9' {
		n++
	}
	for m := time.January; m <= time.December; m++ {
		if name := m.String(); strings.EqualFold(s[:n], name) || n == 3 && strings.EqualFold(s[:n], name[:3]) {
			return int(m), strings.TrimPrefix(s[n:], ".")
		}
	}
	return 0, s
}
