package survey

import (
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"sync"
	"unsafe"
)

// errRefused says that a file was refused with a finding.
var errRefused = errors.New("file refused")

// source is a file that was read. Its checksum may still be worked out while the text is used.
type source struct {
	path string
	sum  func() string // waits for it
}

func (s *source) input() Input { return Input{Path: s.path, SHA256: s.sum()} }

// readText reads a plain file whole. A directory, a pipe or a file that is too large is a fault of the folder and
// comes back as errRefused; what the file system cannot do is an error of its own.
func readText(fsys fs.FS, name string, found *findings) (string, *source, error) {
	f, err := fsys.Open(name)
	if err != nil {
		if pe, ok := errors.AsType[*fs.PathError](err); ok {
			err = pe.Err // the name is said already
		}
		return "", nil, fmt.Errorf("cannot open %s: %w", name, err)
	}
	defer f.Close()
	info, err := f.Stat()
	most, words := largest(name)
	tooLarge := func() (string, *source, error) {
		found.fault(name, 0, "", "is it the right file? No survey needs as much", "is larger than %s", words)
		return "", nil, errRefused
	}
	switch {
	case err != nil:
		return "", nil, fmt.Errorf("cannot read %s: %w", name, err)
	case !info.Mode().IsRegular():
		found.fault(name, 0, "", plainHint, "is not a plain file")
		return "", nil, errRefused
	case info.Size() > most:
		return tooLarge()
	}
	text, sum, err := readSummed(io.LimitReader(f, most+1), int(info.Size()))
	if err != nil {
		return "", nil, fmt.Errorf("cannot read %s: %w", name, err)
	}
	if int64(len(text)) > most {
		return tooLarge()
	}
	return text, &source{name, sum}, nil
}

// readSummed is what a reader holds, of about so many bytes, and its checksum, which is worked out block by block behind
// the reading.
func readSummed(from io.Reader, size int) (string, func() string, error) {
	blocks, done := make(chan []byte, size/readBlock+2), make(chan string, 1)
	go func() {
		sum := sha256.New()
		for block := range blocks {
			sum.Write(block)
		}
		done <- hex.EncodeToString(sum.Sum(nil))
	}()
	text := make([]byte, 0, size+1) // room to see that there is no more
	for {
		if len(text) == cap(text) {
			text = append(text, 0)[:len(text)]
		}
		n, err := from.Read(text[len(text):min(cap(text), len(text)+readBlock)])
		blocks <- text[len(text) : len(text)+n]
		text = text[:len(text)+n]
		if err != nil {
			close(blocks)
			if err == io.EOF {
				err = nil
			}
			wait := sync.OnceValue(func() string { return <-done })
			return unsafe.String(unsafe.SliceData(text), len(text)), wait, err // nothing writes to the bytes any more
		}
	}
}

const readBlock = 256 << 10

const (
	saveHint  = "save the table as comma-separated UTF-8 text (CSV UTF-8)"
	bookHint  = "where it is a workbook, end its name in .xlsx and name its sheets as the tables; else " + saveHint
	plainHint = "put the file itself there, not a folder, link or pipe"
	byteMark  = "\ufeff"
)
