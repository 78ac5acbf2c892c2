package output

import (
	"errors"
	"fmt"
	"io/fs"
	"slices"
)

// Sums are the sums of those of the named files that exist in fsys, in the order of their paths. Every file is read
// once, whole.
func Sums(fsys fs.FS, names []string) ([]FileSum, error) {
	sums := []FileSum{}
	for _, name := range names {
		s, err := sumFile(fsys, name)
		if errors.Is(err, fs.ErrNotExist) {
			continue
		}
		if err != nil {
			return nil, fmt.Errorf("sum of %s: %w", name, err)
		}
		sums = append(sums, FileSum{name, s})
	}
	return sorted(sums), nil
}

// CheckInputs tells in what the survey folder fsys differs from the inputs recorded in a manifest: a line for each file
// that is changed, missing or new, sorted; none if the results are from this folder as it is. names are the files that
// a survey folder may hold, so that one added later is found.
func CheckInputs(fsys fs.FS, recorded []FileSum, names []string) ([]string, error) {
	all := slices.Clone(names)
	want := make(map[string]string, len(recorded))
	for _, r := range recorded {
		want[r.Path] = r.SHA256
		all = append(all, r.Path)
	}
	slices.Sort(all)
	sums, err := Sums(fsys, slices.Compact(all))
	if err != nil {
		return nil, err
	}
	var lines []string
	for _, s := range sums {
		switch old, ok := want[s.Path]; {
		case !ok:
			lines = append(lines, s.Path+": added since")
		case old != s.SHA256:
			lines = append(lines, s.Path+": changed since")
		}
		delete(want, s.Path)
	}
	for path := range want {
		lines = append(lines, path+": missing")
	}
	slices.Sort(lines)
	return lines, nil
}
