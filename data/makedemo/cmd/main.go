// Command cmd writes the demo survey into demo/ and the truth behind it into demo-truth.csv, under the working directory.
package main

import (
	"fmt"
	"os"
	"path/filepath"

	"bedstock/data/makedemo"
)

func main() {
	if err := write("."); err != nil {
		fmt.Fprintln(os.Stderr, "makedemo:", err)
		os.Exit(1)
	}
}

func write(dir string) error {
	files, truth := makedemo.Generate(makedemo.Seed)
	demo := filepath.Join(dir, "demo")
	if err := os.MkdirAll(demo, 0o755); err != nil {
		return err
	}
	for name, text := range files {
		if err := os.WriteFile(filepath.Join(demo, name), text, 0o644); err != nil {
			return err
		}
	}
	return os.WriteFile(filepath.Join(dir, "demo-truth.csv"), truth.CSV(), 0o644)
}
