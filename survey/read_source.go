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
	most, words := largest(name)
	tooLarge := func() (string, Input, error) {
		found.fault(name, 0, "", "is it the right file? No survey needs as much", "is larger than %s", words)
		return "", Input{}, errRefused
	}
	switch {
	case err != nil:
		return "", Input{}, fmt.Errorf("cannot read %s: %w", name, err)
	case !info.Mode().IsRegular():
		found.fault(name, 0, "", plainHint, "is not a plain file")
		return "", Input{}, errRefused
	case info.Size() > most:
		return tooLarge()
	}
	var b strings.Builder
	b.Grow(int(info.Size()))
	sum, err := copySummed(&b, io.LimitReader(f, most+1))
	if err != nil {
		return "", Input{}, fmt.Errorf("cannot read %s: %w", name, err)
	}
	if int64(b.Len()) > most {
		return tooLarge()
	}
	return b.String(), Input{Path: name, SHA256: sum}, nil
}

// copySummed takes what a reader holds, and its checksum, which is worked out of each block while the next is read.
func copySummed(b *strings.Builder, from io.Reader) (string, error) {
	free, blocks, done := make(chan []byte, 2), make(chan []byte, 2), make(chan string)
	for range cap(free) {
		free <- make([]byte, 64<<10)
	}
	go func() {
		sum := sha256.New()
		for block := range blocks {
			sum.Write(block)
			free <- block[:cap(block)]
		}
		done <- hex.EncodeToString(sum.Sum(nil))
	}()
	for {
		block := <-free
		n, err := from.Read(block)
		b.Write(block[:n])
		blocks <- block[:n]
		if err != nil {
			close(blocks)
			sum := <-done
			if err == io.EOF {
				err = nil
			}
			return sum, err
		}
	}
}

const (
	saveHint  = "save the table as comma-separated UTF-8 text (CSV UTF-8)"
	bookHint  = "where it is a workbook, end its name in .xlsx and name its sheets as the tables; else " + saveHint
	plainHint = "put the file itself there, not a folder, link or pipe"
	byteMark  = "\ufeff"
)
