package archive

import (
	"archive/zip"
	"bytes"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"strings"
)

// What an archive may at most be. A survey of a million quadrats is well within.
const (
	maxEntries = 1000
	maxUnzip   = 2 << 30 // bytes of all files together
	maxXML     = 16 << 20
)

// limits can be lowered by tests.
type limits struct {
	entries int
	bytes   int64
}

// files are the files of an archive by their names, slashes between folders.
type files map[string][]byte

// unzip reads the files of a zip into memory. What a careless reader would write outside of a folder, and what grows out
// of all measure, is refused; nothing is written to the disk.
func unzip(r io.ReaderAt, size int64, most limits) (files, error) {
	z, err := zip.NewReader(r, size)
	if err != nil && !errors.Is(err, zip.ErrInsecurePath) {
		return nil, fmt.Errorf("is not a zip file that can be read: %w", err)
	}
	if len(z.File) > most.entries {
		return nil, fmt.Errorf("holds %d files: more than %d are refused", len(z.File), most.entries)
	}
	out, left := files{}, most.bytes
	for _, f := range z.File {
		if strings.HasSuffix(f.Name, "/") && f.Mode().IsDir() {
			continue
		}
		name, err := safeName(f)
		if err != nil {
			return nil, err
		}
		if _, twice := out[name]; twice {
			return nil, fmt.Errorf("holds %s twice", name)
		}
		text, err := inflate(f, left)
		if err != nil {
			return nil, fmt.Errorf("%s: %w", name, err)
		}
		left -= int64(len(text))
		out[name] = text
	}
	return out, nil
}

// safeName refuses names that lead out of a folder and files that are no plain ones.
func safeName(f *zip.File) (string, error) {
	if !fs.ValidPath(f.Name) || strings.ContainsAny(f.Name, "\\:\x00") {
		return "", fmt.Errorf("holds a file named %q, which leads out of its folder", f.Name)
	}
	if mode := f.Mode(); mode&fs.ModeType != 0 {
		return "", fmt.Errorf("holds %s, which is no plain file", f.Name)
	}
	if f.Flags&1 != 0 {
		return "", fmt.Errorf("holds %s under a password", f.Name)
	}
	return f.Name, nil
}

// inflate reads a file of at most so many bytes, whatever its header says of its size.
func inflate(f *zip.File, most int64) ([]byte, error) {
	r, err := f.Open()
	if err != nil {
		return nil, err
	}
	defer r.Close()
	var b bytes.Buffer
	n, err := io.Copy(&b, io.LimitReader(r, most+1))
	if err != nil {
		return nil, err
	}
	if n > most {
		return nil, errors.New("with this the archive is larger than is read: unpacked, at most 2 GiB")
	}
	return b.Bytes(), nil
}

// folder is where a file lies: at the top of the archive, or in the only folder at the top that has it.
func (f files) folder(file string) (string, bool) {
	if _, ok := f[file]; ok {
		return "", true
	}
	var at []string
	for name := range f {
		if dir, found := strings.CutSuffix(name, "/"+file); found && !strings.Contains(dir, "/") {
			at = append(at, dir+"/")
		}
	}
	if len(at) != 1 {
		return "", false
	}
	return at[0], true
}
