package survey

import (
	"strings"
	"unicode/utf8"

	"golang.org/x/text/encoding/charmap"
	"golang.org/x/text/encoding/unicode"
)

const (
	mark16LE = "\xff\xfe"
	mark16BE = "\xfe\xff"
)

// encodingOf finds out how the letters of a text are kept: UTF-16 by its byte-order mark, Windows-1252 where the text
// is no UTF-8.
func encodingOf(text string) string {
	switch {
	case strings.HasPrefix(text, mark16LE):
		return "utf-16le"
	case strings.HasPrefix(text, mark16BE):
		return "utf-16be"
	case validText(text):
		return "utf-8"
	}
	return "windows-1252"
}

// decode turns the bytes of a file into UTF-8 text without byte-order mark whose lines end in LF or CRLF. Where that
// cannot be done, or in more than one way, it is a fault.
func decode(name, raw string, rules InputRules, found *findings) (text, encoding string, ok bool) {
	if strings.HasPrefix(raw, "PK\x03\x04") {
		found.fault(name, 0, "", bookHint, "is a spreadsheet or zip file, not CSV text")
		return "", "", false
	}
	if !plainText(name, raw, found) {
		return "", "", false
	}
	encoding = rules.Encoding
	if encoding == "" {
		if encoding = encodingOf(raw); encoding == "windows-1252" && !onlyWindows(name, raw, found) {
			return "", "", false
		}
	}
	switch encoding {
	case "utf-16le":
		text, ok = decode16(name, raw, mark16LE, unicode.LittleEndian, found)
	case "utf-16be":
		text, ok = decode16(name, raw, mark16BE, unicode.BigEndian, found)
	case "windows-1252":
		text, ok = decode1252(name, raw, found)
	default:
		text, ok = decode8(name, raw, rules.Encoding == "", found)
	}
	if ok && !strings.Contains(text, "\n") {
		text = strings.ReplaceAll(text, "\r", "\n")
	}
	return text, encoding, ok && written(name, text, found)
}

// onlyWindows says whether a text that is no UTF-8 holds nothing that looks like UTF-8 either.
func onlyWindows(name, raw string, found *findings) bool {
	bad := invalidByte(raw)
	if at := strings.IndexByte(raw, 0); at >= 0 {
		noteNul(found, name, raw, at)
		return false
	}
	for i, r := range raw {
		if r == utf8.RuneError || r < utf8.RuneSelf {
			continue
		}
		noteByte(found, name, raw, bad, encodingHint(name, "windows-1252")+"; else save it again as UTF-8",
			"holds the byte %#x, which is not UTF-8, but %q elsewhere, which is: the encoding cannot be told", raw[bad], raw[i:i+utf8.RuneLen(r)])
		return false
	}
	return true
}

func encodingHint(name, encoding string) string {
	return "say which it is: " + inputHint(name, "encoding", encoding)
}

// inputHint shows how rules.toml says how a table is written.
func inputHint(name, key string, values ...string) string {
	return `rules.toml, [input."` + name + `"]: ` + key + ` = "` + strings.Join(values, `" or "`) + `"`
}

// decode8 takes UTF-8; where it is known to be valid it is not looked through again.
func decode8(name, raw string, valid bool, found *findings) (string, bool) {
	text := raw
	for strings.HasPrefix(text, byteMark) { // files joined with their marks have several
		text = text[len(byteMark):]
	}
	if !valid && !validText(text) {
		i := invalidByte(text)
		noteByte(found, name, text, i, encodingHint(name, "windows-1252"), "holds the byte %#x: not UTF-8 text, as rules.toml says", text[i])
		return "", false
	}
	if hasByte(text, 0) {
		noteNul(found, name, text, strings.IndexByte(text, 0))
		return "", false
	}
	return text, true
}

func decode1252(name, raw string, found *findings) (string, bool) {
	text, err := charmap.Windows1252.NewDecoder().String(raw)
	if err != nil {
		panic("survey: decoding Windows-1252: " + err.Error()) // every byte decodes
	}
	for at := range len(raw) {
		if b := raw[at]; b == 0 || b >= 0x80 && charmap.Windows1252.DecodeByte(b) == utf8.RuneError {
			noteByte(found, name, raw, at, saveHint, "holds the byte %#x: neither UTF-8 nor Windows-1252 text", b)
			return "", false
		}
	}
	return text, true
}

func decode16(name, raw, mark string, order unicode.Endianness, found *findings) (string, bool) {
	raw = strings.TrimPrefix(raw, mark)
	if len(raw)%2 != 0 {
		found.fault(name, 0, "", saveHint, "is UTF-16 text that ends in half a letter")
		return "", false
	}
	text, err := unicode.UTF16(order, unicode.IgnoreBOM).NewDecoder().String(raw)
	if err != nil || strings.ContainsAny(text, "\x00\ufffd") {
		hint, what := saveHint, "is not whole UTF-16 text"
		if i := strings.IndexAny(text, "\x00\ufffd"); i >= 0 {
			noteByte(found, name, text, i, hint, "%s", what)
		} else {
			found.fault(name, 0, "", hint, "%s", what)
		}
		return "", false
	}
	return text, true
}

// noteNul faults a file with a NUL byte at i: UTF-16 without its mark where every second byte is NUL, else damaged.
func noteNul(found *findings, name, text string, i int) {
	if 3*strings.Count(text, "\x00") < len(text) {
		noteByte(found, name, text, i, "the file is damaged, as when a disk or a transfer stopped: take it from a copy, or "+saveHint, "holds a NUL byte: no plain text")
		return
	}
	encoding := [2]string{"utf-16be", "utf-16le"}[i%2]
	noteByte(found, name, text, i, encodingHint(name, encoding)+", or "+saveHint, "holds a NUL byte: it seems to be UTF-16 without its mark")
}

// written says whether there is anything but blanks.
func written(name, text string, found *findings) bool {
	if strings.TrimSpace(text) != "" {
		return true
	}
	hint := "write at least the header, or remove the file"
	if spec := tableOf(name); spec != nil && spec.needed {
		hint = "write the header and at least one row"
	}
	found.fault(name, 0, "", hint, "is empty")
	return false
}

// noteByte faults a file at the byte i.
func noteByte(found *findings, name, text string, i int, hint, format string, args ...any) {
	line := 1 + strings.Count(text[:i], "\n")
	start := strings.LastIndexByte(text[:i], '\n') + 1
	found.note(finding{file: name, line: line, at: 1 + utf8.RuneCountInString(text[start:i]), hint: hint}, format, args...)
}

// invalidByte is the place of the first byte that is not UTF-8, -1 where there is none.
func invalidByte(text string) int {
	for i, r := range text {
		if r != utf8.RuneError {
			continue
		}
		if _, n := utf8.DecodeRuneInString(text[i:]); n == 1 {
			return i
		}
	}
	return -1
}
