package output

import (
	"encoding/json"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"slices"
)

// ErrNotOurs is the error of a folder without a manifest of this tool.
var ErrNotOurs = errors.New("not a folder of bedstock results")

// ignored are files that file managers put into every folder they show; nobody's work is in them.
var ignored = map[string]bool{".DS_Store": true, "Thumbs.db": true, "desktop.ini": true, ".directory": true}

// Verify tells in what a folder of results differs from its manifest: a line for each file that is changed, missing or
// does not belong to it, sorted; none if nothing was touched. The error is [ErrNotOurs] if the folder has no manifest
// of this tool.
func Verify(dir string) ([]string, error) {
	m, err := ReadManifest(dir)
	if errors.Is(err, fs.ErrNotExist) {
		err = mentionOld(dir, err)
	}
	if err != nil {
		return nil, err
	}
	root, err := os.OpenRoot(dir)
	if err != nil {
		return nil, err
	}
	defer root.Close()
	want := make(map[string]string, len(m.Outputs))
	folders := map[string]bool{}
	for _, f := range m.Outputs {
		want[f.Path] = f.SHA256
		for _, p := range parents(f.Path) {
			folders[p] = true
		}
	}
	lines, err := compare(root.FS(), want, folders)
	slices.Sort(lines)
	return lines, err
}

// mentionOld adds where the earlier results are if a run was ended between its two renames.
func mentionOld(dir string, err error) error {
	p, e := locate(dir, "")
	if e != nil {
		return err
	}
	if there, e := exists(p.old()); e != nil || !there {
		return err
	}
	return fmt.Errorf("%w; a run was ended while it replaced this folder: the earlier results are in %s, and the next "+
		"run brings them back", err, p.old())
}

// compare walks a folder and takes the files it finds from want.
func compare(fsys fs.FS, want map[string]string, folders map[string]bool) ([]string, error) {
	var lines []string
	err := fs.WalkDir(fsys, ".", func(name string, d fs.DirEntry, err error) error {
		switch {
		case err != nil:
			return err
		case d.IsDir() && (name == "." || folders[name]):
			return nil
		case d.IsDir():
			lines = append(lines, name+"/: does not belong to it")
			return fs.SkipDir
		case name == ManifestName, ignored[d.Name()] && d.Type().IsRegular():
			return nil
		}
		old, ok := want[name]
		delete(want, name)
		switch {
		case !ok:
			lines = append(lines, name+": does not belong to it")
		case !d.Type().IsRegular():
			lines = append(lines, name+": is no longer a plain file")
		default:
			s, err := sumFile(fsys, name)
			if err != nil {
				return err
			}
			if s != old {
				lines = append(lines, name+": changed since it was written")
			}
		}
		return nil
	})
	for name := range want {
		lines = append(lines, name+": missing")
	}
	return lines, err
}

// ReadManifest reads the manifest of a folder of results. The error is [ErrNotOurs] if there is none of this tool.
func ReadManifest(dir string) (Manifest, error) {
	var m Manifest
	root, err := os.OpenRoot(dir)
	if err != nil {
		return m, err
	}
	defer root.Close()
	info, err := root.Lstat(ManifestName)
	if errors.Is(err, fs.ErrNotExist) {
		return m, fmt.Errorf("%w: no %s in it", ErrNotOurs, ManifestName)
	}
	if err != nil {
		return m, err
	}
	if !info.Mode().IsRegular() {
		return m, fmt.Errorf("%w: its %s is no plain file", ErrNotOurs, ManifestName)
	}
	data, err := root.ReadFile(ManifestName)
	if err != nil {
		return m, err
	}
	if err := json.Unmarshal(data, &m); err != nil {
		return Manifest{}, fmt.Errorf("%w: its %s cannot be read: %v", ErrNotOurs, ManifestName, err)
	}
	if m.Tool != toolName {
		return Manifest{}, fmt.Errorf("%w: its %s is not of this tool", ErrNotOurs, ManifestName)
	}
	return m, nil
}
