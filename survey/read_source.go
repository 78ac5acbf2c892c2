package survey

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"strings"
	"unicode/utf8"
)

// maxFile is the largest file that is read, in bytes.
const maxFile = 1 << 30

// errRefused says that a file was refused with a finding.
var errRefused = errors.New("file refused")

// readText reads a plain file whole. A directory, a pipe or a file that is too large is a fault of the folder and
// comes back as errRefused; what the file system cannot do is an error of its own.
func readText(fsys fs.FS, name string, found *findings) (string, Input, error) {
	f, err := fsys.Open(name)
	if err != nil {
		if pe, ok := errors.AsType[*fs.PathError](err); ok {
			err = pe.Err // the name is said already
		}
		return "", Input{}, fmt.Errorf("cannot open %s: %w", name, err)
	}
	defer f.Close()
	info, err := f.Stat()
	switch {
	case err != nil:
		return "", Input{}, fmt.Errorf("cannot read %s: %w", name, err)
	case !info.Mode().IsRegular():
		found.fault(name, 0, "", plainHint, "is not a plain file")
		return "", Input{}, errRefused
	case info.Size() > maxFile:
		found.fault(name, 0, "", "", "is larger than 1 GiB")
		return "", Input{}, errRefused
	}
	var b strings.Builder
	b.Grow(int(info.Size()))
	sum := sha256.New()
	if _, err := io.Copy(io.MultiWriter(&b, sum), io.LimitReader(f, maxFile+1)); err != nil {
		return "", Input{}, fmt.Errorf("cannot read %s: %w", name, err)
	}
	if b.Len() > maxFile {
		found.fault(name, 0, "", "", "is larger than 1 GiB")
		return "", Input{}, errRefused
	}
	return b.String(), Input{Path: name, SHA256: hex.EncodeToString(sum.Sum(nil))}, nil
}

const (
	saveHint = "save the table as comma-separated UTF-8 text (CSV UTF-8)"
	wayHint  = saveHint + ", with decimal points. LibreOffice: Save as, Edit filter settings, field delimiter ','; " +
		"other programs: set list separator ',' and decimal point '.' in the system's region first"
	plainHint = "put the file itself there, not a folder, link or pipe"
	byteMark  = "\ufeff"
)

// plainText checks that a file is UTF-8 text that is not empty, and drops the byte-order mark.
func plainText(name, text string, found *findings) (string, bool) {
	switch {
	case strings.HasPrefix(text, "\xff\xfe"), strings.HasPrefix(text, "\xfe\xff"):
		found.fault(name, 0, "", saveHint, "is UTF-16 text, not UTF-8")
		return "", false
	case strings.HasPrefix(text, "PK\x03\x04"):
		found.fault(name, 0, "", saveHint, "is a spreadsheet or zip file, not CSV text")
		return "", false
	}
	text = strings.TrimPrefix(text, byteMark)
	if strings.TrimSpace(text) == "" {
		hint := "write at least the header, or remove the file"
		if spec := tableOf(name); spec != nil && spec.needed {
			hint = "write the header and at least one row"
		}
		found.fault(name, 0, "", hint, "is empty")
		return "", false
	}
	if i := strings.IndexByte(text, 0); i >= 0 {
		noteByte(found, name, text, i, "holds a NUL byte: not plain UTF-8 text")
		return "", false
	}
	if !utf8.ValidString(text) {
		i := invalidByte(text)
		noteByte(found, name, text, i, "holds the byte %#x: not UTF-8 text", text[i])
		return "", false
	}
	if strings.Contains(text, "\r") && !strings.Contains(text, "\n") {
		found.fault(name, 0, "", saveHint, "ends its lines with CR alone")
		return "", false
	}
	return text, true
}

// noteByte faults a file at the byte i.
func noteByte(found *findings, name, text string, i int, format string, args ...any) {
	line := 1 + strings.Count(text[:i], "\n")
	column := i - strings.LastIndexByte(text[:i], '\n')
	found.note(finding{file: name, line: line, at: column, hint: saveHint}, format, args...)
}

// invalidByte is the place of the first byte that is not UTF-8.
func invalidByte(text string) int {
	for i, r := range text {
		if r != utf8.RuneError {
			continue
		}
		if _, n := utf8.DecodeRuneInString(text[i:]); n == 1 {
			return i
		}
	}
	return bytes.IndexByte([]byte(text), 0xff)
}
