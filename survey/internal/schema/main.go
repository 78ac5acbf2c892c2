// Command schema writes the Table Schema descriptors of a survey folder, NAME.json each, to the directory given.
package main

import (
	"fmt"
	"os"
	"path/filepath"

	"bedstock/survey"
)

func main() {
	if len(os.Args) != 2 {
		fmt.Fprintln(os.Stderr, "usage: schema DIR")
		os.Exit(2)
	}
	if err := write(os.Args[1]); err != nil {
		fmt.Fprintln(os.Stderr, "schema:", err)
		os.Exit(1)
	}
}

func write(dir string) error {
	if err := os.MkdirAll(dir, 0o755); err != nil {
		return err
	}
	for name, text := range survey.Descriptors() {
		if err := os.WriteFile(filepath.Join(dir, name+".json"), text, 0o644); err != nil {
			return err
		}
	}
	return nil
}
