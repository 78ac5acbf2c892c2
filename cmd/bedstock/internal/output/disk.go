package output

import (
	"io"
	"io/fs"
	"os"
	"runtime"

	"github.com/gofrs/flock"
)

// disk is everything that [Write] does to the file system; reading does not go through it.
type disk interface {
	// Lock takes the lock at path, and gives [ErrBusy] if another holds it.
	Lock(path string) (unlock func(), err error)
	// Mkdir makes a folder and the missing ones above it.
	Mkdir(path string) error
	Create(path string) (file, error)
	// Writers is how many files may be written side by side.
	Writers() int
	// SyncDir brings the entries of a folder to the disk.
	SyncDir(path string) error
	// Rename renames what is at a to b, where nothing is.
	Rename(a, b string) error
	// Exchange changes the names of two folders in one step, or gives errors.ErrUnsupported and does nothing.
	Exchange(a, b string) error
	RemoveAll(path string) error
}

// file is an open file that is written once.
type file interface {
	io.WriteCloser
	Sync() error
}

// osDisk is the real file system.
type osDisk struct{}

func (osDisk) Mkdir(path string) error { return os.MkdirAll(path, 0o777) }
func (osDisk) Create(path string) (file, error) {
	return os.OpenFile(path, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o666)
}
func (osDisk) Writers() int                { return 8 }
func (osDisk) SyncDir(path string) error   { return syncDir(path) }
func (osDisk) Rename(a, b string) error    { return os.Rename(a, b) }
func (osDisk) Exchange(a, b string) error  { return exchange(a, b) }
func (osDisk) RemoveAll(path string) error { return os.RemoveAll(path) }

// Lock locks a file and removes it in the end. A lock on a file that another has removed meanwhile is worth nothing, so
// the file is looked at again after locking.
func (osDisk) Lock(path string) (func(), error) {
	for range 100 {
		l := flock.New(path, flock.SetPermissions(fs.FileMode(0o666)))
		ok, err := l.TryLock()
		if err != nil {
			return nil, err
		}
		if !ok {
			return nil, ErrBusy
		}
		if sameFile(l, path) {
			return func() { release(l, path) }, nil
		}
		if err := l.Close(); err != nil {
			return nil, err
		}
	}
	return nil, ErrBusy // others take and leave the lock all the time
}

func sameFile(l *flock.Flock, path string) bool {
	held, err := l.Stat()
	if err != nil {
		return false
	}
	there, err := os.Lstat(path)
	return err == nil && os.SameFile(held, there)
}

// release removes the lock file while it is still locked; Windows removes no open file, so there afterwards, which
// fails harmlessly if another has opened it.
func release(l *flock.Flock, path string) {
	if runtime.GOOS != "windows" {
		_ = os.Remove(path)
	}
	_ = l.Close()
	if runtime.GOOS == "windows" {
		_ = os.Remove(path)
	}
}
