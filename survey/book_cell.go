package survey

import (
	"encoding/xml"
	"fmt"
	"strconv"
	"strings"
	"unicode/utf8"
)

// cell reads a cell: what it says, and how sure that is.
func (sc *scanner) cell(e xml.StartElement) (string, cellKind, error) {
	var value, inline string
	var formula, valued bool
	err := sc.children(func(e xml.StartElement) (err error) {
		switch e.Name.Local {
		case "v":
			valued = true
			value, err = sc.chars()
			return err
		case "is":
			inline, err = sc.richText()
			return err
		case "f":
			formula = true
		}
		return sc.d.Skip()
	})
	if err != nil {
		return "", openCell, err
	}
	kind := attr(e, "t")
	if formula && (!valued || value == "" && kind != "str") {
		return "=", noneCell, nil
	}
	if value == "" && kind != "inlineStr" {
		return "", openCell, nil
	}
	switch kind {
	case "s":
		return sc.sharedText(value)
	case "str":
		return checkText(unescape(value))
	case "inlineStr":
		return checkText(unescape(inline))
	case "b":
		return map[bool]string{true: "TRUE", false: "FALSE"}[truth(value)], truthCell, nil
	case "e":
		return value, errorCell, nil
	case "d":
		day, clock, _ := strings.Cut(strings.TrimSuffix(value, "Z"), "T")
		switch {
		case clock == "":
		case strings.Trim(clock, "0:.") == "":
			return day, midnightCell, nil
		default:
			day += " " + clock
		}
		return day, sureCell, nil
	}
	style, _ := strconv.Atoi(attr(e, "s"))
	format := sc.book.formatOf(style)
	text, sure := sc.book.show(strings.TrimSpace(value), format)
	if !sure {
		return checkText(text)
	}
	if _, day := isoDay(text); day && format == momentFormat {
		return text, midnightCell, nil
	}
	return text, sureCell, nil
}

// chars is the text within the present element.
func (sc *scanner) chars() (string, error) {
	sc.buf = sc.buf[:0]
	for {
		token, err := sc.d.Token()
		if err != nil {
			return "", err
		}
		switch t := token.(type) {
		case xml.CharData:
			sc.buf = append(sc.buf, t...)
		case xml.StartElement:
			if err := sc.d.Skip(); err != nil {
				return "", err
			}
		case xml.EndElement:
			return string(sc.buf), nil
		}
	}
}

// richText joins the runs of a text, without what tells how it is pronounced.
func (sc *scanner) richText() (string, error) {
	var b strings.Builder
	var run func(e xml.StartElement) error
	run = func(e xml.StartElement) error {
		switch e.Name.Local {
		case "r":
			return sc.children(run)
		case "t":
			s, err := sc.chars()
			b.WriteString(s)
			return err
		}
		return sc.d.Skip()
	}
	err := sc.children(run)
	return b.String(), err
}

// sharedText is one of the texts of the workbook.
func (sc *scanner) sharedText(number string) (string, cellKind, error) {
	i, err := strconv.Atoi(strings.TrimSpace(number))
	if err != nil || i < 0 || i >= len(sc.book.texts) {
		return "", openCell, fmt.Errorf("a cell of row %d has the text number %q, and there is none", sc.line, number)
	}
	t := &sc.book.texts[i]
	return t.text, t.kind, nil
}

// checkText keeps a text that can be read.
func checkText(s string) (string, cellKind, error) {
	if len(s) > maxCell {
		if n := utf8.RuneCountInString(s); n > maxCell {
			return strconv.Itoa(n), longCell, nil
		}
	}
	for i := range len(s) {
		if b := s[i]; b < ' ' && b != '\t' && b != '\n' && b != '\r' {
			return fmt.Sprintf("U+%04X", b), unseenCell, nil
		}
	}
	return s, openCell, nil
}

// unescape turns _x000D_ into the character of that number (ECMA-376-1, 22.9.2.19).
func unescape(s string) string {
	if !strings.Contains(s, "_x") {
		return s
	}
	var b strings.Builder
	for {
		before, after, ok := strings.Cut(s, "_x")
		b.WriteString(before)
		if !ok {
			return b.String()
		}
		if len(after) >= 5 && after[4] == '_' {
			if n, err := strconv.ParseUint(after[:4], 16, 16); err == nil {
				b.WriteRune(rune(n))
				s = after[5:]
				continue
			}
		}
		b.WriteString("_x")
		s = after
	}
}
