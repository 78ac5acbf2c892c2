package output

import (
	"errors"
	"fmt"
	"maps"
	"path"
	"path/filepath"
	"slices"
	"sync"
	"sync/atomic"
)

// Options of [Write]; the zero value is for a folder that lies anywhere.
type Options struct {
	// Force moves a folder that is not ours, or that somebody has changed, to NAME.kept-N instead of refusing it.
	Force bool
	// SurveyDir is the survey folder; the results may be neither in it nor above it. Empty: there is none.
	SurveyDir string
	// Note is told what the user should know though all went well, as where a folder is kept; it may be nil.
	Note func(string)
	// Stop, if not nil, is closed when the user wants no more of it: what was written so far is cleared away, and the error
	// is [ErrStopped], unless the new folder stands already.
	Stop <-chan struct{}
}

// ErrStopped says that the user ended the run before the results stood.
var ErrStopped = errors.New("stopped: nothing was changed")

func (o Options) stopped() bool {
	select {
	case <-o.Stop:
		return true
	default:
		return false
	}
}

// Write makes dir a folder of these files and the manifest, whole or not at all; files are named by slash paths, and
// their sums are filled into the manifest.
//
// The folder above dir must exist. If dir exists it must be empty, or ours and untouched as [Verify] tells, else the
// error is a [Refusal] that names the files; with Force it is kept. Symbolic links, files, and folders in or above the
// survey folder or above the working folder are refused. The error is [ErrBusy] while another run writes to dir.
//
// After an error, or after the run was ended at any moment, the old folder or the new one stands whole at dir; only
// where the system cannot exchange two folders in one step, or with Force, the old one may stand beside dir instead, as
// .NAME.old or NAME.kept-N. The next Write puts a .NAME.old back and clears away unfinished folders.
func Write(dir string, files map[string][]byte, m Manifest, opt Options) error {
	return write(osDisk{}, dir, files, m, opt)
}

func write(d disk, dir string, files map[string][]byte, m Manifest, opt Options) error {
	if err := checkNames(files); err != nil {
		return err
	}
	manifest, err := m.encode(files)
	if err != nil {
		return err
	}
	p, err := locate(dir, opt.SurveyDir)
	if err != nil {
		return err
	}
	unlock, err := d.Lock(p.lock())
	if err != nil {
		return p.cannotWrite(err)
	}
	defer unlock()
	r := replacing{disk: d, place: p, opt: opt}
	if err := r.repair(); err != nil {
		return fmt.Errorf("%s: what an earlier run left cannot be cleared away: %w", dir, err)
	}
	if _, err := r.inspect(); err != nil {
		return err
	}
	switch err := r.stage(files, manifest); {
	case errors.Is(err, ErrStopped):
		return errors.Join(err, d.RemoveAll(p.fresh()))
	case err != nil:
		return fmt.Errorf("%s: nothing was changed: %w", dir, errors.Join(err, d.RemoveAll(p.fresh())))
	}
	return r.install()
}

// stage writes the new folder beside the old one and brings it to the disk, the manifest last.
func (r replacing) stage(files map[string][]byte, manifest []byte) error {
	fresh := r.fresh()
	if err := r.disk.Mkdir(fresh); err != nil {
		return err
	}
	names, folders := slices.Sorted(maps.Keys(files)), map[string]bool{".": true}
	for _, name := range names {
		if parent := path.Dir(name); !folders[parent] {
			if err := r.disk.Mkdir(filepath.Join(fresh, filepath.FromSlash(parent))); err != nil {
				return err
			}
			folders[parent] = true
			for _, p := range parents(parent) {
				folders[p] = true
			}
		}
	}
	if err := r.putAll(names, files); err != nil {
		return err
	}
	if err := r.put(filepath.Join(fresh, ManifestName), manifest); err != nil {
		return err
	}
	for _, folder := range slices.Sorted(maps.Keys(folders)) {
		if err := r.disk.SyncDir(filepath.Join(fresh, filepath.FromSlash(folder))); err != nil {
			return err
		}
	}
	return nil
}

// putAll writes files side by side: each waits for the disk, which brings many to rest in hardly more time than one. Of
// several failures the first in the order of names is told, and no file is begun after one.
func (r replacing) putAll(names []string, files map[string][]byte) error {
	errs, next := make([]error, len(names)), make(chan int)
	var failed atomic.Bool
	var wg sync.WaitGroup
	for range min(r.disk.Writers(), len(names)) {
		wg.Go(func() {
			for i := range next {
				if failed.Load() {
					continue
				}
				if errs[i] = r.put(filepath.Join(r.fresh(), filepath.FromSlash(names[i])), files[names[i]]); errs[i] != nil {
					failed.Store(true)
				}
			}
		})
	}
	stopped := false
	for i := range names {
		if stopped = r.opt.stopped(); stopped || failed.Load() {
			break
		}
		next <- i
	}
	close(next)
	wg.Wait()
	for _, err := range errs {
		if err != nil {
			return err
		}
	}
	if stopped {
		return ErrStopped
	}
	return nil
}

// put writes a file and brings it to the disk.
func (r replacing) put(name string, data []byte) error {
	f, err := r.disk.Create(name)
	if err != nil {
		return err
	}
	if _, err := f.Write(data); err != nil {
		return errors.Join(err, f.Close())
	}
	if err := f.Sync(); err != nil {
		return errors.Join(err, f.Close())
	}
	return f.Close()
}
