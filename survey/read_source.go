package survey

import (
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"strings"
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
	saveHint  = "save the table as comma-separated UTF-8 text (CSV UTF-8)"
	bookHint  = "a workbook is read under its own name, ending in .xlsx, with sheets named as the tables; else " + saveHint
	plainHint = "put the file itself there, not a folder, link or pipe"
	byteMark  = "\ufeff"
)
