package output

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
)

// replacing is one replacement of a folder, under its lock.
type replacing struct {
	place
	disk disk
	opt  Options
}

// state is what stands at the place.
type state uint8

const (
	absent  state = iota
	ours          // an untouched folder of results, or an empty one
	foreign       // anything else, to be kept by force
)

func (r replacing) note(format string, args ...any) {
	if r.opt.Note != nil {
		r.opt.Note(fmt.Sprintf(format, args...))
	}
}

// repair brings back the old folder if a run was ended between its two renames, and clears away an unfinished one.
func (r replacing) repair() error {
	for _, name := range []string{r.fresh(), r.old()} {
		info, err := os.Lstat(name)
		if err == nil && !info.IsDir() {
			return fmt.Errorf("%s is not a folder", name)
		}
		if err != nil && !errors.Is(err, fs.ErrNotExist) {
			return err
		}
	}
	standing, err := exists(r.dir)
	if err != nil {
		return err
	}
	left, err := exists(r.old())
	if err != nil {
		return err
	}
	if left && !standing {
		if err := r.bringBack(); err != nil {
			return err
		}
	}
	return r.clear(r.fresh())
}

// bringBack gives the old folder its name again. One that is no longer whole, as after a removal that was cut short, is
// kept under a name of its own, since somebody may have worked in it.
func (r replacing) bringBack() error {
	if s, err := inspect(r.old()); err != nil {
		return err
	} else if s.fine() {
		return r.disk.Rename(r.old(), r.dir)
	}
	kept, err := r.kept()
	if err != nil {
		return err
	}
	if err := r.disk.Rename(r.old(), kept); err != nil {
		return err
	}
	r.note("what was left of an earlier folder is kept as %s", kept)
	return nil
}

// clear removes a folder of ours if it is there.
func (r replacing) clear(name string) error {
	if there, err := exists(name); err != nil || !there {
		return err
	}
	return r.disk.RemoveAll(name)
}

// inspect tells what stands at the place, and refuses a folder that must not be replaced.
func (r replacing) inspect() (state, error) {
	if standing, err := exists(r.dir); err != nil || !standing {
		return absent, err
	}
	f, err := inspect(r.dir)
	switch {
	case err != nil:
		return absent, fmt.Errorf("%s: what stands there cannot be checked: %w", r.shown, err)
	case f.fine():
		return ours, nil
	case r.opt.Force:
		return foreign, nil
	}
	return foreign, &Refusal{Dir: r.shown, Reason: f.reason, Files: f.problems,
		Hint: "give another folder, or use --force, which keeps this one as " + filepath.Base(r.dir) + ".kept-N"}
}

// install puts the new folder, which is complete, in the place of the old one.
func (r replacing) install() error {
	s, err := r.inspect() // again: somebody may have changed a file meanwhile
	if err == nil {
		switch s {
		case absent:
			err = r.disk.Rename(r.fresh(), r.dir)
		case foreign:
			err = r.setAside()
		case ours:
			err = r.swap()
		}
	}
	if err != nil {
		return errors.Join(err, r.clear(r.fresh()))
	}
	if err := r.disk.SyncDir(r.parent); err != nil {
		return fmt.Errorf("%s: the new results stand there, but may not be on the disk yet: %w", r.shown, err)
	}
	for _, name := range []string{r.fresh(), r.old()} {
		if err := r.clear(name); err != nil {
			r.note("the earlier results could not be removed, the next run will try again: %v", err)
		}
	}
	return nil
}

// swap exchanges the two folders in one step, or else in two renames of which the first is undone if the second fails.
func (r replacing) swap() error {
	err := r.disk.Exchange(r.fresh(), r.dir)
	if !errors.Is(err, errors.ErrUnsupported) {
		return err
	}
	if err := r.clear(r.old()); err != nil {
		return err
	}
	return r.twoRenames(r.old())
}

// setAside keeps the folder that stands there under another name.
func (r replacing) setAside() error {
	kept, err := r.kept()
	if err != nil {
		return err
	}
	if err := r.twoRenames(kept); err != nil {
		return err
	}
	r.note("the folder that stood at %s is kept as %s", r.shown, kept)
	return nil
}

func (r replacing) twoRenames(away string) error {
	if err := r.disk.Rename(r.dir, away); err != nil {
		return fmt.Errorf("%w (is a file of it open in another program?)", err)
	}
	if err := r.disk.Rename(r.fresh(), r.dir); err != nil {
		if undo := r.disk.Rename(away, r.dir); undo != nil {
			return fmt.Errorf("%w; the earlier folder is now %s: %w", err, away, undo)
		}
		return err
	}
	return nil
}
