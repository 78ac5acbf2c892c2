package main

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"

	"bedstock/cmd/bedstock/internal/archive"
	"bedstock/survey"
)

// importCmd makes a survey folder of an archive.
type importCmd struct {
	Archive string `arg:"" placeholder:"FILE.zip" help:"A Darwin Core archive with events, or a Data Package of a survey folder."`
	Output  string `short:"o" required:"" placeholder:"DIR" help:"The survey folder to write; it must not exist yet."`
	Quiet   bool   `short:"q" help:"No notes and hints on stderr."`
}

// Run writes the folder whole or not at all.
func (c importCmd) Run(e *env) error {
	if err := mustBeNew(c.Output); err != nil {
		return err
	}
	table, err := speciesTable()
	if err != nil {
		return err
	}
	read, err := c.read(table)
	if err != nil {
		return fmt.Errorf("%s: %w", c.Archive, err)
	}
	if err := e.writing(func() error { return writeFolder(c.Output, read.Files) }); err != nil {
		return err
	}
	fmt.Fprintf(e.stdout, "%s: survey folder from the %s %s\n", c.Output, read.Kind, c.Archive)
	for _, n := range read.Counts {
		fmt.Fprintf(e.stdout, "  %8d %s %s\n", n.Rows, word(n.Rows, "row"), n.File)
	}
	if c.Quiet {
		return nil
	}
	for _, t := range read.Taken {
		e.note(t)
	}
	for _, u := range read.Unused {
		e.note("not used: " + u)
	}
	c.next(e)
	return nil
}

func (c importCmd) read(table []survey.Species) (*archive.Read, error) {
	f, err := os.Open(c.Archive)
	if err != nil {
		return nil, errors.Unwrap(err)
	}
	defer f.Close()
	info, err := f.Stat()
	if err != nil {
		return nil, err
	}
	if !info.Mode().IsRegular() {
		return nil, errors.New("is not a plain file")
	}
	return archive.Open(f, info.Size(), table)
}

// next says whether the folder can be used as it is, and what to do.
func (c importCmd) next(e *env) {
	_, err := source{}.open(c.Output)
	var bad refused
	switch {
	case errors.As(err, &bad):
		e.note(plural(len(bad.problems.Faults()), "mistake") + " to mend before the folder gives numbers")
		fmt.Fprintf(e.stderr, "hint: bedstock check %s lists them with their places\n", typed(c.Output))
	case err != nil:
		e.note(err.Error())
	default:
		fmt.Fprintf(e.stderr, "hint: bedstock check %s, then bedstock stock %s\n", typed(c.Output), typed(c.Output))
	}
}

// mustBeNew refuses a folder that exists.
func mustBeNew(dir string) error {
	_, err := os.Lstat(dir)
	if err == nil {
		return fmt.Errorf("%s exists already; nothing was written\nhint: name a folder that does not exist", dir)
	}
	if errors.Is(err, fs.ErrNotExist) {
		return nil
	}
	return err
}

// writeFolder writes files into a folder beside, which is then given its name.
func writeFolder(dir string, files map[string][]byte) error {
	beside, err := os.MkdirTemp(filepath.Dir(filepath.Clean(dir)), ".bedstock-new-")
	if err != nil {
		return err
	}
	if err := fill(beside, dir, files); err != nil {
		return errors.Join(err, os.RemoveAll(beside))
	}
	return nil
}
