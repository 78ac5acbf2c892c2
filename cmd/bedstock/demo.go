package main

import (
	"fmt"
	"io/fs"
	"os"
	"path/filepath"

	"bedstock/data"
)

// demoCmd writes the invented demo survey.
type demoCmd struct {
	Dir   string `arg:"" help:"The folder to write; it must not exist yet."`
	Quiet bool   `short:"q" help:"No hints on stderr."`
}

// Run writes the demo whole or not at all: into a folder beside, which is then given its name.
func (c demoCmd) Run(e *env) error {
	if err := mustBeNew(c.Dir); err != nil {
		return err
	}
	files, err := demoFiles()
	if err != nil {
		return err
	}
	if err := e.writing(func() error { return writeFolder(c.Dir, files) }); err != nil {
		return err
	}
	fmt.Fprintf(e.stdout, "%s: %d files of the invented demo survey (INVENTED DATA)\n", c.Dir, len(files))
	if !c.Quiet {
		fmt.Fprintf(e.stderr, "hint: bedstock report %s -o DIR makes the report\n", typed(c.Dir))
	}
	return nil
}

func fill(beside, dir string, files map[string][]byte) error {
	for name, text := range files {
		if err := os.WriteFile(filepath.Join(beside, filepath.FromSlash(name)), text, 0o644); err != nil {
			return err
		}
	}
	if err := os.Chmod(beside, 0o755); err != nil {
		return err
	}
	return os.Rename(beside, dir)
}

// demoFiles are the files of the embedded demo by name.
func demoFiles() (map[string][]byte, error) {
	sub, err := fs.Sub(data.FS, "demo")
	if err != nil {
		return nil, err
	}
	files := map[string][]byte{}
	return files, fs.WalkDir(sub, ".", func(name string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		files[name], err = fs.ReadFile(sub, name)
		return err
	})
}
