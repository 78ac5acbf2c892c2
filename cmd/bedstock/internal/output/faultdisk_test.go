package output

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"

	"github.com/gofrs/flock"
)

// mode is what goes wrong at one operation of a faultDisk.
type mode string

const (
	fail mode = "fails"           // is not performed and reports an error; the run goes on
	lie  mode = "done, but fails" // is performed, but reports an error, as network file systems may
	kill mode = "killed before"   // neither this operation nor any later one is performed
	tear mode = "killed amid"     // a write or a removal is half performed, then as kill
)

// errFault is what the failing operation reports.
var errFault = fmt.Errorf("injected: %w", fs.ErrPermission)

// faultDisk performs operations on the real disk, without syncing, and lets the at-th of them go wrong; with at 0 none.
type faultDisk struct {
	at         int
	mode       mode
	noExchange bool // as on systems that cannot exchange folders
	n          int
	dead       bool
	log        []string
}

// step counts an operation and performs it, or not.
func (d *faultDisk) step(name, path string, do, half func() error) error {
	if d.dead {
		return errFault
	}
	d.n++
	d.log = append(d.log, name+" "+filepath.Base(path))
	if d.n != d.at {
		return do()
	}
	switch d.mode {
	case lie:
		_ = do()
	case tear:
		if half != nil {
			_ = half()
		}
		d.dead = true
	case kill:
		d.dead = true
	}
	return errFault
}

// Writers is one, so that the operations come in the same order each time.
func (d *faultDisk) Writers() int { return 1 }

func (d *faultDisk) Lock(path string) (func(), error) {
	var unlock func()
	l := flock.New(path)
	err := d.step("lock", path, func() error {
		ok, err := l.TryLock()
		if err == nil && !ok {
			err = ErrBusy
		}
		unlock = func() {
			if !d.dead {
				_ = os.Remove(path)
			}
			_ = l.Close() // the end of a process frees its locks
		}
		return err
	}, nil)
	if err != nil {
		_ = l.Close()
		return nil, err
	}
	return unlock, nil
}

func (d *faultDisk) Mkdir(path string) error {
	return d.step("mkdir", path, func() error { return osDisk{}.Mkdir(path) }, nil)
}

func (d *faultDisk) SyncDir(path string) error {
	return d.step("syncdir", path, func() error { return nil }, nil)
}

func (d *faultDisk) Rename(a, b string) error {
	return d.step("rename", a, func() error { return osDisk{}.Rename(a, b) }, nil)
}

func (d *faultDisk) Exchange(a, b string) error {
	if d.noExchange {
		return errors.ErrUnsupported
	}
	return d.step("exchange", a, func() error { return osDisk{}.Exchange(a, b) }, nil)
}

func (d *faultDisk) RemoveAll(path string) error {
	return d.step("remove", path, func() error { return osDisk{}.RemoveAll(path) }, func() error {
		entries, err := os.ReadDir(path)
		for i, e := range entries {
			if i%2 == 0 {
				err = errors.Join(err, os.RemoveAll(filepath.Join(path, e.Name())))
			}
		}
		return err
	})
}

func (d *faultDisk) Create(path string) (file, error) {
	f := &faultFile{disk: d, path: path}
	err := d.step("create", path, func() (err error) {
		f.real, err = osDisk{}.Create(path)
		return err
	}, nil)
	if err != nil && f.real != nil {
		_ = f.real.Close()
	}
	return f, err
}

type faultFile struct {
	disk *faultDisk
	path string
	real file
}

func (f *faultFile) Write(data []byte) (int, error) {
	n := 0
	err := f.disk.step("write", f.path, func() (err error) {
		n, err = f.real.Write(data)
		return err
	}, func() error {
		_, err := f.real.Write(data[:len(data)/2])
		return err
	})
	return n, err
}

func (f *faultFile) Sync() error {
	return f.disk.step("sync", f.path, func() error { return nil }, nil)
}

func (f *faultFile) Close() error {
	err := f.disk.step("close", f.path, func() error { return nil }, nil)
	return errors.Join(err, f.real.Close())
}
