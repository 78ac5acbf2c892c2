//go:build unix

package output

import (
	"errors"
	"os"
	"syscall"
)

// syncDir brings the entries of a folder to the disk. File systems that do not know this for folders are left alone.
func syncDir(path string) error {
	d, err := os.Open(path)
	if err != nil {
		return err
	}
	err = d.Sync()
	if errors.Is(err, syscall.EINVAL) || errors.Is(err, errors.ErrUnsupported) {
		err = nil
	}
	return errors.Join(err, d.Close())
}
