package main

import (
	"encoding/json"
	"fmt"
	"io/fs"
	"os"
	"strings"

	"bedstock/cmd/bedstock/internal/output"
	"bedstock/cmd/bedstock/internal/report"
	"bedstock/model"
)

// earlier reads the report that --against names, and the sum of its manifest. It must be ours and untouched: a figure that somebody changed is no
// figure to compare with.
func earlier(dir string) (e *report.Earlier, sum string, err error) {
	lines, err := output.Verify(dir)
	if err != nil {
		return nil, "", fmt.Errorf("--against %s: %w", dir, err)
	}
	if len(lines) > 0 {
		return nil, "", fmt.Errorf("--against %s: was changed since it was written:\n%s", dir, strings.Join(lines, "\n"))
	}
	m, err := output.ReadManifest(dir)
	if err != nil {
		return nil, "", fmt.Errorf("--against %s: %w", dir, err)
	}
	e = &report.Earlier{AsOf: m.AsOf, Version: m.Version, Seed: m.Seed, Invented: m.Invented, Rules: map[string]string{},
		Inputs: map[string]string{}, Tables: map[string][]byte{}}
	var rules struct {
		Values map[string]model.Setting `json:"values"`
	}
	if err := json.Unmarshal(m.Rules, &rules); err != nil {
		return nil, "", fmt.Errorf("--against %s: the rules in its manifest cannot be read: %w", dir, err)
	}
	for name, s := range rules.Values {
		e.Rules[name] = s.Value
	}
	for _, in := range m.Inputs {
		e.Inputs[in.Path] = in.SHA256
	}
	root, err := os.OpenRoot(dir)
	if err != nil {
		return nil, "", err
	}
	defer root.Close()
	sums, err := output.Sums(root.FS(), []string{output.ManifestName})
	if err != nil {
		return nil, "", fmt.Errorf("--against %s: %w", dir, err)
	}
	for _, f := range m.Outputs {
		if strings.HasSuffix(f.Path, ".csv") {
			if e.Tables[f.Path], err = fs.ReadFile(root.FS(), f.Path); err != nil {
				return nil, "", fmt.Errorf("--against %s: %w", dir, err)
			}
		}
	}
	return e, sums[0].SHA256, nil
}

// sameFolder tells whether two paths lead to one folder that exists.
func sameFolder(a, b string) bool {
	x, errX := os.Stat(a)
	y, errY := os.Stat(b)
	return errX == nil && errY == nil && os.SameFile(x, y)
}
