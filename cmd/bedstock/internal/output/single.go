package output

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
)

// File writes one file whole or not at all: beside its place first, brought to the disk, then given its name. A file that
// is there already is refused unless replace is set; what is no plain file, a symbolic link too, always.
func File(path string, data []byte, replace bool) error {
	info, err := os.Lstat(path)
	switch {
	case errors.Is(err, fs.ErrNotExist):
	case err != nil:
		return err
	case !info.Mode().IsRegular():
		return &Refusal{Dir: path, Reason: "is not a plain file", Hint: "name a file that does not exist"}
	case !replace:
		return &Refusal{Dir: path, Reason: "exists already; nothing was written", Hint: "name a file that does not exist, or use --force"}
	}
	beside, err := os.CreateTemp(filepath.Dir(path), "."+filepath.Base(path)+".new-*")
	if err != nil {
		return fmt.Errorf("cannot write in %s: %w", filepath.Dir(path), errors.Unwrap(err))
	}
	if err := fillFile(beside, data, info); err != nil {
		return errors.Join(err, os.Remove(beside.Name()))
	}
	if err := os.Rename(beside.Name(), path); err != nil {
		return errors.Join(err, os.Remove(beside.Name()))
	}
	return syncDir(filepath.Dir(path))
}

// fillFile writes a file, gives it the rights of the one it replaces, and brings it to the disk.
func fillFile(f *os.File, data []byte, old fs.FileInfo) error {
	mode := fs.FileMode(0o644)
	if old != nil {
		mode = old.Mode().Perm()
	}
	_, err := f.Write(data)
	if err == nil {
		err = f.Chmod(mode)
	}
	if err == nil {
		err = f.Sync()
	}
	return errors.Join(err, f.Close())
}
