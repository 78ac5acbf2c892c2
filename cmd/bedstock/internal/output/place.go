package output

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
)

// ErrBusy is the error of a folder into which another run is writing.
var ErrBusy = errors.New("another run is writing to this folder")

// Refusal is the error of a folder that [Write] does not touch.
type Refusal struct {
	Dir    string
	Reason string
	Files  []string // what differs from the manifest, a line each; may be empty
	Hint   string   // what to do; may be empty
}

// Error is the folder, the reason and the files, without the hint.
func (r *Refusal) Error() string {
	var s strings.Builder
	s.WriteString(r.Dir + ": " + r.Reason)
	for _, f := range r.Files {
		s.WriteString("\n  " + f)
	}
	return s.String()
}

// place is a folder of results and the names beside it that only this package uses.
type place struct {
	shown  string // as the user gave it
	dir    string // resolved
	parent string
}

func (p place) beside(end string) string {
	return filepath.Join(p.parent, "."+filepath.Base(p.dir)+end)
}
func (p place) fresh() string { return p.beside(".new") }
func (p place) old() string   { return p.beside(".old") }
func (p place) lock() string  { return p.beside(".lock") }

// kept is the first free name for a folder that is kept.
func (p place) kept() (string, error) {
	for n := 1; ; n++ {
		name := fmt.Sprintf("%s.kept-%d", p.dir, n)
		if there, err := exists(name); err != nil || !there {
			return name, err
		}
	}
}

func (p place) refuse(hint, reason string, args ...any) error {
	return &Refusal{Dir: p.shown, Reason: fmt.Sprintf(reason, args...), Hint: hint}
}

// cannotWrite tells why a folder cannot be written, without the names that only this package uses.
func (p place) cannotWrite(err error) error {
	var of *fs.PathError
	if errors.As(err, &of) {
		return fmt.Errorf("cannot write in %s: %w", p.parent, of.Err)
	}
	return fmt.Errorf("%s: %w", p.shown, err)
}

// locate resolves the folder and refuses one that is no place for results.
func locate(dir, surveyDir string) (place, error) {
	p := place{shown: dir}
	abs, err := filepath.Abs(dir)
	if err != nil {
		return p, err
	}
	above, base := filepath.Dir(abs), filepath.Base(abs)
	if dir == "" || above == abs || taken(base) {
		return p, p.refuse("", "is no folder for results")
	}
	p.parent, err = filepath.EvalSymlinks(above)
	if errors.Is(err, fs.ErrNotExist) {
		return p, p.refuse("make it first", "the folder above it, %s, does not exist", above)
	}
	if err != nil {
		return p, err
	}
	if info, err := os.Stat(p.parent); err != nil {
		return p, err
	} else if !info.IsDir() {
		return p, p.refuse("", "%s is a file, not a folder", above)
	}
	p.dir = filepath.Join(p.parent, base)
	return p, p.check(surveyDir)
}

// taken tells whether a name is one of those that this package uses beside a folder.
func taken(base string) bool {
	end := filepath.Ext(base)
	return strings.HasPrefix(base, ".") && (end == ".new" || end == ".old" || end == ".lock")
}

// check looks at what is at the place, and where it lies to the survey folder and the working folder.
func (p place) check(surveyDir string) error {
	info, err := os.Lstat(p.dir)
	switch {
	case errors.Is(err, fs.ErrNotExist):
	case err != nil:
		return err
	case info.Mode()&fs.ModeSymlink != 0:
		return p.refuse("name the folder it leads to", "is a symbolic link")
	case !info.IsDir():
		return p.refuse("", "is a file, not a folder")
	}
	if here, err := os.Getwd(); err == nil {
		if in, err := within(here, p.dir); err != nil {
			return err
		} else if in {
			return p.refuse("change to another folder first", "holds the folder in which the command runs")
		}
	}
	if surveyDir == "" {
		return nil
	}
	survey, err := filepath.EvalSymlinks(surveyDir)
	if err != nil {
		return err
	}
	if survey, err = filepath.Abs(survey); err != nil {
		return err
	}
	hint := "choose a folder outside the survey folder"
	if in, err := within(survey, p.dir); err != nil {
		return err
	} else if in {
		return p.refuse(hint, "is the survey folder or holds it")
	}
	if in, err := within(p.parent, survey); err != nil {
		return err
	} else if in {
		return p.refuse(hint, "is inside the survey folder")
	}
	return nil
}

// within tells whether the existing folder inner is outer or lies in it. Files are compared, not names, so that case
// and other spellings of a name do not matter; outer need not exist.
func within(inner, outer string) (bool, error) {
	want, err := os.Stat(outer)
	if errors.Is(err, fs.ErrNotExist) {
		return false, nil
	}
	if err != nil {
		return false, err
	}
	for {
		info, err := os.Stat(inner)
		if err != nil {
			return false, err
		}
		if os.SameFile(info, want) {
			return true, nil
		}
		up := filepath.Dir(inner)
		if up == inner {
			return false, nil
		}
		inner = up
	}
}

// exists tells whether anything has this name.
func exists(path string) (bool, error) {
	_, err := os.Lstat(path)
	if errors.Is(err, fs.ErrNotExist) {
		return false, nil
	}
	return err == nil, err
}
