package output

import (
	"fmt"
	"io/fs"
	"maps"
	"path"
	"slices"
	"strings"
	"unicode"
)

// checkNames tells whether files of these slash paths can stand in one folder on every system: relative, without
// characters or names that some system forbids, no two alike but for case, none a folder of another.
func checkNames(files map[string][]byte) error {
	seen := map[string]string{strings.ToLower(ManifestName): ManifestName}
	for _, name := range slices.Sorted(maps.Keys(files)) {
		if err := checkName(name); err != nil {
			return err
		}
		key := strings.ToLower(name)
		if other, ok := seen[key]; ok {
			return fmt.Errorf("two output files of one name: %q and %q", other, name)
		}
		seen[key] = name
	}
	for _, name := range slices.Sorted(maps.Keys(files)) {
		for _, p := range parents(name) {
			if other, ok := seen[strings.ToLower(p)]; ok {
				return fmt.Errorf("output file %q is also the folder of %q", other, name)
			}
		}
	}
	return nil
}

func checkName(name string) error {
	if !fs.ValidPath(name) || name == "." {
		return fmt.Errorf("no path of an output file: %q", name)
	}
	for part := range strings.SplitSeq(name, "/") {
		bad := strings.ContainsFunc(part, func(r rune) bool {
			return unicode.IsControl(r) || strings.ContainsRune(`\:*?"<>|`, r)
		})
		if bad || strings.HasSuffix(part, ".") || strings.HasSuffix(part, " ") || ignored[part] || reserved(part) {
			return fmt.Errorf("output file %q has a name that not every system allows", name)
		}
	}
	return nil
}

// reserved tells whether Windows takes the name for a device.
func reserved(part string) bool {
	base, _, _ := strings.Cut(strings.ToUpper(part), ".")
	switch base {
	case "CON", "PRN", "AUX", "NUL":
		return true
	}
	return len(base) == 4 && (base[:3] == "COM" || base[:3] == "LPT") && base[3] >= '0' && base[3] <= '9'
}

// parents are the folders above a slash path within its root, the nearest first.
func parents(name string) []string {
	var all []string
	for p := path.Dir(name); p != "."; p = path.Dir(p) {
		all = append(all, p)
		if p == "/" {
			break
		}
	}
	return all
}
