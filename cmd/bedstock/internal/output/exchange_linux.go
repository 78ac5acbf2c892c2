package output

import (
	"errors"
	"os"

	"golang.org/x/sys/unix"
)

// exchange changes the names of two folders in one step. Kernels, file systems and sandboxes that cannot do it answer
// in several ways; all of them become errors.ErrUnsupported.
//
// References:
//   - Linux man-pages: renameat2(2), RENAME_EXCHANGE
func exchange(a, b string) error {
	err := unix.Renameat2(unix.AT_FDCWD, a, unix.AT_FDCWD, b, unix.RENAME_EXCHANGE)
	for errors.Is(err, unix.EINTR) {
		err = unix.Renameat2(unix.AT_FDCWD, a, unix.AT_FDCWD, b, unix.RENAME_EXCHANGE)
	}
	switch {
	case err == nil:
		return nil
	case errors.Is(err, unix.EINVAL), errors.Is(err, unix.ENOSYS), errors.Is(err, unix.EOPNOTSUPP),
		errors.Is(err, unix.EPERM):
		return errors.ErrUnsupported
	}
	return &os.LinkError{Op: "exchange", Old: a, New: b, Err: err}
}
